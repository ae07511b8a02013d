"""The page of a step: what is asked, entering readings, the verdict at once, what was recorded."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from qc.ledger.chain import Entry
from qc.records.models import Inspection, Repair
from qc.records.templates import StepTemplate
from qc.workflow import Manner
from tests.factories import (
    AMBIENT,
    FILLER,
    HARDNESS,
    NOON,
    SHORT_PLAN,
    THICKNESS,
    attach,
    close,
    instrument,
    record,
    repair_on_site,
)
from tests.people import People
from tests.web.visitor import enter, sent, signed_in, text_of

HARD = replace(SHORT_PLAN[HARDNESS - 1], instrument_kinds=())
AIR = replace(SHORT_PLAN[AMBIENT - 1], instrument_kinds=())
COATING = StepTemplate(
    key="coating",
    title="Dry film thickness",
    activity="Measure the coating",
    characteristic="thickness",
    sampling="five spots of three readings",
    criteria={"rule": "pa2", "min": "8 mil", "max": "12 mil", "level": "3"},
    sources=dict.fromkeys(("rule", "min", "max", "level"), "SSPC-PA 2"),
    rows=5,
)


def address(repair: Repair, position: int = 1) -> str:
    return f"/repairs/{repair.pk}/steps/{position}/"


def outcome_of(page: Any) -> str:
    return str(page.context["verdict"]["outcome"])


@pytest.mark.parametrize(
    ("typed", "outcome", "words"),
    [
        # A paint maker's technical guide prints dew point 15, difference 4, acceptable. It prints
        # no pressure; standard pressure is taken.
        (
            {"r1_air": "21", "r1_wet_bulb": "17", "r1_pressure": "1013,25", "r1_steel": ["19"]},
            "conforms",
            "4.4 °C: at least 3 °C is met",
        ),
        # The same guide prints dew point 11, do not paint.
        (
            {"r1_air": "16", "r1_humidity": "71", "r1_steel": ["13"]},
            "does_not_conform",
            "2.3 °C: misses at least 3 °C",
        ),
        # Calculated; 21.3 and 3.0 is what rounding first would show.
        (
            {"r1_air": "25", "r1_humidity": "80", "r1_steel": ["24,3"]},
            "does_not_conform",
            "2.99 °C: misses at least 3 °C",
        ),
    ],
)
def test_a_published_dew_point_case_typed_into_the_page_is_judged_as_published(
    people: People, typed: dict[str, Any], outcome: str, words: str
) -> None:
    repair = repair_on_site(people, [replace(AIR, criteria={"margin_min": "3 delta_degC"})])
    page = enter(signed_in(people.ines), address(repair), **typed, r1_moisture_visible="no")
    assert outcome_of(page) == outcome
    assert words in text_of(page)


def test_the_published_coating_example_typed_into_the_page_keeps_to_its_spot_limits(
    people: People,
) -> None:
    # SSPC-PA 2, published example: 8 to 12 mil, so spots from 6.4 to 14.4 mil.
    repair = repair_on_site(people, [COATING])
    page = enter(
        signed_in(people.ines),
        address(repair),
        r1_values=["6,1", "6.5", "6.6"],
        r2_values=["9 9.4 9.2"],
        r3_values=["10", "10.3", "9.9"],
        r4_values=["14", "14.6", "14.5"],
        r5_values=["8.2", "8.4", "8.0"],
    )
    assert outcome_of(page) == "conforms"
    assert "at least 6.4 mil" in text_of(page)
    assert "at most 14.4 mil" in text_of(page)


def test_the_verdict_and_its_reasons_stand_on_top_right_after_recording(people: People) -> None:
    repair = repair_on_site(people, [HARD])
    ines = signed_in(people.ines)
    form = ines.get(address(repair)).context["form"]
    answer = ines.post(address(repair), sent(form, r1_values=["60", "61", "60", "60", "60"]))
    assert answer["Location"] == f"{address(repair)}#verdict"
    page = ines.get(address(repair))
    said = text_of(page)
    assert said.index("Does not conform") < said.index("Asked")
    assert "misses at least 75" in said
    assert "Recorded. Does not conform." in said


def test_a_form_sent_twice_is_one_inspection(people: People) -> None:
    """Also where the verdict it brought about would stand in its way the second time."""
    repair = repair_on_site(people, [HARD])
    ines = signed_in(people.ines)
    data = sent(ines.get(address(repair)).context["form"], r1_values=["60"] * 5)
    first, second = (ines.post(address(repair), data) for _ in range(2))
    assert (first.status_code, second.status_code) == (302, 302)
    assert Inspection.objects.count() == 1
    assert Entry.objects.filter(act="record_inspection").count() == 1


def test_a_wrong_entry_keeps_the_page_and_everything_typed(people: People) -> None:
    repair = repair_on_site(people, [COATING])
    page = enter(
        signed_in(people.ines), address(repair), r2_values=["9", "nine"], remarks="in rain"
    )
    said = text_of(page)
    assert said.startswith("Error: ") or "Error: Dry film thickness" in said
    assert "Reading 2, Readings: nine is not a number such as 12.5" in said
    assert 'value="nine"' in page.content.decode()
    assert "in rain" in page.content.decode()
    assert 'href="#id_r2-values_0"' in page.content.decode()
    assert Inspection.objects.count() == 0


def test_a_refusal_keeps_everything_typed(people: People) -> None:
    """Between opening the form and sending it the inspector may have signed elsewhere."""
    repair = repair_on_site(people, [HARD])
    ines = signed_in(people.ines)
    data = sent(ines.get(address(repair)).context["form"], r1_values=["80"] * 5)
    Repair.objects.filter(pk=repair.pk).update(status="inspected")
    page = ines.post(address(repair), data)
    assert "it cannot record inspection now" in text_of(page)
    assert page.content.decode().count('value="80"') == 5
    assert Inspection.objects.count() == 0


def test_more_room_is_given_without_recording_or_losing_anything(people: People) -> None:
    repair = repair_on_site(people, [COATING])
    ines = signed_in(people.ines)
    data = sent(ines.get(address(repair)).context["form"], r1_values=["6.1", "x"])
    page = ines.post(address(repair), {**data, "more": "rows"})
    assert len(page.context["form"].rows) == 8
    assert 'value="x"' in page.content.decode()
    assert not page.context["form"].errors
    assert Inspection.objects.count() == 0


@pytest.mark.parametrize("who", ["carl", "clara"])
def test_only_the_inspector_enters_readings(people: People, who: str) -> None:
    repair = repair_on_site(people, [HARD])
    data = sent(signed_in(people.ines).get(address(repair)).context["form"], r1_values=["80"] * 5)
    other = signed_in(getattr(people, who))
    page = other.get(address(repair))
    assert page.context["form"] is None
    assert "cannot record inspection; the inspector can" in text_of(page)
    other.post(address(repair), data)
    assert Inspection.objects.count() == 0


def test_past_an_open_hold_the_page_says_which_one_and_leads_there(people: People) -> None:
    repair = repair_on_site(people, [replace(AIR, points={"client": "hold"}), HARD])
    page = signed_in(people.ines).get(address(repair, 2))
    assert page.context["form"] is None
    assert "Step 1, Ambient conditions: hold point of the client is open." in text_of(page)
    assert f'href="{address(repair, 1)}">See step 1</a>' in page.content.decode()


def test_what_is_asked_stands_with_its_source_and_the_way_to_read_it(people: People) -> None:
    repair = repair_on_site(people, [COATING])
    said = text_of(signed_in(people.clara).get(address(repair)))
    assert "Minimum thickness: 8 mil Source: SSPC-PA 2" in said
    assert "five spots of three readings" in said
    assert "How to take this reading" in said
    assert "CAUTION" in said


def test_a_correction_shows_both_with_the_reason_and_is_judged_anew(people: People) -> None:
    repair = repair_on_site(people, [HARD])
    record(people, repair, 1, [{"values": ["60", "80", "80", "80", "80"], "location": "weld"}])
    wrong = Inspection.objects.get()
    ines = signed_in(people.ines)
    page = ines.get(address(repair))
    there = f"{address(repair)}inspections/{wrong.pk}/correct/"
    assert f'href="{there}"' in page.content.decode()
    form = ines.get(there).context["form"]
    assert form["r1-values"].value() == ["60", "80", "80", "80", "80"]
    assert form["r1-location"].value() == "weld"
    page = enter(ines, there, r1_values=["80"] * 5)
    assert "Say why the inspection is corrected" in text_of(page)
    page = enter(ines, there, r1_values=["80"] * 5, reason="60 was misread")
    assert outcome_of(page) == "conforms"
    assert "Corrected: 60 was misread" in text_of(page)
    assert "60, 80, 80, 80, 80" in text_of(page)
    assert '<tr role="row" class="struck">' in page.content.decode()
    assert Inspection.objects.filter(corrects=wrong, reason="60 was misread").count() == 1


def test_what_has_been_replaced_cannot_be_corrected_again(people: People) -> None:
    repair = repair_on_site(people, [HARD])
    record(people, repair, 1, [{"values": ["80"] * 5}])
    there = f"{address(repair)}inspections/{Inspection.objects.get().pk}/correct/"
    ines = signed_in(people.ines)
    form = ines.get(there).context["form"]
    enter(ines, there, reason="rounding", r1_values=["81"] * 5)
    assert "a later inspection has replaced this one" in text_of(ines.get(there))
    answer = ines.post(there, sent(form, reason="again"))
    assert "a later inspection has replaced this one" in text_of(answer)
    assert Inspection.objects.count() == 2


def test_a_correction_can_have_more_rows_than_what_it_corrects(people: People) -> None:
    repair = repair_on_site(people, [COATING])
    record(people, repair, 1, [{"values": ["9 mil", "9 mil", "9 mil"]}])
    there = f"{address(repair)}inspections/{Inspection.objects.get().pk}/correct/"
    ines = signed_in(people.ines)
    data = sent(ines.get(there).context["form"], reason="two were left out")
    roomier = ines.post(there, {**data, "more": "rows"}).context["form"]
    assert roomier["r1-values"].value() == ["9", "9", "9"]
    assert roomier["reason"].value() == "two were left out"
    ines.post(there, sent(roomier, r2_values=["9.5 9.5 9.5"], r3_values=["8 8 8"]))
    assert Inspection.objects.latest("pk").readings.count() == 3


def test_after_rework_the_readings_stand_in_a_series_of_their_own(people: People) -> None:
    repair = repair_on_site(people, [HARD])
    record(people, repair, 1, [{"values": ["60"] * 5}])
    ines = signed_in(people.ines)
    assert "What was done since the last verdict" in text_of(ines.get(address(repair)))
    page = enter(ines, address(repair), r1_values=["80"] * 5, rework="cured another day")
    said = text_of(page)
    assert outcome_of(page) == "conforms"
    assert said.index("Series 2, after rework") < said.index("Series 1")
    assert "Done before it: cured another day" in said


def test_a_late_entry_is_marked(people: People) -> None:
    repair = repair_on_site(people, [HARD])
    record(people, repair, 1, [{"values": ["80"] * 5}], observed_at=NOON - timedelta(hours=2))
    assert "Late entry: recorded 12 May 2026 12:00" in text_of(
        signed_in(people.clara).get(address(repair))
    )


def test_who_when_and_with_what_stand_with_the_readings(people: People) -> None:
    repair = repair_on_site(people, [SHORT_PLAN[AMBIENT - 1]])
    gauge = instrument(people, "hygrometer", identifier="HY-7")
    record(people, repair, 1, instruments=[gauge.pk], remarks="wind from the sea")
    said = text_of(signed_in(people.carl).get(address(repair)))
    assert "Ines Dunmore" in said
    assert "HY-7 (hygrometer), certificate C-" in said
    assert "due 31 Dec 2026" in said
    assert "wind from the sea" in said
    assert "12 May 2026 12:00" in said


def test_the_margin_is_drawn_reading_by_reading_and_never_as_its_limit(people: People) -> None:
    repair = repair_on_site(people, [AIR])
    for hour, steel in ((8, "25 degC"), (9, "24.3 degC")):
        reading = {
            "at": f"2026-05-12T{hour:02}:00+00:00",
            "air": "25 degC",
            "humidity": "80 %",
            "steel": [steel],
            "moisture_visible": False,
        }
        record(people, repair, 1, [reading])
    shift = signed_in(people.ines).get(address(repair)).context["shift"]
    drawn = [(p["label"], p["margin"], p["outcome"]) for p in shift["points"]]
    assert drawn == [("09:00", "3.7", "conforms"), ("10:00", "2.99", "does_not_conform")]


def test_points_and_evidence_of_the_step_say_how_they_stand(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    record(people, repair, FILLER)
    record(people, repair, THICKNESS)
    page = signed_in(people.clara).get(address(repair, THICKNESS))
    assert "Hold, client: open" in text_of(page)
    assert "Missing Photograph of the gauge" in text_of(page)
    assert f'href="{address(repair, THICKNESS)}point/"' in page.content.decode()
    attach(people, repair, THICKNESS, "gauge")
    close(people, repair, THICKNESS, Manner.RELEASED, "seen")
    said = text_of(signed_in(people.clara).get(address(repair, THICKNESS)))
    assert "12 May 2026 12:00 Released by Clara Kestle: seen" in said
    assert "Gauge on the filler" in said
    assert "Missing" not in said


def test_a_point_is_closed_by_its_party_having_seen_what_it_goes_by(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    record(people, repair, FILLER)
    clara, there = signed_in(people.clara), f"{address(repair, THICKNESS)}point/"
    said = text_of(clara.get(there))
    assert "there is no conforming verdict to go by" in said
    record(people, repair, THICKNESS)
    said = text_of(clara.get(there))
    assert "5.6, 6.1, 5.2" in said
    assert "Release the hold" in said
    page = enter(clara, there, note="seen on site")
    assert "The hold point is closed." in text_of(page)
    assert "the client's point is closed already" in text_of(clara.get(there))


def test_a_witness_who_waives_says_why(people: People) -> None:
    repair = repair_on_site(people, [replace(HARD, points={"client": "witness"})])
    clara, there = signed_in(people.clara), f"{address(repair)}point/"
    assert "Choose how the point is closed." in text_of(enter(clara, there))
    assert "waiving needs a reason" in text_of(enter(clara, there, manner="waived"))
    assert "is closed" in text_of(enter(clara, there, manner="waived", note="no flight"))


def test_a_party_without_a_point_is_told_so(people: People) -> None:
    repair = repair_on_site(people)
    answer = signed_in(people.carl).get(f"{address(repair, AMBIENT)}point/")
    assert answer.status_code == 409
    assert "the contractor has no point here" in text_of(answer)


def test_surveillance_has_nothing_to_close(people: People) -> None:
    repair = repair_on_site(people)
    page = signed_in(people.clara).get(f"{address(repair, AMBIENT)}point/")
    assert "Surveillance: the party may look at any time" in text_of(page)
    assert b"<textarea" not in page.content


def test_a_step_that_the_plan_does_not_have_is_not_found(people: People) -> None:
    repair = repair_on_site(people, [HARD])
    ines = signed_in(people.ines)
    assert ines.get(address(repair, 9)).status_code == 404
    assert ines.get(f"{address(repair)}inspections/99/correct/").status_code == 404


def test_the_moment_offered_is_that_of_the_clock_at_the_site(people: People) -> None:
    repair = repair_on_site(people, [HARD])
    before = timezone.now().replace(second=0, microsecond=0)
    form = signed_in(people.ines).get(address(repair)).context["form"]
    offered = form["observed_at"].value().replace(tzinfo=form.work.zone)
    assert before <= offered.astimezone(UTC) + timedelta(minutes=1)
    assert offered <= datetime.now(UTC)


def test_the_queries_of_a_step_do_not_grow_with_its_readings(people: People) -> None:
    repair = repair_on_site(people, [COATING])
    ines = signed_in(people.ines)
    counts = []
    for _ in range(3):
        record(people, repair, 1, [{"values": ["9 mil", "9 mil", "9 mil"]}] * 4)
        with CaptureQueriesContext(connection) as captured:
            ines.get(address(repair))
        counts.append(len(captured))
    assert counts[1] == counts[2]
