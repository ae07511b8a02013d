"""States, dispositions, origins and deeds of nonconformance reports, in words."""

from qc.engine.nonconformance import Disposition, Origin, ReportDeed, ReportState

STATE_WORDS = {
    ReportState.OPEN: "Open",
    ReportState.CONTAINED: "Contained",
    ReportState.PROPOSED: "Disposition proposed",
    ReportState.APPROVED: "Approved",
    ReportState.IMPLEMENTED: "Work done",
    ReportState.REINSPECTED: "Re-inspected",
    ReportState.CLOSED: "Closed",
}
DISPOSITION_WORDS = {
    Disposition.REWORK: "rework",
    Disposition.REPAIR: "repair",
    Disposition.USE_AS_IS: "use as is",
    Disposition.REJECT: "reject",
    Disposition.CORRECTION: "corrected entry",
}
ORIGIN_WORDS = {
    Origin.VERDICT: "A verdict that does not conform",
    Origin.HOLD: "Work went on past an open hold point",
    Origin.INSTRUMENT: "An instrument in doubt",
    Origin.BATCH: "A recalled batch",
    Origin.WINDOW: "A time window that was not kept",
    Origin.OBSERVATION: "Reported by a person",
}
DEED_WORDS = {
    ReportDeed.CONTAIN: "contained it",
    ReportDeed.PROPOSE: "proposed",
    ReportDeed.APPROVE: "approved",
    ReportDeed.DECLINE: "declined",
    ReportDeed.IMPLEMENT: "did the work",
    ReportDeed.REINSPECT: "re-inspected it",
    ReportDeed.CLOSE: "closed the report",
    ReportDeed.REOPEN: "opened the report again",
}
