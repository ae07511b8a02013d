"""The project's register: what is entered, by whom, once, and in its own chain."""

from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import pytest

from qc.accounts.access import NotAMember
from qc.engine.lifecycle import Refused, RegisterAct
from qc.engine.plan import Party
from qc.evidence.models import RegisterFile
from qc.evidence.store import fetch
from qc.ledger.chain import Entry, first_broken, register_chain
from qc.records.models import (
    Batch,
    Calibration,
    DataSheet,
    Instrument,
    InstrumentCheck,
    Qualification,
)
from qc.workflow import (
    InstrumentOutline,
    Upload,
    add_batch,
    add_calibration,
    add_data_sheet,
    add_instrument,
    add_qualification,
    check_instrument,
    recall_batch,
)
from tests.factories import NOON, act_on, batch, instrument, photograph
from tests.people import People

PDF = b"%PDF-1.7\n1 0 obj\nendobj\n%%EOF\n"


def by(people: People, party: Party = Party.CONTRACTOR) -> dict[str, Any]:
    return {"project_id": people.project.pk, **act_on(people, party)}


def test_an_instrument_is_in_calibration_from_its_first_day_through_its_due_day(
    people: People,
) -> None:
    gauge = instrument(people, "profile_gauge", due_on=date(2026, 5, 31))

    covered = [
        gauge.calibration_on(day) is not None
        for day in (date(2025, 5, 30), date(2025, 5, 31), date(2026, 5, 31), date(2026, 6, 1))
    ]
    assert covered == [False, True, True, False]


def test_a_later_calibration_does_not_cover_the_gap_before_it(people: People) -> None:
    gauge = instrument(people, "profile_gauge", due_on=date(2025, 5, 31))
    calibrate(people, gauge.pk, date(2026, 5, 1), date(2027, 5, 1))

    assert gauge.calibration_on(date(2026, 4, 30)) is None
    assert gauge.calibration_on(date(2026, 5, 1)) is not None


def calibrate(
    people: People, instrument_id: int, first: date, due: date, file: Upload | None = None
) -> Entry:
    return add_calibration(
        instrument_id=instrument_id,
        certificate="C-9",
        calibrated_on=first,
        due_on=due,
        file=file,
        **by(people),
    )


@pytest.mark.parametrize(
    ("first", "due", "problem"),
    [
        (date(2026, 5, 1), date(2026, 4, 1), "before it was made"),
        (date(2026, 5, 13), date(2027, 5, 13), "lies ahead"),
    ],
)
def test_an_impossible_calibration_is_refused(
    people: People, first: date, due: date, problem: str
) -> None:
    gauge = instrument(people, "profile_gauge")

    with pytest.raises(Refused, match=problem):
        calibrate(people, gauge.pk, first, due)


def test_an_instrument_of_another_project_is_not_calibrated_here(people: People) -> None:
    with pytest.raises(Refused, match="not of this project"):
        calibrate(people, 10_000, date(2026, 5, 1), date(2027, 5, 1))


def test_a_calibration_keeps_its_certificate_as_a_file(people: People) -> None:
    gauge = instrument(people, "profile_gauge")
    entry = calibrate(
        people, gauge.pk, date(2026, 5, 1), date(2027, 5, 1), Upload(PDF, "certificate.pdf")
    )

    (kept,) = RegisterFile.objects.all()
    assert kept.calibration == Calibration.objects.get(certificate="C-9")
    assert (kept.content_type, fetch(kept.sha256)) == ("application/pdf", PDF)
    assert entry.stated(RegisterFile)[0]["sha256"] == kept.sha256


def test_a_file_that_is_no_certificate_is_refused_and_nothing_kept(people: People) -> None:
    gauge = instrument(people, "profile_gauge")
    before = Calibration.objects.count()

    with pytest.raises(Refused, match="none of JPEG, PNG or PDF"):
        calibrate(people, gauge.pk, date(2026, 5, 1), date(2027, 5, 1), Upload(b"MZ...", "c.pdf"))
    assert Calibration.objects.count() == before
    assert not RegisterFile.objects.exists()


def outline(**said: str) -> InstrumentOutline:
    return InstrumentOutline(**{"identifier": "DG-1", "kind": "depth_gauge", **said})


