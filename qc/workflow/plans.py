"""Starting a repair with the draft of its plan."""

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from qc.accounts.access import membership_of
from qc.accounts.models import Project, User
from qc.engine.lifecycle import Act, Refused, Status, repair_blocker
from qc.engine.plan import Blocker, Party
from qc.ledger import chain
from qc.ledger.chain import Entry
from qc.records.library import template_named
from qc.records.models import Asset, Repair
from qc.workflow.deed import act, refuse_repetition
from qc.workflow.outline import RepairOutline, other_component, senseless
from qc.workflow.plan_writing import draft_from, write_plan
from qc.workflow.restate import statement


@act
def start_repair(
    *, project_id: int, outline: RepairOutline, actor: User, at: datetime, act_id: UUID
) -> Entry:
    """Open a repair and draft its plan from a template. Only the contractor plans."""
    party = membership_of(actor, project_id).acts_for
    # Two that take the same number at once: the second waits here, and is told that it is taken.
    Project.objects.select_for_update().get(pk=project_id)
    refuse_repetition(Act.START_REPAIR, act_id, actor)
    template = template_named(project_id, outline.template)
    reasons = (
        *_objections(project_id, outline, party),
        *_against_its_facts(project_id, outline, at),
    )
    if reasons or template is None:
        raise Refused(*reasons)
    repair = Repair.objects.create(
        project_id=project_id,
        asset=_asset(project_id, outline),
        **outline.about,
        status=Status.PLANNED,
        created_by=actor,
        created_at=at,
    )
    plan = write_plan(repair, draft_from(template), actor=actor, at=at)
    return chain.append(
        chain=chain.repair_chain(repair.pk),
        act=Act.START_REPAIR,
        act_id=act_id,
        actor=actor,
        party=party,
        observed_at=at,
        recorded_at=at,
        payload=statement(Act.START_REPAIR, [repair, repair.asset, plan, *plan.steps.all()]),
    )


def _objections(project_id: int, outline: RepairOutline, party: Party) -> list[Blocker]:
    found = []
    if party is not Party.CONTRACTOR:
        found.append(f"The {party} cannot start a repair; the contractor can.")
    if template_named(project_id, outline.template) is None:
        found.append(f"There is no plan template {outline.template!r}.")
    if not outline.number.strip() or not outline.title.strip() or not outline.asset_tag.strip():
        found.append("A repair needs a number, a title and a component.")
    if Repair.objects.filter(project_id=project_id, number=outline.number).exists():
        found.append(f"The number {outline.number} is taken in this project.")
    return [repair_blocker("repair", reason, Party.CONTRACTOR) for reason in found]


def _against_its_facts(project_id: int, outline: RepairOutline, at: datetime) -> Iterator[Blocker]:
    """What makes no sense, or differs from what is on record of the component."""
    project = Project.objects.get(pk=project_id)
    yield from senseless(outline, at.astimezone(ZoneInfo(project.time_zone)).date())
    known = Asset.objects.filter(project_id=project_id, tag=outline.asset_tag).first()
    if known is not None:
        yield from other_component(known, outline)


def _asset(project_id: int, outline: RepairOutline) -> Asset:
    asset, _ = Asset.objects.get_or_create(
        project_id=project_id, tag=outline.asset_tag, defaults=outline.component
    )
    return asset
