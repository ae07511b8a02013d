"""Files of the register: certificates and data sheets, kept and judged like evidence."""

from dataclasses import dataclass

from qc.evidence.inspect import UnusableFile, inspect_file
from qc.evidence.models import RegisterFile
from qc.evidence.store import keep
from qc.records.models import Calibration, DataSheet, Qualification
from qc.workflow.register_deed import RegisterDeed, refusal


@dataclass(frozen=True)
class Upload:
    """A file as it was sent: its content and the name it had."""

    content: bytes
    filename: str


def keep_file(
    deed: RegisterDeed, upload: Upload | None, belongs_to: Calibration | DataSheet | Qualification
) -> RegisterFile | None:
    """Keep `upload` with the row it belongs to. Refused where the content is not what is taken."""
    if upload is None:
        return None
    try:
        facts = inspect_file(upload.content)
    except UnusableFile as unusable:
        raise refusal(f"{upload.filename[:80]}: {unusable}", "file") from None
    column = {
        Calibration: "calibration",
        DataSheet: "data_sheet",
        Qualification: "qualification",
    }[type(belongs_to)]
    return RegisterFile.objects.create(
        project=deed.project,
        sha256=keep(upload.content),
        size=len(upload.content),
        content_type=facts.content_type,
        filename=upload.filename[-200:],
        uploaded_by=deed.actor,
        uploaded_by_name=deed.actor.printed_name,
        uploaded_at=deed.at,
        **{column: belongs_to},
    )