def test_an_instrument_states_its_range_resolution_and_uncertainty(people: People) -> None:
    figures = {
        "range_low": "0 mm",
        "range_high": "25 mm",
        "resolution": "0.01 mm",
        "uncertainty": "20 um",
    }
    add_instrument(outline=outline(**figures), **by(people))

    kept = Instrument.objects.get()
    assert {name: getattr(kept, name) for name in figures} == figures


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        ({"range_low": "0 kg"}, "Range low: '0 kg' is not a number with a unit that fits"),
        ({"range_low": "25 mm", "range_high": "0 mm"}, "Range high: 0 mm is not above 25 mm"),
        ({"range_low": "1 mm", "range_high": "1 mm"}, "Range high: 1 mm is not above 1 mm"),
        ({"uncertainty": "-1 um"}, "Uncertainty: -1 um is below 0"),
        ({"resolution": "fine"}, "Resolution: 'fine' is not a number with a unit"),
        ({"kind": "durometer", "range_high": "100 mm"}, "Range high: '100 mm' is not a number"),
        ({"kind": "reference_photographs", "range_high": "3"}, "reads no figures"),
        ({"kind": "thermometer", "uncertainty": "1 kg"}, "Uncertainty: '1 kg' is not a number"),
    ],
)
def test_a_figure_that_is_none_of_the_instruments_kind_is_refused(
    people: People, said: dict[str, str], problem: str
) -> None:
    with pytest.raises(Refused, match=problem):
        add_instrument(outline=outline(**said), **by(people))
    assert not Instrument.objects.exists()


def test_an_identifier_and_a_batch_are_entered_once(people: People) -> None:
    instrument(people, "hygrometer", identifier="H-07")
    made = batch(people)

    with pytest.raises(Refused, match="H-07 is taken"):
        instrument(people, "hygrometer", identifier="H-07")
    with pytest.raises(Refused, match="in the register already"):
        add_batch(product=made.product, part="", number=made.number, expiry=None, **by(people))
    assert Batch.objects.count() == 1


def check(people: People, gauge: Instrument, found: str = "250 um", **more: Any) -> Entry:
    said = {
        "occasion": "after",
        "reference": "shim S-2",
        "nominal": "250 um",
        "tolerance": "5 um",
        "checked_at": NOON,
        **by(people),
        **more,
    }
    return check_instrument(instrument_id=gauge.pk, found=found, **said)


@pytest.mark.parametrize(
    ("found", "passed"),
    [("255 um", True), ("245 um", True), ("0.25501 mm", False), ("244.999 um", False)],
)
def test_a_check_passes_on_the_tolerance_and_fails_beyond_it(
    people: People, found: str, passed: bool
) -> None:
    check(people, instrument(people, "thickness_gauge"), found)

    assert InstrumentCheck.objects.get().passed is passed


@pytest.mark.parametrize(
    ("more", "problem"),
    [
        ({"found": "12 kg"}, "Found: '12 kg' is not a number with a unit that fits"),
        ({"tolerance": "-1 um"}, "Tolerance: -1 um is below 0"),
        ({"nominal": ""}, "Nominal: '' is not a number"),
        ({"occasion": "never"}, "not one of: before, after"),
        ({"reference": " "}, "Name the reference"),
        ({"checked_at": NOON + timedelta(minutes=1)}, "later than now"),
    ],
)
def test_a_check_that_makes_no_sense_is_refused(
    people: People, more: dict[str, Any], problem: str
) -> None:
    gauge = instrument(people, "thickness_gauge")

    with pytest.raises(Refused, match=problem):
        check(people, gauge, **more)
    assert not InstrumentCheck.objects.exists()


SHEET: Any = {
    "mixing": {"ratio": "4:1", "pot_life": {"20 degC": "40 min"}},
    "cure": {"table": {"20 degC": "24 hour"}},
}


def enter_sheet(people: People, values: Any = None, **more: Any) -> Entry:
    said = {"product": "Epoxy filler", "revision": "3", **more}
    return add_data_sheet(values=SHEET if values is None else values, **said, **by(people))


def test_a_data_sheet_keeps_its_figures_and_its_file(people: People) -> None:
    enter_sheet(people, file=Upload(PDF, "sheet.pdf"))

    kept = DataSheet.objects.get()
    assert kept.values == SHEET
    assert RegisterFile.objects.get().data_sheet == kept


