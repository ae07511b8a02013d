"""What the certificate's page says, from the snapshot alone."""

import copy
from collections.abc import Callable
from typing import Any

import pytest

from qc.certificate.page import render_html, view_of
from qc.engine.characteristics.ambient import AMBIENT
from tests.certificate.reading import text_of
from tests.certificate.records import RecordWriter, snapshot_of, utc
from tests.certificate.repairs import coating, wrap, wrap_writer

PROBES = (
    "<script>alert(1)</script>",
    "<img src='file:///etc/hostname'>",
    '<link rel=attachment href="file:///etc/hostname">',
    "<style>@import url(http://127.0.0.1:9/x.css); * { font-size: 900pt }</style>",
    "</td></tr></table><h1>Approved</h1>",
    "{{ snapshot }}{% debug %}",
    "a & b &lt; c \"d\" 'e'",
    "</title><svg onload=x>",
)


@pytest.fixture(scope="module")
def page() -> str:
    return text_of(render_html(wrap()))


def test_the_title_block_names_number_issue_repair_component_and_parties(page: str) -> None:
    for said in (
        "QR-sq-26-R-014 revision 1 · issued 14 May 2026 16:42 (UTC+01:00)",
        "Repair | R-014 Wrap over a sealed leak",
        "6-CW-118 Cooling water supply, pipe rack west, line 6-CW-1180-B1,"
        " 168.3 mm × 7.11 mm, Carbon steel",
        "Service: Cooling water; in operation 18 °C, 4 bar; designed for 60 °C, 10 bar",
        "Defect | Through-wall: Pinhole leak at 6 o'clock",
        "4 mm long, 4 mm wide; 1.2 m from flange F3, 6 o'clock",
        "Repair class 2; design life 20 years; next inspection by 31 May 2028",
        "This certificate does not design the repair",
        "Inspector | Harrow Point Inspection",
        "Contractor | Fenwick Line Repair",
        "Client | Saltmarsh Quay Terminal",
        "Composite wrap over a sealed leak, revision 2",
        "15 of 15 steps conform",
    ):
        assert said in page


def test_the_plan_says_who_agreed_it_where_the_record_does() -> None:
    writer = wrap_writer()
    writer.record["plan"] |= {"agreed_by": "Ada Kestle", "agreed_at": utc("09 08:00")}

    assert "Agreed | Ada Kestle, 9 May 2026 09:00" in text_of(render_html(writer.snapshot()))


def test_every_step_is_in_the_table_of_what_was_inspected(page: str) -> None:
    scope = page[page.index("What was inspected") : page.index("Signatures")]

    for step in wrap()["record"]["steps"]:
        assert f"{step['position']} | {step['title']} |" in scope


def test_a_signature_shows_name_firm_meaning_both_clocks_and_digest(page: str) -> None:
    digest = wrap()["record_digest"]

    assert (
        "Client | Ada Kestle Saltmarsh Quay Terminal | Record approved |"
        " 14 May 2026 16:31 (UTC+01:00) 14 May 2026 15:31 UTC" in page
    )
    assert page.count(" ".join(digest[i : i + 4] for i in range(0, 64, 4))) >= 4
    assert "another record" not in page


def test_a_signature_on_another_record_is_told() -> None:
    snapshot = copy.deepcopy(wrap())
    snapshot["signatures"][1]["record_digest"] = "0" * 64

    assert text_of(render_html(snapshot)).count("another record") == 1


def test_criteria_stand_with_their_source(page: str) -> None:
    assert (
        "Least margin of the steel above the dew point | 3 °C |"
        " IMO guideline on blasting conditions, 3.3" in page
    )


def test_ambient_readings_stand_with_dew_point_margin_and_outcome(page: str) -> None:
    assert "1 | 12 May 2026 08:10 | 14.2 | 71 | 9.0 | 15.1, 16.8 | 6.1 | Conforms" in page
    assert "For all 3 readings: Moisture visible on the steel no" in page


@pytest.mark.parametrize("field", AMBIENT.reading, ids=lambda field: field.name)
def test_whatever_an_ambient_reading_holds_is_printed(field: Any) -> None:
    values = {
        "at": utc("12 07:10"),
        "air": "14.2 degC",
        "humidity": "71 %",
        "wet_bulb": "11.1 degC",
        "bulb": "water",
        "pressure": "1013 hPa",
        "altitude": "12 m",
        "steel": ["15.1 degC", "16.8 degC"],
        "moisture_visible": False,
        "rising": True,
    }
    writer = RecordWriter("composite_wrap")
    writer.inspect("ambient", "12 07:10", [values])

    assert field.name in values
    assert field.label in text_of(render_html(writer.snapshot()))


