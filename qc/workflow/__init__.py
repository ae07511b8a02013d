"""What may happen: the only code that changes a record. One keyword-only function an act."""

from qc.workflow.evidence import add_evidence
from qc.workflow.inspections import Observation, correct_inspection, record_inspection
from qc.workflow.next_inspection import set_next_inspection
from qc.workflow.notices import accept_notice, give_notice
from qc.workflow.outline import RepairOutline
from qc.workflow.plan_revisions import agree_plan, comment_plan, revise_plan
from qc.workflow.plans import start_repair
from qc.workflow.points import Manner, close_point
from qc.workflow.register import (
    InstrumentOutline,
    Upload,
    add_batch,
    add_calibration,
    add_data_sheet,
    add_instrument,
    add_qualification,
    check_instrument,
    recall_batch,
    withdraw_calibration,
)
from qc.workflow.release import release_certificate
from qc.workflow.reports import Dealing, handle_nonconformance, report_nonconformance
from qc.workflow.signing import return_repair, sign
from qc.workflow.template_library import save_template

__all__ = [
    "Dealing",
    "InstrumentOutline",
    "Manner",
    "Observation",
    "RepairOutline",
    "Upload",
    "accept_notice",
    "add_batch",
    "add_calibration",
    "add_data_sheet",
    "add_evidence",
    "add_instrument",
    "add_qualification",
    "agree_plan",
    "check_instrument",
    "close_point",
    "comment_plan",
    "correct_inspection",
    "give_notice",
    "handle_nonconformance",
    "recall_batch",
    "record_inspection",
    "release_certificate",
    "report_nonconformance",
    "return_repair",
    "revise_plan",
    "save_template",
    "set_next_inspection",
    "sign",
    "start_repair",
    "withdraw_calibration",
]
