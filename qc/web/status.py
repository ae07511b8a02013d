"""Where a record stands, in the words of the pages."""

from qc.engine.lifecycle import Status

STATUS_WORDS = {
    Status.PLANNED: "Planned",
    Status.ON_SITE: "On site",
    Status.INSPECTED: "Inspected",
    Status.WITH_CLIENT: "With the client",
    Status.APPROVED: "Approved",
    Status.RELEASED: "Released",
}
"""Each status as a page prints it."""


def status_word(status: Status) -> str:
    """A status as a page prints it."""
    return STATUS_WORDS[status]


def status_kind(status: Status) -> str:
    """The kind of mark for a status alone, whatever the verdicts."""
    return {Status.PLANNED: "not_started", Status.RELEASED: "conforms"}.get(status, "in_hand")
