"""The pages of one instrument, one batch, data sheets and people, and what is entered on them."""

from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from qc.engine.plan import Party
from qc.evidence.models import RegisterFile
from qc.records.models import (
    BatchRecall,
    CalibrationWithdrawal,
    DataSheet,
    Instrument,
    InstrumentCheck,
    Qualification,
    QualificationUse,
)
from qc.web.pages.people import qualification_state
from qc.workflow import add_data_sheet
from tests.factories import FILLER, THICKNESS, act_on, batch, photograph, record, repair_on_site
from tests.people import People
from tests.web.visitor import enter, sent, signed_in, text_of
from tests.workflow.doubting import concede, fail, gauge, measured
from tests.workflow.test_qualified_people import qualified, site


def address(people: People, rest: str) -> str:
    return f"/projects/{people.project.pk}/{rest}/"


def uses(page: Any) -> list[list[str]]:
    return [[cell["text"] for cell in row["cells"]] for row in page.context["use_rows"]]


def test_figures_are_typed_as_they_are_spoken_and_kept_with_their_unit(people: People) -> None:
    enter(
        signed_in(people.carl),
        address(people, "instruments"),
        identifier="DG-9",
        kind="depth_gauge",
        range_low="0 mm",
        range_high="25,5 mm",
        resolution="0,01mm",
        uncertainty="20 µm",
    )
    kept = Instrument.objects.get()
    assert (kept.range_high, kept.resolution, kept.uncertainty) == ("25.5 mm", "0.01 mm", "20 um")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"range_high": "25"}, "25 has no unit: type it as 25 µm or mm"),
        ({"range_high": "25 kg"}, "kg is not a unit of this field"),
        ({"range_low": "9 mm", "range_high": "5 mm"}, "5 mm is not above 9 mm"),
        ({"uncertainty": "-1 µm"}, "below 0"),
        ({"kind": "reference_photographs", "resolution": "1 mm"}, "reads no figures"),
    ],
)
def test_a_figure_that_cannot_be_is_told_beside_its_field(
    people: People, typed: dict[str, str], words: str
) -> None:
    good = {"identifier": "DG-9", "kind": "depth_gauge"}
    page = enter(signed_in(people.carl), address(people, "instruments"), **(good | typed))

    assert words in text_of(page)
    assert set(page.context["form"].errors) - {"__all__"} <= set(typed)
    assert not Instrument.objects.exists()


CHECK = {
    "occasion": "after",
    "reference": "block B-10",
    "nominal": "10 mm",
    "found": "10,4 mm",
    "tolerance": "0,05 mm",
}


def test_a_failed_check_leads_to_what_rests_on_the_instrument(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    there = address(people, f"instruments/{kept.pk}/check")
    page = enter(signed_in(people.ines), there, checked_at="2026-05-12T18:00", **CHECK)

    assert "The check failed" in text_of(page)
    (row,) = uses(page)
    assert row[0] == "R-014"
    assert row[1] == "3. Filler thickness"
    assert row[3:5] == ["In doubt", "Contractor: nonconformance report 1"]
    assert InstrumentCheck.objects.get().checked_at.isoformat() == "2026-05-12T17:00:00+00:00"


def test_the_check_is_recorded_once_however_often_it_is_sent(people: People) -> None:
    kept, client = gauge(people), signed_in(people.ines)
    there = address(people, f"instruments/{kept.pk}/check")
    data = sent(client.get(there).context["form"], checked_at="2026-05-12T18:00", **CHECK)
    for _ in range(2):
        assert client.post(there, data).status_code == 302
    assert InstrumentCheck.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"found": ""}, "Enter what the instrument read on it."),
        ({"found": "ten"}, "ten is not a number"),
        ({"tolerance": "0.05"}, "0.05 has no unit"),
        ({"checked_at": ""}, "Enter when the check was made."),
        ({"checked_at": "2999-01-01T10:00"}, "later than now"),
        ({"occasion": ""}, "Say whether the check was made before or after use."),
    ],
)
def test_a_check_that_cannot_be_is_told(people: People, typed: dict[str, str], words: str) -> None:
    kept = gauge(people)
    good = {"checked_at": "2026-05-12T18:00", **CHECK}
    there = address(people, f"instruments/{kept.pk}/check")
    page = enter(signed_in(people.ines), there, **(good | typed))

    assert words in text_of(page)
    assert not InstrumentCheck.objects.exists()


