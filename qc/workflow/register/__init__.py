"""What a project keeps beside its repairs: instruments, materials and qualified people.

One keyword-only function an act, each an entry in the chain of the project's register.
"""

from qc.workflow.register.files import Upload
from qc.workflow.register.instruments import (
    InstrumentOutline,
    add_calibration,
    add_instrument,
    check_instrument,
    withdraw_calibration,
)
from qc.workflow.register.materials import add_batch, add_data_sheet, recall_batch
from qc.workflow.register.people import add_qualification

__all__ = [
    "InstrumentOutline",
    "Upload",
    "add_batch",
    "add_calibration",
    "add_data_sheet",
    "add_instrument",
    "add_qualification",
    "check_instrument",
    "recall_batch",
    "withdraw_calibration",
]