def test_units_stand_in_the_heads_and_us_units_where_the_repair_has_them() -> None:
    page = text_of(render_html(coating()))

    assert "Air temperature (dry bulb), °F" in page
    assert "Dew point, °F" in page
    assert "Readings, mil" in page
    assert "at least 6.4 mil" in page
    assert '<body class="us">' in render_html(coating())


def test_a_failing_value_never_prints_as_its_limit(page: str) -> None:
    assert "9.96 mm: misses at least 10 mm by 0.04 mm" in page


def test_a_rework_shows_both_series_and_what_was_done(page: str) -> None:
    assert "Series 1 Does not conform replaced by the series below" in page
    assert (
        "Series 2, after rework: Filler built up over the leak with the same mix Conforms" in page
    )
    assert "1 after rework" in page


def test_a_corrected_entry_is_struck_with_the_reason_and_both_values(page: str) -> None:
    html = render_html(wrap())

    assert "Entry 1 does not count. Ines Dunmore corrected it by entry 2" in page
    assert "570 was typed for 57 at 4 o'clock" in page
    assert 'class="data readings struck"' in html
    assert "51, 57, 570, 51" in page
    assert "51, 57, 57, 51" in page


def test_a_late_entry_is_marked_late(page: str) -> None:
    assert "12 May 2026 10:05 | 12 May 2026 12:20 late entry" in page
    assert page.count("late entry") == 1


def test_instruments_stand_with_calibration_and_batches_with_expiry(page: str) -> None:
    assert "depth gauge D-01 (calibration C-D-01-25, due 30 Nov 2026)" in page
    assert "Filler, metal-filled, part A, batch A-311 (use by 31 Jan 2027)" in page


def test_an_instrument_that_not_every_entry_used_names_its_entries() -> None:
    writer = wrap_writer()
    reading = writer.step("ambient")["inspections"][0]["readings"][0] | {"at": utc("12 16:00")}
    writer.inspect("ambient", "12 16:00", [reading])

    page = text_of(render_html(writer.snapshot()))

    assert "hygrometer H-07 (calibration C-H-07-25, due 30 Nov 2026), in entry 1, 2, 3" in page


def test_points_say_who_closed_them_when_and_how(page: str) -> None:
    points = page[page.index("Intervention points") : page.index("Evidence")]

    assert "H Hold: released by Ada Kestle, 13 May 2026 10:00" in points
    assert "Witness: attended by Ada Kestle, 12 May 2026 08:55. Watched for ten minutes" in points
    assert "Witness: waived by Ada Kestle, 12 May 2026 12:30. On another unit" in points
    assert "Hold: by the verdict of Ines Dunmore" in points
    assert "is open" not in points


def test_notices_stand_with_the_point_they_are_of_and_a_replaced_one_too(page: str) -> None:
    points = page[page.index("Intervention points") : page.index("Evidence")]

    assert (
        "Notice: for 12 May 2026 12:00, given by Tomas Vale, 10 May 2026 10:30; accepted by"
        " Ada Kestle, 10 May 2026 11:15 (no longer stands)"
        " Notice: for 12 May 2026 12:30, given by Tomas Vale, 11 May 2026 09:15."
        " An hour later than told first W Witness: waived by Ada Kestle"
    ) in points


def test_the_codes_of_the_plan_stand_in_its_own_words_with_notice_and_source(page: str) -> None:
    assert "What each code means in this plan: H Hold point: work does not go past" in page
    assert "notice 24 h (to be confirmed against the contract); lapses after the moment" in page


def test_a_notice_in_working_time_says_so() -> None:
    writer = wrap_writer()
    witness = writer.record["plan"]["terms"]["witness"]
    writer.record["plan"]["terms"]["witness"] = witness | {"code": "W2", "hours": "working"}

    page = text_of(render_html(writer.snapshot()))

    assert "W2 Witness point: " in page
    assert "notice 24 h of working time (to be confirmed" in page


def test_an_open_point_and_one_that_no_longer_stands_are_told() -> None:
    writer = wrap_writer()
    writer.step("profile")["closures"][-1]["stands"] = False

    page = text_of(render_html(writer.snapshot()))

    assert "(no longer stands) H Hold: is open" in page


def test_evidence_is_listed_with_name_caption_and_digest(page: str) -> None:
    one = wrap()["record"]["steps"][0]["evidence"][0]
    grouped = " ".join(one["sha256"][i : i + 4] for i in range(0, 64, 4))

    assert f"IMG_2041.jpg | {one['caption']} (photograph, 1 482 kB) | Tomas Vale" in page
    assert grouped in page


