"""What the entry of each act states: the rows the act wrote, and nothing that is not in a row.

**How to write an act's entry.** End the act with every row that it wrote:

    return finish(deed, inspection, *readings, returned, observed_at=observation.observed_at)
    return finish_entry(deed, batch, *files)

`finish` and `finish_entry` make the payload out of the rows themselves, every column of each
(`qc.ledger.statement`); a row that is None is left out. There is no payload to write by hand, and
nothing to restate: the verifier reads the rows again. Rows must be saved and have their ids
(`bulk_create` sets them on what it returns).

**How to register an act.** Put it in `STATES` below with the models whose rows it writes. The first
is the one that every entry of the act has at least one row of; the others may occur. An act that is
not there, or that states a row of another model, fails at once, and the tests walk over all acts.

**Every row of a sealed table is stated by exactly one entry**, that of the act that wrote it. A
row that no entry states counts as inserted behind the application's back; tests of the acts end
with that check (`tests/workflow/conftest.py`). A sealed row's first foreign key leads to what it
belongs to, and so to the repair or project in whose chain it is stated.

**Rows that are not sealed** (`Repair`, `Asset`) are stated as they stood when the act was done.
What the latest entry says of such a row must be what the table says now, so an act that changes one
states it again. `Repair.status` and `signing_round` are left out: they follow from the acts, and
the verifier lets the acts run again and compares (`Repair.FOLLOWS_FROM_ACTS`).

**Reading an entry:** `entry.stated(Inspection)` is the list of rows it states of that model, each
as `{"id": 7, "step_id": 3, "verdict": {...}, ...}` with the columns' own names.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db.models import Model

from qc.engine.lifecycle import Act, RegisterAct
from qc.evidence.models import Evidence, RegisterFile
from qc.ledger.statement import payload_of
from qc.records.models import (
    Asset,
    Batch,
    BatchRecall,
    BatchUse,
    Calibration,
    CalibrationWithdrawal,
    Certificate,
    DataSheet,
    Handling,
    Inspection,
    InspectionDue,
    Instrument,
    InstrumentCheck,
    InstrumentUse,
    Nonconformance,
    Notice,
    NoticeAnswer,
    Plan,
    PlanAgreement,
    PlanComment,
    PlanStep,
    PlanTemplate,
    PointClosure,
    Qualification,
    QualificationUse,
    Reading,
    Repair,
    Return,
    Signature,
)

_OBSERVED = (Inspection, Reading, InstrumentUse, BatchUse, QualificationUse)
_REPORTED = (Nonconformance, Handling)

STATES: Mapping[Act | RegisterAct, tuple[type[Model], ...]] = {
    Act.START_REPAIR: (Repair, Asset, Plan, PlanStep),
    Act.REVISE_PLAN: (Plan, PlanStep),
    Act.COMMENT_PLAN: (PlanComment,),
    Act.AGREE_PLAN: (PlanAgreement,),
    Act.RECORD_INSPECTION: (*_OBSERVED, *_REPORTED),
    Act.CORRECT_INSPECTION: (*_OBSERVED, *_REPORTED, Return),
    Act.ADD_EVIDENCE: (Evidence,),
    Act.GIVE_NOTICE: (Notice,),
    Act.ACCEPT_NOTICE: (NoticeAnswer,),
    Act.CLOSE_POINT: (PointClosure,),
    Act.REPORT_NONCONFORMANCE: (*_REPORTED, Evidence, Return),
    Act.HANDLE_NONCONFORMANCE: (Handling, Evidence),
    Act.DOUBT_READINGS: (*_REPORTED, Return),
    Act.SIGN_INSPECTION: (Signature,),
    Act.SIGN_WORK: (Signature,),
    Act.SIGN_APPROVAL: (Signature,),
    Act.RETURN_REPAIR: (Return,),
    Act.RELEASE_CERTIFICATE: (Certificate,),
    Act.SET_NEXT_INSPECTION: (InspectionDue, Repair),
    RegisterAct.ADD_INSTRUMENT: (Instrument, RegisterFile),
    RegisterAct.ADD_CALIBRATION: (Calibration, RegisterFile),
    RegisterAct.CHECK_INSTRUMENT: (InstrumentCheck, RegisterFile),
    RegisterAct.WITHDRAW_CALIBRATION: (CalibrationWithdrawal, RegisterFile),
    RegisterAct.ADD_DATA_SHEET: (DataSheet, RegisterFile),
    RegisterAct.ADD_BATCH: (Batch, RegisterFile),
    RegisterAct.RECALL_BATCH: (BatchRecall, RegisterFile),
    RegisterAct.ADD_QUALIFICATION: (Qualification, RegisterFile),
    RegisterAct.SAVE_TEMPLATE: (PlanTemplate,),
}
"""The models whose rows the entry of an act states; at least one row of the first."""


def statement(act: Act | RegisterAct, rows: Sequence[Model | None]) -> dict[str, Any]:
    """The payload of the act's entry. ValueError if `STATES` does not provide for these rows."""
    written = [row for row in rows if row is not None]
    models = {type(row) for row in written}
    main, *others = STATES[act]
    if main not in models or not models <= {main, *others}:
        names = ", ".join(sorted(model.__name__ for model in models)) or "nothing"
        raise ValueError(f"{act} states {names}: see STATES in qc/workflow/restate.py")
    return payload_of(written)
