"""Instruments: entering them, their calibrations and checks, and withdrawing a calibration."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from uuid import UUID
from zoneinfo import ZoneInfo

from qc.accounts.models import User
from qc.engine.fields import InvalidValue
from qc.engine.lifecycle import RegisterAct
from qc.engine.metrology import Part, figure_of, passes, range_of
from qc.ledger.chain import Entry
from qc.records.models import Calibration, CalibrationWithdrawal, Instrument, InstrumentCheck
from qc.workflow.deed import act
from qc.workflow.faults import fault_of
from qc.workflow.register.consequences import doubt_readings
from qc.workflow.register.files import Upload, keep_file
from qc.workflow.register_deed import RegisterDeed, begin_entry, finish_entry, refusal
from qc.workflow.trust import spans_by_instrument

OCCASIONS = ("before", "after")
"""A check is made before an instrument is used, or after."""


@dataclass(frozen=True, kw_only=True)
class InstrumentOutline:
    """An instrument as it is entered. Range, resolution and uncertainty are figures as text.

    The uncertainty is expanded, k = 2, as its certificate states it.
    """

    identifier: str
    kind: str
    description: str = ""
    range_low: str = ""
    range_high: str = ""
    resolution: str = ""
    uncertainty: str = ""

    def checked(self) -> "InstrumentOutline":
        """The same without idle spaces. InvalidValue where a figure is none of its kind."""
        bare = InstrumentOutline(**{name: text.strip() for name, text in vars(self).items()})
        range_of(bare.kind, bare.range_low, bare.range_high)
        for name in ("resolution", "uncertainty"):
            if text := getattr(bare, name):
                figure_of(bare.kind, Part.WIDTH, name, text)
        return bare


@act
def add_instrument(
    *, project_id: int, outline: InstrumentOutline, actor: User, at: datetime, act_id: UUID
) -> Entry:
    """Register an instrument. Contractor and inspector keep the register."""
    deed = _begin(RegisterAct.ADD_INSTRUMENT, project_id, actor, at, act_id)
    try:
        checked = outline.checked()
    except InvalidValue as problem:
        raise refusal(f"{_sentence(problem)}", problem.path) from None
    if not checked.identifier or not checked.kind:
        raise refusal("An instrument needs its identifier and its kind.")
    if deed.project.instruments.filter(identifier=checked.identifier).exists():
        raise refusal(f"The identifier {checked.identifier} is taken in this project.")
    made = Instrument.objects.create(project=deed.project, **vars(checked))
    return finish_entry(deed, made)


@act
def add_calibration(
    *,
    project_id: int,
    instrument_id: int,
    certificate: str,
    calibrated_on: date,
    due_on: date,
    actor: User,
    at: datetime,
    act_id: UUID,
    file: Upload | None = None,
) -> Entry:
    """Record a calibration of an instrument; it covers its first day and its due day."""
    deed = _begin(RegisterAct.ADD_CALIBRATION, project_id, actor, at, act_id)
    instrument = _instrument(deed, instrument_id)
    if due_on < calibrated_on:
        raise refusal(f"The calibration falls due on {due_on}, before it was made.")
    if calibrated_on > at.date():
        raise refusal(f"The calibration day {calibrated_on} lies ahead.")
    if instrument.calibrations.filter(certificate=certificate, due_on=due_on).exists():
        raise refusal(f"Certificate {certificate}, due {due_on}, is in the register already.")
    made = Calibration.objects.create(
        instrument=instrument,
        certificate=certificate,
        calibrated_on=calibrated_on,
        due_on=due_on,
        recorded_at=at,
    )
    kept = keep_file(deed, file, made)
    return finish_entry(deed, made, kept, observed_at=_start(calibrated_on, deed))


@act
def check_instrument(
    *,
    project_id: int,
    instrument_id: int,
    occasion: str,
    reference: str,
    nominal: str,
    found: str,
    tolerance: str,
    checked_at: datetime,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Record a check against a reference; `nominal`, `found` and `tolerance` are figures as text.

    Where it fails, all that the instrument read since it was last known to be good is suspect:
    every repair it went into gets a report, and one that is being signed goes back to site.
    """
    deed = _begin(RegisterAct.CHECK_INSTRUMENT, project_id, actor, at, act_id)
    instrument = _instrument(deed, instrument_id)
    if occasion not in OCCASIONS:
        raise refusal(f"{occasion!r} is not one of: {', '.join(OCCASIONS)}.", "occasion")
    if not reference.strip():
        raise refusal("Name the reference that the instrument was checked against.", "reference")
    if checked_at > at:
        raise refusal("The check was made later than now.", "checked_at")
    passed = _passed(instrument, nominal, found, tolerance)
    before = spans_by_instrument([instrument.pk])[instrument.pk]
    made = InstrumentCheck.objects.create(
        instrument=instrument,
        occasion=occasion,
        reference=reference.strip(),
        nominal=nominal.strip(),
        found=found.strip(),
        tolerance=tolerance.strip(),
        passed=passed,
        checked_at=checked_at,
        recorded_by=actor,
        recorded_by_name=actor.printed_name,
        recorded_at=at,
    )
    if not passed:
        doubt_readings(deed, fault_of(made), before)
    return finish_entry(deed, made, observed_at=checked_at)