@pytest.mark.parametrize(
    ("values", "problem"),
    [
        ({}, "at least one figure"),
        ({"mixing": {}}, "at least one figure"),
        ({"stirring": {"ratio": "4:1"}}, "'stirring' is no characteristic"),
        ({"mixing": {"colour": "red"}}, "mixing.colour: unknown"),
        ({"mixing": {"induction": "10 mm"}}, "mixing.induction: .*unit of length"),
        ({"cure": {"table": {"20 degC": "soon"}}}, "cure.table"),
        (
            {"mixing": {"duration_min": "6 min", "duration_max": "4 min"}},
            "mixing.duration_min: 6 min is above duration_max",
        ),
    ],
)
def test_a_figure_that_its_own_field_does_not_take_is_refused(
    people: People, values: Any, problem: str
) -> None:
    with pytest.raises(Refused, match=problem):
        enter_sheet(people, values)
    assert not DataSheet.objects.exists()


def test_a_revision_of_a_data_sheet_is_entered_once(people: People) -> None:
    enter_sheet(people)
    with pytest.raises(Refused, match="Revision 3 of Epoxy filler is in the register already"):
        enter_sheet(people)
    enter_sheet(people, revision="4")


def qualify(people: People, **more: Any) -> Entry:
    said = {
        "holder": "Tomas Reed",
        "trade": "applicator",
        "scopes": ["composite wrap"],
        "certificate": "Q-17",
        "valid_from": date(2025, 1, 1),
        "valid_until": date(2026, 12, 31),
        **more,
    }
    return add_qualification(**said, **by(people))


@pytest.mark.parametrize(
    ("more", "problem"),
    [
        ({"trade": "cook"}, "not one of: applicator, inspector"),
        ({"scopes": [" "]}, "one scope a line"),
        ({"holder": ""}, "needs its holder"),
        ({"valid_until": date(2024, 12, 31)}, "before it begins"),
        ({"user_id": 10_000}, "not a member"),
    ],
)
def test_a_qualification_that_makes_no_sense_is_refused(
    people: People, more: dict[str, Any], problem: str
) -> None:
    with pytest.raises(Refused, match=problem):
        qualify(people, **more)
    assert not Qualification.objects.exists()


def test_a_person_of_another_project_holds_nothing_here(people: People) -> None:
    with pytest.raises(Refused, match="not a member"):
        qualify(people, trade="inspector", user_id=people.olu.pk)


def test_a_batch_is_recalled_once_and_with_its_reason(people: People) -> None:
    made = batch(people)
    with pytest.raises(Refused, match="Say why"):
        recall_batch(batch_id=made.pk, reason=" ", **by(people))
    recall_batch(batch_id=made.pk, reason="Hardener short", **by(people))
    with pytest.raises(Refused, match="recalled already"):
        recall_batch(batch_id=made.pk, reason="again", **by(people))


def test_the_client_does_not_keep_the_register(people: People) -> None:
    with pytest.raises(Refused, match="contractor and inspector do"):
        add_instrument(outline=outline(), **by(people, Party.CLIENT))


def test_an_outsider_finds_no_register(people: People) -> None:
    with pytest.raises(NotAMember):
        add_instrument(outline=outline(), **{**by(people), "actor": people.olu})


def test_everything_entered_stands_in_the_chain_of_the_projects_register(people: People) -> None:
    gauge = instrument(people, "thickness_gauge")
    check(people, gauge)
    enter_sheet(people, file=Upload(photograph(), "sheet.jpg"))
    recall_batch(batch_id=batch(people).pk, reason="Hardener short", **by(people))
    qualify(people)

    chain = register_chain(people.project.pk)
    assert [entry.act for entry in chain.entries()] == [
        RegisterAct.ADD_INSTRUMENT,
        RegisterAct.ADD_CALIBRATION,
        RegisterAct.CHECK_INSTRUMENT,
        RegisterAct.ADD_DATA_SHEET,
        RegisterAct.ADD_BATCH,
        RegisterAct.RECALL_BATCH,
        RegisterAct.ADD_QUALIFICATION,
    ]
    assert first_broken(chain) is None


def test_the_same_act_sent_twice_is_done_once(people: People) -> None:
    act = {**by(people), "act_id": uuid4()}
    first, second = (add_instrument(outline=outline(), **act) for _ in range(2))

    assert first == second
    assert Instrument.objects.count() == 1
