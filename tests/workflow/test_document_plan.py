"""What the record says of its plan's revisions, of steps taken out, and of older inspections."""

from dataclasses import replace

import pytest

from qc.certificate.page import render_html
from qc.certificate.snapshot import build
from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.records.models import Repair
from qc.workflow import agree_plan, revise_plan
from qc.workflow.document import record_document
from tests.factories import (
    AMBIENT,
    FILLER,
    NOON,
    SHORT_PLAN,
    THICKNESS,
    act_on,
    attach,
    record,
    repair_on_site,
)
from tests.people import People

THINNER = replace(SHORT_PLAN[2], criteria={"rule": "minimum", "min": "4 mm"})


@pytest.fixture
def revised(people: People) -> Repair:
    """A repair whose third step was changed and whose first was taken out, both inspected."""
    repair = repair_on_site(people)
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)
    attach(people, repair, THICKNESS, "gauge")
    steps = (SHORT_PLAN[1], THINNER, SHORT_PLAN[3])
    act = act_on(people, Party.CONTRACTOR)
    revise_plan(repair_id=repair.pk, steps=steps, reason="design DN-7", **act)
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    record(people, repair, 2, [{"values": ["4.5 mm"]}])
    return repair


def test_every_agreed_revision_is_told_with_what_it_changed(revised: Repair) -> None:
    first, second = record_document(revised)["plan_revisions"]

    assert (first["revision"], first["changes"]) == (2, [])
    assert (second["revision"], second["reason"], second["applies_from"]) == (3, "design DN-7", 1)
    assert (second["agreed_by"], second["drafted_by"]) == ("Clara Kestle", "Carl Vale")
    told = [(c["what"], c["step"], c["fields"]) for c in second["changes"]]
    field = {
        "path": "criteria.min",
        "before": "5 mm",
        "after": "4 mm",
        "source_before": "common practice",
        "source_after": "common practice",
    }
    assert told == [("changed", "thickness", [field]), ("removed", "ambient", [])]


def test_a_step_taken_out_stays_in_the_record_with_its_inspections(revised: Repair) -> None:
    (gone,) = record_document(revised)["removed_steps"]

    assert (gone["key"], gone["outcome"]) == ("ambient", "conforms")
    assert (gone["last_in_revision"], gone["removed_by_revision"]) == (2, 3)
    assert gone["inspections"][0]["readings"][0]["air"] == "21 degC"


def test_an_inspection_under_an_older_plan_stands_with_the_criteria_that_judged_it(
    revised: Repair,
) -> None:
    step = record_document(revised)["steps"][1]

    old, new = step["inspections"]
    assert (old["plan_revision"], old["counts"], old["series"]) == (2, False, 1)
    assert old["criteria"]["min"] == "5 mm"
    assert (new["plan_revision"], new["counts"], new["series"]) == (3, True, 2)
    assert "criteria" not in new
    assert (step["since"], step["outcome"]) == (3, "conforms")


def test_the_certificate_lists_agreed_revisions_and_steps_taken_out(revised: Repair) -> None:
    html = render_html(build(revised, "QR-1", NOON))

    assert "Agreed revisions of the plan" in html
    assert "Clara Kestle, " in html
    assert "design DN-7" in html
    assert "revision 2, removed by revision 3" in html
    assert "Series 1</b>, under revision 2 of the plan" in html
    assert "after rework" not in html


def test_a_plan_that_was_never_revised_says_so_by_saying_nothing(people: People) -> None:
    repair = repair_on_site(people)
    document = record_document(repair)

    assert [one["revision"] for one in document["plan_revisions"]] == [2]
    assert document["removed_steps"] == []
    html = render_html(build(repair, "QR-1", NOON))
    assert "Agreed revisions" not in html


def test_readings_of_one_characteristic_never_stand_on_a_step_of_another(
    people: People, revised: Repair
) -> None:
    other = replace(SHORT_PLAN[3], key="ambient")

    with pytest.raises(Refused, match="readings of another characteristic are on record"):
        revise_plan(
            repair_id=revised.pk,
            steps=(SHORT_PLAN[1], THINNER, SHORT_PLAN[3], other),
            reason="x",
            **act_on(people, Party.CONTRACTOR),
        )