def test_a_return_is_told_with_its_reason() -> None:
    writer = wrap_writer()
    writer.record["returns"].append(
        {
            "party": "client",
            "by": "Ada Kestle",
            "reason": "Photograph 3 blurred",
            "at": utc("13 12:00"),
        }
    )

    page = text_of(render_html(writer.snapshot()))

    assert "Returned for correction" in page
    assert "13 May 2026 13:00 | Ada Kestle (client) | Photograph 3 blurred" in page


def test_cautions_and_the_limits_of_the_certificate_are_printed(page: str) -> None:
    assert "It does not design the repair" in page
    assert "A live leak can grow without notice" in page
    assert "Never clean over the leak or over a wall that may be too thin. (step 5)" in page
    assert "(steps 1, 4, 10, 15)" in page


def test_record_ledger_and_engine_are_named(page: str) -> None:
    assert "57 entries, the last with hash" in page
    assert f"Judged by | {wrap()['engine']}" in page


def test_a_step_that_does_not_conform_is_never_stamped_conforming() -> None:
    writer = RecordWriter("composite_wrap")
    writer.inspect(
        "filler_thickness", "12 10:00", [{"zone": "elsewhere", "values": ["4.99 mm"] * 10}]
    )

    page = text_of(render_html(writer.snapshot()))

    assert "Does not conform 0 of 15 steps conform" in page
    assert "Not inspected" in page
    assert "nothing recorded" in page


Put = Callable[[RecordWriter, str], None]


def _record_field(*path: str) -> Put:
    def put(writer: RecordWriter, text: str) -> None:
        place = writer.record
        for name in path[:-1]:
            place = place[name]
        place[path[-1]] = text

    return put


def _inspection_field(name: str) -> Put:
    def put(writer: RecordWriter, text: str) -> None:
        writer.step("profile")["inspections"][-1][name] = text

    return put


def _location(writer: RecordWriter, text: str) -> None:
    writer.step("profile")["inspections"][-1]["readings"][0]["location"] = text


def _evidence(name: str) -> Put:
    def put(writer: RecordWriter, text: str) -> None:
        writer.step("profile")["evidence"][0][name] = text

    return put


def _note(writer: RecordWriter, text: str) -> None:
    writer.step("profile")["closures"][0]["note"] = text


FREE_TEXTS = {
    "repair title": _record_field("repair", "title"),
    "defect": _record_field("repair", "defect"),
    "tag": _record_field("repair", "component", "tag"),
    "line": _record_field("repair", "component", "line"),
    "position": _record_field("repair", "defect_details", "position"),
    "repair class": _record_field("repair", "design", "repair_class"),
    "firm": _record_field("project", "parties", "client"),
    "site": _record_field("project", "site"),
    "remarks": _inspection_field("remarks"),
    "reason": _inspection_field("reason"),
    "recorder": _inspection_field("recorded_by"),
    "location": _location,
    "caption": _evidence("caption"),
    "file name": _evidence("filename"),
    "note": _note,
}


@pytest.mark.parametrize("place", FREE_TEXTS)
@pytest.mark.parametrize("probe", PROBES)
def test_hostile_text_is_printed_literally(place: str, probe: str) -> None:
    writer = wrap_writer()
    FREE_TEXTS[place](writer, probe)

    html = render_html(snapshot_of(writer.record))

    assert probe in text_of(html)
    assert "<script" not in html
    assert "<img" not in html
    assert html.count("<link") == 1
    assert html.count("<h1") == 1
    assert "<style" not in html
    assert "<svg" not in html


def test_a_hostile_signer_is_printed_literally() -> None:
    snapshot = copy.deepcopy(wrap())
    snapshot["signatures"][0]["printed_name"] = PROBES[0]

    assert PROBES[0] in text_of(render_html(snapshot))


def test_letters_without_a_glyph_are_spelled_out_and_the_page_says_so(page: str) -> None:
    writer = wrap_writer()
    writer.record["repair"]["title"] = "漢 wrap\u202e"

    spelled = text_of(render_html(writer.snapshot()))

    assert "⟨U+6F22⟩ wrap⟨U+202E⟩" in spelled
    assert "are printed by their Unicode number" in spelled
    assert "are printed by their Unicode number" not in page


def test_the_page_needs_nothing_but_the_snapshot(django_assert_num_queries: Any, db: None) -> None:
    with django_assert_num_queries(0):
        view_of(wrap())


def test_the_page_is_the_same_each_time() -> None:
    assert render_html(wrap()) == render_html(wrap())
