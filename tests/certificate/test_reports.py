"""What the certificate says of nonconformances and concessions."""

import copy
from typing import Any

import pytest

from qc.certificate.page import render_html, view_of
from qc.certificate.snapshot import build
from qc.engine.nonconformance import Disposition, ReportDeed
from qc.records.models import Inspection, Repair
from tests.certificate.reading import text_of
from tests.certificate.repairs import wrap
from tests.factories import NOON, THICKNESS, record, repair_on_site
from tests.people import People
from tests.reports import C, K, N, agree_rework, concede, deal, propose, verify

THIN = [{"values": ["4 mm", "6 mm"]}]


def printed(repair: Repair) -> str:
    return text_of(render_html(build(repair, "QR-1", NOON)))


def view(repair: Repair) -> dict[str, Any]:
    return view_of(build(repair, "QR-1", NOON))


@pytest.fixture
def thin(people: People) -> Repair:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, THIN)
    return repair


def test_a_concession_is_printed_with_scope_last_day_and_who_granted_it(
    people: People, thin: Repair
) -> None:
    concede(people, thin)
    deal(people, thin, ReportDeed.CLOSE, N)
    page = printed(thin)

    title = page[: page.index("What was inspected")]
    for part in (title, page[page.index("Nonconformances and concessions") :]):
        assert "One spot of 4 mm, west end" in part
        assert "Holds through 31 Dec 2026" in part
        assert "Clara Kestle (client)" in part


def test_a_step_accepted_by_concession_never_prints_as_plain_conforms(
    people: People, thin: Repair
) -> None:
    concede(people, thin)
    shown = view(thin)

    step, scope = shown["steps"][THICKNESS - 1], shown["scopes"][THICKNESS - 1]
    assert step.came_to == scope.came_to == "conceded"
    assert step.outcome == "does_not_conform"
    assert "3 | Filler thickness |" in printed(thin)
    assert "Accepted by concession through 31 Dec 2026" in printed(thin)


def test_the_stamp_says_that_something_was_accepted_by_concession() -> None:
    from qc.certificate.summary import stamp_of

    snapshot = copy.deepcopy(wrap())
    conforming = view_of(snapshot)
    assert conforming["stamp"].outcome == "conforms"

    step = snapshot["record"]["steps"][3]
    step |= {"outcome": "does_not_conform", "conceded_until": "2026-12-31"}
    stamp = stamp_of(view_of(snapshot)["steps"])
    assert (stamp.outcome, stamp.conceded) == ("conceded", 1)
    assert stamp.conforming == stamp.steps - 1

    snapshot["record"]["steps"][4]["outcome"] = "incomplete"
    assert stamp_of(view_of(snapshot)["steps"]).outcome == "incomplete"


def test_new_readings_take_the_concession_from_the_step(people: People, thin: Repair) -> None:
    concede(people, thin)
    deal(people, thin, ReportDeed.CLOSE, N)
    record(people, thin, THICKNESS, rework="Built up after all")

    assert view(thin)["steps"][THICKNESS - 1].came_to == "conforms"
    assert "One spot of 4 mm, west end" in printed(thin)


def test_a_rework_is_printed_with_every_hand_and_its_words(people: People, thin: Repair) -> None:
    agree_rework(people, thin)
    record(people, thin, THICKNESS, rework="Built up")
    verify(people, thin)
    page = printed(thin)

    assert "Report 1, 3. Filler thickness Closed: rework" in page
    assert "Step 3, Filler thickness" in page
    for row in (
        "Carl Vale (contractor) | contained it | said in words",
        "Carl Vale (contractor) | proposed rework | said in words",
        "Ines Dunmore (inspector) | approved rework | said in words",
        "Carl Vale (contractor) | did the work | said in words",
        "Ines Dunmore (inspector) | re-inspected it | said in words",
        "Ines Dunmore (inspector) | closed the report | said in words",
    ):
        assert row in page
    assert "Concession" not in page


def test_a_repair_is_printed_with_the_concession_for_it(people: People, thin: Repair) -> None:
    propose(people, thin, Disposition.REPAIR)
    deal(
        people,
        thin,
        ReportDeed.APPROVE,
        C,
        concession_scope="Second layer of another filler",
        concession_until=NOON.date(),
    )
    deal(people, thin, ReportDeed.IMPLEMENT, K)
    record(people, thin, THICKNESS, rework="Second layer")
    verify(people, thin)
    page = printed(thin)

    assert "Concession for the repair: Second layer of another filler" in page
    assert view(thin)["steps"][THICKNESS - 1].came_to == "conforms"


def test_reports_are_part_of_what_is_signed(people: People, thin: Repair) -> None:
    from qc.workflow.document import record_digest, record_document

    before = record_digest(thin)
    deal(people, thin, ReportDeed.CONTAIN, K)

    assert record_digest(thin) != before
    (report,) = record_document(thin)["reports"]
    assert report["inspection"] == Inspection.objects.get().pk
    assert [handling["deed"] for handling in report["handlings"]] == ["contain"]


def test_a_record_without_reports_has_no_section_for_them() -> None:
    assert "Nonconformances" not in text_of(render_html(wrap()))