@act
def withdraw_calibration(
    *,
    project_id: int,
    calibration_id: int,
    bad_since: datetime,
    reason: str,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Record that a calibration turned out to be bad since a moment, and why.

    All that the instrument read since then, until its next calibration that holds, is suspect.
    """
    deed = _begin(RegisterAct.WITHDRAW_CALIBRATION, project_id, actor, at, act_id)
    calibration = Calibration.objects.filter(
        instrument__project=deed.project, pk=calibration_id
    ).first()
    if calibration is None:
        raise refusal("The calibration is not of this project.")
    if hasattr(calibration, "withdrawal"):
        raise refusal(f"The calibration {calibration.certificate} is withdrawn already.")
    if not reason.strip():
        raise refusal("Say why the calibration is withdrawn.", "reason")
    if bad_since > at:
        raise refusal("The moment since when it is bad lies ahead.", "bad_since")
    if bad_since < _start(calibration.calibrated_on, deed):
        statement = f"The calibration was made on {calibration.calibrated_on}, after that moment."
        raise refusal(statement, "bad_since")
    before = spans_by_instrument([calibration.instrument_id])[calibration.instrument_id]
    made = CalibrationWithdrawal.objects.create(
        calibration=calibration,
        bad_since=bad_since,
        reason=reason.strip(),
        recorded_by=actor,
        recorded_by_name=actor.printed_name,
        recorded_at=at,
    )
    doubt_readings(deed, fault_of(made), before)
    return finish_entry(deed, made, observed_at=bad_since)


def _begin(
    register_act: RegisterAct, project_id: int, actor: User, at: datetime, act_id: UUID
) -> RegisterDeed:
    return begin_entry(register_act, project_id=project_id, actor=actor, at=at, act_id=act_id)


def _instrument(deed: RegisterDeed, instrument_id: int) -> Instrument:
    found = Instrument.objects.filter(project=deed.project, pk=instrument_id).first()
    if found is None:
        raise refusal("The instrument is not of this project.")
    return found


def _passed(instrument: Instrument, nominal: str, found: str, tolerance: str) -> bool:
    kind = instrument.kind
    try:
        return passes(
            figure_of(kind, Part.VALUE, "nominal", nominal),
            figure_of(kind, Part.VALUE, "found", found),
            figure_of(kind, Part.WIDTH, "tolerance", tolerance),
        )
    except InvalidValue as problem:
        raise refusal(_sentence(problem), problem.path) from None


def _start(day: date, deed: RegisterDeed) -> datetime:
    return datetime.combine(day, time(), ZoneInfo(deed.project.time_zone)).astimezone(UTC)


def _sentence(problem: InvalidValue) -> str:
    name = problem.path.replace("_", " ").capitalize()
    return f"{name}: {problem.problem}."