def test_a_use_that_is_conceded_says_so(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    fail(people, kept)
    concede(people, repair, 1, until=date(2999, 1, 1))
    page = signed_in(people.clara).get(address(people, f"instruments/{kept.pk}"))

    assert uses(page)[0][3:5] == ["Accepted by concession", ""]
    assert "A check against a reference" not in text_of(page)


def test_a_calibration_is_withdrawn_on_its_page(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    there = address(people, f"calibrations/{kept.calibrations.get().pk}/withdraw")
    page = enter(signed_in(people.carl), there, bad_since="2026-05-12T08:00", reason="Block worn")

    assert CalibrationWithdrawal.objects.get().reason == "Block worn"
    assert "Bad since 12 May 2026 08:00" in text_of(page)
    assert uses(page)[0][3] == "In doubt"


def test_a_calibration_is_entered_with_its_certificate_and_read_again(people: People) -> None:
    kept, client = gauge(people), signed_in(people.carl)
    there = address(people, f"instruments/{kept.pk}/calibrations")
    form = client.get(there).context["form"]
    days = {"calibrated_on": "2026-02-01", "due_on": "2027-01-31"}
    data = sent(form, certificate="C-77", **days)
    file = SimpleUploadedFile("c.jpg", photograph(), "image/jpeg")
    client.post(there, {**data, "file": file})

    held = RegisterFile.objects.get()
    page = client.get(address(people, f"instruments/{kept.pk}"))
    assert "c.jpg" in text_of(page)
    answer = client.get(address(people, f"files/{held.pk}"))
    assert (answer.content, answer["Content-Type"]) == (photograph(), "image/jpeg")


def test_a_file_that_is_none_is_told_and_nothing_entered(people: People) -> None:
    kept, client = gauge(people), signed_in(people.carl)
    there = address(people, f"instruments/{kept.pk}/calibrations")
    form = client.get(there).context["form"]
    days = {"calibrated_on": "2026-02-01", "due_on": "2027-01-31"}
    data = sent(form, certificate="C-77", **days)
    page = client.post(there, {**data, "file": SimpleUploadedFile("c.pdf", b"MZ")})

    assert "c.pdf: The file is none of JPEG, PNG or PDF." in text_of(page)
    assert kept.calibrations.count() == 1


def test_a_recall_lists_every_repair_the_batch_went_into(people: People) -> None:
    bad, repair = batch(people), repair_on_site(people)
    record(people, repair, FILLER, batches=[bad.pk])
    there = address(people, f"batches/{bad.pk}")
    page = enter(signed_in(people.carl), there, reason="Hardener filled short")

    assert BatchRecall.objects.count() == 1
    (row,) = uses(page)
    assert row[0] == "R-014"
    assert row[3] == "In doubt"
    assert "Recalled by Carl Vale" in text_of(page)
    assert page.context["form"] is None
    assert "Recalled" in text_of(signed_in(people.clara).get(address(people, "batches")))


def test_a_data_sheet_is_entered_with_its_figures(people: People) -> None:
    figures = {
        "mixing_ratio": "4:1",
        "mixing_pot_life": "20 °C = 40 min\n30 °C = 20 min",
        "mixing_duration_min": "3",
        "cure_table": "20 °C = 24 h",
    }
    page = enter(
        signed_in(people.carl),
        address(people, "data-sheets/new"),
        product="Epoxy filler",
        revision="3",
        **figures,
    )
    assert DataSheet.objects.get().values == {
        "mixing": {
            "ratio": "4:1",
            "pot_life": {"20 degC": "40 min", "30 degC": "20 min"},
            "duration_min": "3 min",
        },
        "cure": {"table": {"20 degC": "24 hour"}},
    }
    assert "data sheet Epoxy filler, revision 3" in text_of(page)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"mixing_duration_min": "6", "mixing_duration_max": "4"}, "is above duration_max"),
        ({"mixing_pot_life": "20 °C"}, "has no = between temperature and time"),
        ({}, "Enter at least one figure of the data sheet."),
    ],
)
def test_a_data_sheet_that_cannot_be_is_told(
    people: People, typed: dict[str, str], words: str
) -> None:
    page = enter(
        signed_in(people.carl),
        address(people, "data-sheets/new"),
        product="Epoxy filler",
        revision="3",
        **typed,
    )
    assert words in text_of(page)
    assert not DataSheet.objects.exists()


