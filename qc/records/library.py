"""The templates a project can plan from: those that come with the program, and its own."""

from collections.abc import Mapping

from qc.records.models import PlanTemplate as TemplateRow
from qc.records.templates import PlanTemplate, plan_templates, step_from, to_state_of


def library_of(project_id: int) -> Mapping[str, PlanTemplate]:
    """The latest revision of every template by key: the shipped ones, then the project's."""
    rows = TemplateRow.objects.filter(project=project_id).order_by("key", "revision")
    return {**plan_templates(), **{row.key: as_template(row) for row in rows}}


def template_named(project_id: int, name: str) -> PlanTemplate | None:
    """The template that a plan or a form names: "key", the latest revision, or "key/revision"."""
    key, _, revision = name.partition("/")
    latest = library_of(project_id).get(key)
    if latest is None or revision in ("", latest.revision):
        return latest
    return next((t for t in revisions_of(project_id, key) if t.revision == revision), None)


def revisions_of(project_id: int, key: str) -> tuple[PlanTemplate, ...]:
    """Every revision of a template, the oldest first; a shipped one has one."""
    if key in plan_templates():
        return (plan_templates()[key],)
    rows = TemplateRow.objects.filter(project=project_id, key=key).order_by("revision")
    return tuple(as_template(row) for row in rows)


def as_template(row: TemplateRow) -> PlanTemplate:
    """A template that a project keeps, as plans are drafted from it."""
    return PlanTemplate(
        key=row.key,
        title=row.title,
        summary=row.summary,
        steps=tuple(step_from(step) for step in row.steps),
        cautions=tuple(row.cautions),
        to_state=to_state_of(row.steps),
        revision=str(row.revision),
        terms=row.terms,
    )
