"""The record of a repair as plain data: what is signed, and what the certificate prints."""

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from qc.engine.plan import Party, terms_of
from qc.evidence.models import Evidence
from qc.ledger.canonical import digest
from qc.ledger.chain import utc_text
from qc.records.models import Inspection, Notice, Plan, PointClosure, Repair, Return
from qc.records.position import details_of
from qc.records.progress import StepProgress, progress_of
from qc.records.queries import is_agreed, plan_in_force
from qc.records.reports import reports_of
from qc.workflow.document_means import (
    Checks,
    batches_of,
    checks_for,
    instruments_of,
    people_of,
)
from qc.workflow.document_plan import (
    agreed_revisions,
    plan_revisions,
    removed_by,
    removed_steps,
)
from qc.workflow.document_reports import reports_document

FORMAT = "quality-record/1"


def record_document(repair: Repair) -> dict[str, Any]:
    """Everything the record says about a repair, as JSON types; moments in UTC, limits as text.

    Signatures are not part of it: they are put on it.
    """
    plan = plan_in_force(repair)
    progress = progress_of(repair, plan)
    evidence = _evidence_by_step(repair)
    agreed = agreed_revisions(repair)
    removed = removed_steps(repair, agreed)
    checks = checks_for(repair, (*progress, *removed))
    return {
        "format": FORMAT,
        "project": _project(repair),
        "repair": _repair(repair),
        "plan": _plan(plan),
        "plan_revisions": plan_revisions(agreed),
        "steps": [_step(step, repair, evidence[step.step.key], checks) for step in progress],
        "removed_steps": [
            {
                **_step(step, repair, evidence[step.step.key], checks),
                "last_in_revision": step.step.plan.revision,
                "removed_by_revision": removed_by(step, agreed),
            }
            for step in removed
        ],
        "reports": reports_document(reports_of(repair)),
        "returns": [_return(r) for r in Return.objects.filter(repair=repair)],
    }


def record_digest(repair: Repair) -> str:
    """SHA-256 of the record's canonical form: what a signature is put on."""
    return digest(record_document(repair))


def _project(repair: Repair) -> dict[str, Any]:
    project = repair.project
    return {
        "code": project.code,
        "title": project.title,
        "site": project.site,
        "time_zone": project.time_zone,
        "parties": {str(party): project.organisation_of(party).name for party in Party},
    }


def _repair(repair: Repair) -> dict[str, Any]:
    asset = repair.asset
    return {
        "number": repair.number,
        "title": repair.title,
        "defect": repair.defect,
        "units": repair.units,
        "component": {
            "tag": asset.tag,
            "description": asset.description,
            "diameter": asset.diameter,
            "wall": asset.wall,
            "material": asset.material,
            "service": asset.service,
            "line": asset.line,
            "temperature": asset.temperature,
            "pressure": asset.pressure,
            "design_temperature": asset.design_temperature,
            "design_pressure": asset.design_pressure,
        },
        "defect_details": dict(details_of(repair)),
        "design": {
            "repair_class": repair.repair_class,
            "design_life": repair.design_life,
            "next_inspection": repair.next_inspection.isoformat() if repair.next_inspection else "",
        },
    }


def _plan(plan: Plan) -> dict[str, Any]:
    agreed = plan.agreement if is_agreed(plan) else None
    return {
        "title": plan.title,
        "template": plan.template,
        "revision": plan.revision,
        "cautions": plan.cautions,
        "terms": {str(each): terms.as_case() for each, terms in terms_of(plan.terms).items()},
        "drafted_by": plan.created_by.printed_name,
        "drafted_at": utc_text(plan.created_at),
        "agreed_by": agreed.agreed_by_name if agreed else "",
        "agreed_at": utc_text(agreed.agreed_at) if agreed else "",
    }


def _evidence_by_step(repair: Repair) -> Mapping[str, list[dict[str, Any]]]:
    """The files held, by the key of their step, in one query."""
    found: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for row in Evidence.objects.filter(repair=repair).select_related("step"):
        found[row.step.key if row.step else ""].append(_evidence(row))
    return found


