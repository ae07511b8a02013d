"""What was inspected, in a page: labels, found values, the stamp."""

import pytest

from qc.certificate.series import Found
from qc.certificate.site import Site
from qc.certificate.steps import StepView, step_view
from qc.certificate.summary import Scope, label_of, scope_of, stamp_of
from tests.certificate.records import RecordWriter
from tests.certificate.repairs import wrap, wrap_writer


def _found(rule: str, statement: str, observed: str = "", limit: str = "") -> Found:
    return Found(
        outcome="conforms",
        rule=rule,
        statement=statement,
        observed=observed,
        limit=limit,
        source="",
    )


@pytest.mark.parametrize(
    ("found", "label"),
    [
        (
            _found("ambient.margin", "Margin, reading 1, 7.1 °C: at least 3 °C is met.", "7.1 °C"),
            "Margin",
        ),
        (_found("cleanliness.grade", "St 3 meets the required St 2.", "St 3"), "Grade"),
        (_found("mixing.duration_min", "Too short."), "Duration"),
        (_found("x.long_name_max", "Too long."), "Long name"),
    ],
)
def test_a_finding_is_named_by_its_sentence_or_its_rule(found: Found, label: str) -> None:
    assert label_of(found) == label


def test_findings_of_one_rule_are_told_apart_by_their_sentences() -> None:
    found = _found("visual.item", "Seal pad: accepted.", "accepted", "covers the defect")

    assert label_of(found, alone=False) == "Seal pad"


def _views(writer: RecordWriter) -> list[StepView]:
    site = Site.of(writer.record)
    return [step_view(step, site) for step in writer.record["steps"]]


def _scope(key: str) -> Scope:
    record = wrap()["record"]
    site = Site.of(record)
    step = next(step for step in record["steps"] if step["key"] == key)
    return scope_of(step_view(step, site), step, site)


def test_the_scope_says_what_was_asked_found_by_whom_with_what_and_when() -> None:
    scope = _scope("ambient")

    margin = scope.lines[0]
    assert (margin.label, margin.limit.replace("\xa0", " "), margin.found.replace("\xa0", " ")) == (
        "Margin above the dew point",
        "at least 3 °C",
        "6.1 °C",
    )
    assert scope.by == "Ines Dunmore"
    assert scope.means == "hygrometer H-07, surface thermometer T-02"
    assert scope.when == "12 May 2026 08:10 to 15:40"


def test_a_long_checklist_takes_one_line() -> None:
    (line,) = _scope("final").lines

    assert line.label == "4 items"
    assert line.found == "4 of 4 conform"


def test_a_step_that_was_reworked_says_so() -> None:
    assert _scope("filler_thickness").was_reworked
    assert not _scope("hardness").was_reworked


def test_enough_readings_are_no_line_of_their_own() -> None:
    labels = [line.label for line in _scope("profile").lines]

    assert labels == ["Profile"]


def test_too_few_readings_are() -> None:
    writer = RecordWriter("composite_wrap")
    writer.inspect("profile", "12 09:05", [{"location": "top", "values": ["50 um"]}])
    step = writer.step("profile")
    site = Site.of(writer.record)

    labels = [line.label for line in scope_of(step_view(step, site), step, site).lines]

    assert "Locations" in labels
    assert "Readings" in labels


def test_the_stamp_conforms_only_if_every_step_does() -> None:
    writer = wrap_writer()

    stamp = stamp_of(_views(writer))

    assert (stamp.outcome, stamp.conforming, stamp.steps, stamp.reworked) == ("conforms", 15, 15, 1)


@pytest.mark.parametrize("outcome", ["does_not_conform", "cannot_be_judged", "incomplete"])
def test_one_step_that_does_not_conform_changes_the_stamp(outcome: str) -> None:
    writer = wrap_writer()
    writer.step("cure")["outcome"] = outcome

    stamp = stamp_of(_views(writer))

    assert stamp.outcome == outcome
    assert stamp.conforming == 14


def test_a_step_without_inspection_is_no_pass() -> None:
    stamp = stamp_of(_views(RecordWriter("composite_wrap")))

    assert stamp.outcome == "incomplete"
    assert stamp.conforming == 0
