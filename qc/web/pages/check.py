"""What anybody sees who holds a certificate's code: what the paper shows, and how it stands."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from qc.engine.wording import moment_text
from qc.records.check_code import as_kept
from qc.records.models import Certificate
from qc.records.progress import progress_of
from qc.workflow.facts import gather, is_under_review


def check_page(code: str, at: datetime) -> dict[str, Any]:
    """Everything the template writes; `found` is None for a code that no certificate has."""
    kept = as_kept(code)
    rows = Certificate.objects.select_related("repair__project", "repair__asset")
    certificate = rows.filter(check_code=kept).first() if kept else None
    if certificate is None:
        return {"found": None}
    state, word, say = _state(certificate, at)
    return {"found": _shown(certificate), "state": state, "word": word, "say": say}


def _shown(certificate: Certificate) -> dict[str, Any]:
    repair = certificate.repair
    zone = ZoneInfo(repair.project.time_zone)
    facts = [
        ("Component", repair.asset.tag),
        ("Issued", f"{moment_text(certificate.issued_at, zone)} ({zone.key})"),
        ("Code", certificate.check_code),
    ]
    return {
        "number": certificate.number,
        "revision": certificate.revision,
        "facts": [{"term": term, "definition": said} for term, said in facts],
    }


def _state(certificate: Certificate, at: datetime) -> tuple[str, str, str]:
    """(kind of mark, word, sentence) for how a certificate stands at a moment."""
    later = certificate.repair.certificates.filter(revision__gt=certificate.revision)
    newest = later.order_by("revision").last()
    if newest is not None:
        say = f"Revision {newest.revision} has replaced it."
        return "does_not_conform", "Superseded", say
    repair = certificate.repair
    if is_under_review(gather(repair, progress_of(repair), at=at)):
        return (
            "incomplete",
            "Under review",
            "Something that it rests on came into doubt after it was issued. Do not rely on it "
            "until it is valid again; ask the owner of the component.",
        )
    return "conforms", "Valid", "Nothing has come to light against it since it was issued."