def sheet(people: People, product: str = "Epoxy filler", pot_life: str = "40 min") -> None:
    add_data_sheet(
        project_id=people.project.pk,
        product=product,
        revision="3",
        values={"mixing": {"duration_min": "3 min", "pot_life": {"20 degC": pot_life}}},
        **act_on(people, Party.CONTRACTOR),
    )


def revised(people: People, take: str) -> Any:
    from tests.factories import SHORT_PLAN, planned_repair

    repair, client = planned_repair(people), signed_in(people.carl)
    there = f"/repairs/{repair.pk}/plan/edit/steps/{SHORT_PLAN[FILLER - 1].key}/limits/"
    data = sent(client.get(there).context["form"])
    return client.post(there, {**data, "take": take})


def test_a_plan_takes_over_what_a_data_sheet_states_with_its_source(people: People) -> None:
    sheet(people)
    form = revised(people, "pot_life").context["form"]

    assert form["c-pot_life"].value() == "20 °C = 40 min"
    assert form["s-pot_life"].value() == "data sheet Epoxy filler, revision 3"


def test_a_sheet_is_offered_instead_of_a_limit_that_stands(people: People) -> None:
    sheet(people)
    form = revised(people, "duration_min").context["form"]

    assert form["c-duration_min"].value() == "3"
    assert form["s-duration_min"].value() == "data sheet Epoxy filler, revision 3"


def test_two_sheets_that_differ_are_chosen_between_and_not_taken_all_at_once(
    people: People,
) -> None:
    sheet(people)
    sheet(people, "Wrap resin", "25 min")
    every = revised(people, "*").context["form"]
    assert not every["c-pot_life"].value()
    assert [offer.text for offer in every.offers["pot_life"][:2]] == [
        "20 °C: 40 min",
        "20 °C: 25 min",
    ]


def test_a_qualification_is_entered_with_its_scopes(people: People) -> None:
    page = enter(
        signed_in(people.carl),
        address(people, "people"),
        trade="inspector",
        holder="Ines Dunmore",
        user=str(people.ines.pk),
        scopes="Level 2\nWrap",
        certificate="Q-1",
        valid_from="2025-01-01",
        valid_until="2027-12-31",
    )
    kept = Qualification.objects.get()
    assert (kept.scopes, kept.user) == (["Level 2", "Wrap"], people.ines)
    assert "Ines Dunmore" in text_of(page)


@pytest.mark.parametrize(
    ("day", "word"),
    [
        (date(2025, 12, 31), "Not yet valid"),
        (date(2026, 1, 1), "Valid"),
        (date(2026, 12, 1), "Expires within 30 days"),
        (date(2026, 12, 31), "Expires within 30 days"),
        (date(2027, 1, 1), "Expired"),
    ],
)
def test_a_qualification_says_how_it_stands(day: date, word: str) -> None:
    one = Qualification(valid_from=date(2026, 1, 1), valid_until=date(2026, 12, 31))
    assert qualification_state(one, day)[1] == word


def test_only_a_step_that_asks_for_people_has_them_on_its_form(people: People) -> None:
    one = qualified(people, valid_until=date(2999, 1, 1))
    repair, client = site(people, applicator=["filler"]), signed_in(people.ines)
    step = f"/repairs/{repair.pk}/steps/"
    page = client.get(f"{step}{FILLER}/")
    assert "Qualified people on the day of the step: applicator: filler" in text_of(page)
    form = page.context["form"]
    assert form.fields["applicators"].choices == [
        (one, "Tomas Reed: Filler, valid through 1 Jan 2999")
    ]
    assert "applicators" not in client.get(f"{step}{THICKNESS}/").context["form"].fields


def test_who_did_the_work_is_ticked_and_shown(people: People) -> None:
    one, kept = qualified(people, valid_until=date(2999, 1, 1)), batch(people)
    repair, client = site(people, applicator=["filler"]), signed_in(people.ines)
    there = f"/repairs/{repair.pk}/steps/{FILLER}/"
    typed = {
        "r1_mix_start": "2026-05-12T12:00",
        "r1_mix_end": "2026-05-12T12:05",
        "batches": [str(kept.pk)],
    }
    missing = enter(client, there, applicators=[], **typed)
    assert "Tick who did the work; the step asks for: filler." in text_of(missing)

    page = enter(client, there, applicators=[str(one)], **typed)
    assert QualificationUse.objects.get().qualification_id == one
    assert "Tomas Reed, applicator (Filler; certificate Q-1)" in text_of(page)