def _step(
    progress: StepProgress, repair: Repair, evidence: list[dict[str, Any]], checks: Checks
) -> dict[str, Any]:
    step, conceded_until = progress.step, progress.conceded_until
    return {
        "position": step.position,
        "key": step.key,
        "title": step.title,
        "activity": step.activity,
        "characteristic": step.characteristic,
        "reference": step.reference,
        "criteria": step.criteria,
        "sources": step.sources,
        "sampling": step.sampling,
        "points": step.points,
        "cautions": step.cautions,
        "prerequisites": step.prerequisites,
        "windows": step.windows,
        "qualifications": step.qualifications,
        "since": step.since,
        "outcome": str(progress.outcome) if progress.outcome else "",
        "conceded_until": conceded_until.isoformat() if conceded_until else "",
        "series": progress.series,
        "inspections": [_inspection(i, progress, repair, checks) for i in progress.inspections],
        "notices": [_notice(n, progress) for n in progress.notices],
        "closures": [_closure(c, progress) for c in progress.closures],
        "evidence": evidence,
    }


def _inspection(
    inspection: Inspection, progress: StepProgress, repair: Repair, checks: Checks
) -> dict[str, Any]:
    return {
        **_judged_by(inspection, progress),
        "id": inspection.pk,
        "series": inspection.series,
        "corrects": inspection.corrects_id,
        "is_corrected": inspection.pk in progress.corrected,
        "reason": inspection.reason,
        "rework": inspection.rework,
        "remarks": inspection.remarks,
        "observed_at": utc_text(inspection.observed_at),
        "recorded_at": utc_text(inspection.recorded_at),
        "is_late": inspection.is_late,
        "recorded_by": inspection.recorded_by_name,
        "schema_version": inspection.schema_version,
        "readings": [reading.values for reading in inspection.readings.all()],
        "as_typed": [reading.as_typed for reading in inspection.readings.all()],
        "verdict": inspection.verdict,
        "instruments": instruments_of(inspection, repair, checks),
        "batches": batches_of(inspection),
        "people": people_of(inspection),
    }


def _judged_by(inspection: Inspection, progress: StepProgress) -> dict[str, Any]:
    """The revision under which it was judged; its criteria too where the plan has others now."""
    counts = inspection in progress.counting
    said: dict[str, Any] = {"plan_revision": inspection.step.plan.revision, "counts": counts}
    if not counts:
        said |= {"criteria": inspection.criteria, "sources": inspection.sources}
    return said


def _closure(closure: PointClosure, progress: StepProgress) -> dict[str, Any]:
    standing = progress.closure_of(Party(closure.party))
    return {
        "party": closure.party,
        "intervention": closure.intervention,
        "manner": closure.manner,
        "note": closure.note,
        "by": closure.closed_by_name,
        "at": utc_text(closure.closed_at),
        "stands": standing is not None and standing.pk == closure.pk,
    }


def _notice(notice: Notice, progress: StepProgress) -> dict[str, Any]:
    answer = notice.answer if hasattr(notice, "answer") else None
    return {
        "party": notice.party,
        "scheduled_at": utc_text(notice.scheduled_at),
        "note": notice.note,
        "by": notice.given_by_name,
        "at": utc_text(notice.given_at),
        "accepted_by": answer.answered_by_name if answer else "",
        "accepted_at": utc_text(answer.answered_at) if answer else "",
        "accepted_note": answer.note if answer else "",
        "stands": progress.notice_of(Party(notice.party)) == notice,
    }


def _evidence(evidence: Evidence) -> dict[str, Any]:
    return {
        "requirement": evidence.requirement,
        "caption": evidence.caption,
        "filename": evidence.filename,
        "content_type": evidence.content_type,
        "size": evidence.size,
        "sha256": evidence.sha256,
        "by": evidence.uploaded_by_name,
        "party": evidence.party,
        "at": utc_text(evidence.uploaded_at),
    }


def _return(returned: Return) -> dict[str, Any]:
    return {
        "party": returned.party,
        "by": returned.returned_by_name,
        "reason": returned.reason,
        "at": utc_text(returned.returned_at),
    }
