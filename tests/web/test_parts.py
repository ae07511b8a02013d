"""The parts of the pages: a word and a shape for each outcome, and no stranger's markup."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.conf import settings
from django.template import engines
from django.template.loader import render_to_string
from django.test import RequestFactory

from qc.web.templatetags import marks, parts, pictures

HOSTILE = "<script>alert(1)</script>\"'"


def render(source: str, /, **context: Any) -> str:
    return engines["django"].from_string("{% load parts pictures %}" + source).render(context)


def include(part: str, /, **context: Any) -> str:
    return render(f'{{% include "qc/parts/{part}.html" %}}', **context)


def finding(outcome: str, statement: str = "Measured.", **more: str) -> dict[str, str]:
    return {"rule": "minimum", "outcome": outcome, "statement": statement, **more}


def verdict_of(*findings: dict[str, str], outcome: str = "does_not_conform") -> dict[str, Any]:
    return {"outcome": outcome, "findings": list(findings), "flags": [], "engine": "1.2.3"}


def step(number: int, state: str = "not_started", **more: Any) -> dict[str, Any]:
    return {"number": number, "title": f"Step {number}", "state": state, **more}


def hold(is_open: bool) -> dict[str, Any]:
    return {"kind": "hold", "party": "client", "open": is_open}


@pytest.mark.parametrize(("kind", "word"), marks.OUTCOME_WORDS.items())
def test_an_outcome_is_a_word_a_shape_and_a_class_for_its_colour(kind: str, word: str) -> None:
    drawn = render("{% outcome kind %}", kind=kind)
    assert word in drawn
    assert marks.shape(kind) in drawn
    assert f'class="stamp {kind}"' in drawn


def test_no_two_outcomes_share_a_shape_or_a_word() -> None:
    outcomes = list(marks.OUTCOME_WORDS)
    assert len({marks.shape(kind) for kind in outcomes}) == 4
    assert len(set(marks.OUTCOME_WORDS.values())) == 4


@pytest.mark.parametrize("kind", ["passed", "", "closed", "Conforms"])
def test_an_unknown_outcome_is_never_drawn(kind: str) -> None:
    with pytest.raises(ValueError, match="is not one of"):
        parts.outcome(kind)


def test_a_stamp_takes_another_word_and_escapes_it() -> None:
    drawn = render("{% stamp 'closed' word %}", word=HOSTILE)
    assert "<script" not in drawn
    assert "&lt;script&gt;" in drawn


def test_a_verdict_names_the_worst_finding_first() -> None:
    drawn = render(
        "{% verdict judged %}",
        judged=verdict_of(
            finding("conforms", "Enough readings."),
            finding("incomplete", "One reading is missing."),
            finding("does_not_conform", "Reading 3 is too thin."),
            finding("cannot_be_judged", "No profile is known."),
        ),
    )
    order = ["Reading 3 is too thin.", "No profile is known.", "One reading", "Enough readings."]
    assert sorted(order, key=drawn.index) == order


def test_a_verdict_shows_what_was_found_what_was_asked_its_source_and_its_rules() -> None:
    judged = verdict_of(
        finding("does_not_conform", observed="9.6 mm", limit="10 mm", source="plan rev. 2, step 7")
    )
    judged["flags"] = ["Late entry"]
    drawn = render("{% verdict judged %}", judged=judged)
    for shown in ("9.6\N{NO-BREAK SPACE}mm", "10\N{NO-BREAK SPACE}mm", "plan rev. 2, step 7"):
        assert shown in drawn
    assert "Late entry" in drawn
    assert "1.2.3" in drawn
    assert "Does not conform" in drawn


def test_a_verdict_escapes_every_text_of_its_findings() -> None:
    text = {name: HOSTILE for name in ("observed", "limit", "source")}
    judged = verdict_of(finding("conforms", HOSTILE, **text)) | {"flags": [HOSTILE]}
    drawn = render("{% verdict judged heading=name %}", judged=judged, name=HOSTILE)
    assert "<script" not in drawn


@pytest.mark.parametrize(
    ("stored", "shown"),
    [
        ("24.3 degC", "24.3\N{NO-BREAK SPACE}°C"),
        ("5 delta_degF", "5\N{NO-BREAK SPACE}°F"),
        ("40 um to 60 um", "40\N{NO-BREAK SPACE}µm to 60\N{NO-BREAK SPACE}µm"),
        ("-0.8 delta_degC", "-0.8\N{NO-BREAK SPACE}°C"),
        ("4 hour", "4\N{NO-BREAK SPACE}h"),
        ("degF", "°F"),
        ("12 mil", "12\N{NO-BREAK SPACE}mil"),
        ("85 %", "85\N{NO-BREAK SPACE}%"),
        ("2.999 degC", "2.999\N{NO-BREAK SPACE}°C"),
        ("St 2", "St 2"),
        ("after 2 hourly rounds", "after 2 hourly rounds"),
        ("a second coat", "a second coat"),
    ],
)
def test_units_are_printed_as_written_by_hand_and_figures_stay(stored: str, shown: str) -> None:
    assert parts.printed(stored) == shown


def test_a_digest_stands_in_groups_of_four_and_copies_as_one_word() -> None:
    drawn = parts.digest("0123456789abcdef0")
    assert re.findall(r"<span>(\w+)</span>", drawn) == ["0123", "4567", "89ab", "cdef", "0"]
    assert re.sub(r"<[^>]+>", "", drawn) == "0123456789abcdef0"
    assert re.sub(r"<[^>]+>", "", parts.digest("0123456789", 8)) == "01234567"
    assert "<script" not in parts.digest(HOSTILE)


def test_a_strip_marks_the_failing_figure_and_numbers_those_to_come() -> None:
    readings = [
        {"value": "11.2", "outcome": "conforms"},
        {"value": "9.6", "outcome": "does_not_conform"},
    ]
    drawn = render("{% strip readings 4 %}", readings=readings)
    assert drawn.count("<li") == 4
    assert marks.shape("does_not_conform") in drawn
    assert '9.6</span><span class="vh">, Does not conform' in drawn
    assert "Next, reading </span>3" in drawn
    assert "To come, reading </span>4" in drawn


def test_a_table_names_each_column_in_each_cell_and_draws_outcomes() -> None:
    drawn = render(
        "{% table 'Readings' columns rows %}",
        columns=[{"label": "Time"}, {"label": "Air", "numeric": True}, {"label": "Outcome"}],
        rows=[{"cells": [{"text": HOSTILE}, {"text": "21 degC"}, {"outcome": "incomplete"}]}],
    )
    assert 'data-label="Air" class="n"' in drawn
    assert "21\N{NO-BREAK SPACE}°C" in drawn
    assert "Incomplete" in drawn
    assert "<script" not in drawn


def test_a_table_refuses_a_row_that_does_not_fit_its_columns() -> None:
    with pytest.raises(ValueError, match="zip"):
        parts.table("Readings", [{"label": "Time"}], [{"cells": []}])


def test_the_rail_says_in_words_where_the_repair_stands_and_is_held() -> None:
    steps = [
        step(1, "conforms", points=[hold(False)]),
        step(2, "in_hand", current=True, points=[hold(True)]),
        step(3),
    ]
    drawn = render("{% rail steps %}", steps=steps)
    assert "1 Step 1: Conforms, hold point closed" in drawn
    assert "2 Step 2: In hand, hold point open, you are here" in drawn
    assert "<b>Step 2 of 3</b>" in drawn
    assert "1 hold point open" in drawn


def test_an_open_hold_is_a_gap_in_the_rail_and_a_closed_one_is_not() -> None:
    def stretches(is_open: bool) -> list[tuple[float, float]]:
        lines: list[tuple[float, float]] = pictures.rail(
            [step(1, points=[hold(is_open)]), step(2)]
        )["lines"]
        return lines

    assert len(stretches(False)) == 1
    before, after = stretches(True)
    assert before[1] < after[0]


def test_two_holds_after_one_step_stay_open_until_both_are_closed() -> None:
    rail = pictures.rail([step(1, points=[hold(False), hold(True)])])
    assert [gate["state"] for gate in rail["gates"]] == ["open"]


def test_a_list_of_steps_links_each_step_and_names_each_hold() -> None:
    steps = [step(1, "held", url="/r/1/", points=[hold(True) | {"say": HOSTILE}])]
    drawn = include("steps", steps=steps)
    assert '<a href="/r/1/">1 Step 1</a>' in drawn
    assert "Hold point, client: open" in drawn
    assert "<script" not in drawn


def test_blockers_list_what_is_open_where_and_by_whom() -> None:
    blocker = {"rule": "Calibration", "what": HOSTILE, "where": "Go to step 7", "url": "/s/7/"}
    drawn = include("blockers", blockers=[blocker | {"who": "inspector"}, blocker])
    assert "2 things open" in drawn
    assert '<a class="button" href="/s/7/">Go to step 7</a>' in drawn
    assert "To be cleared by: inspector" in drawn
    assert "<script" not in drawn


def test_a_refused_act_shows_every_reason_and_no_form() -> None:
    drawn = include("act", label="Approve", url="/a/", reasons=["A hold is open.", HOSTILE])
    assert 'aria-disabled="true"' in drawn
    assert "A hold is open." in drawn
    assert "<form" not in drawn
    assert "<script" not in drawn


@pytest.mark.parametrize(
    ("part", "context"),
    [
        ("limit", {"asked": HOSTILE, "more": [HOSTILE], "source": HOSTILE}),
        ("facts", {"facts": [{"label": HOSTILE, "value": HOSTILE, "note": HOSTILE}]}),
        ("definitions", {"items": [{"term": HOSTILE, "definition": HOSTILE, "url": HOSTILE}]}),
        (
            "evidence",
            {"file": {"name": HOSTILE, "digest": HOSTILE, "by": HOSTILE, "kind": HOSTILE}},
        ),
        ("missing", {"what": HOSTILE, "say": HOSTILE, "url": HOSTILE}),
        ("signatures", {"signatures": [{"party": HOSTILE, "name": HOSTILE, "meaning": HOSTILE}]}),
        ("cards", {"cards": [{"title": HOSTILE, "url": HOSTILE, "say": HOSTILE}]}),
        ("empty", {"title": HOSTILE, "say": HOSTILE, "url": HOSTILE, "label": HOSTILE}),
        ("caution", {"cautions": [HOSTILE]}),
        ("crumbs", {"crumbs": [{"label": HOSTILE, "url": HOSTILE}]}),
    ],
)
def test_a_part_escapes_whatever_it_is_handed(part: str, context: dict[str, Any]) -> None:
    drawn = include(part, **context)
    assert "&lt;script&gt;" in drawn
    assert "<script" not in drawn
    assert 'href="<' not in drawn


def test_a_limit_without_a_source_says_that_it_is_to_be_confirmed() -> None:
    drawn = include("limit", asked="At least 10 mm")
    assert "to be confirmed against the licensed text" in drawn


def test_no_template_or_script_carries_inline_style_or_script() -> None:
    folder = settings.BASE_DIR / "templates"
    # The certificate is printed and never shown by a browser, so no policy stands in its way.
    templates = [t for t in folder.rglob("*.html") if folder / "certificate" not in t.parents]
    assert templates
    for template in templates:
        text = template.read_text()
        assert not re.search(r"\sstyle=|<style|<script(?![^>]*\bsrc=)|\son\w+=", text), template


@pytest.mark.parametrize(("cookie", "theme"), [("sun", "sun"), ("", "light"), ('"><b>', "light")])
def test_the_page_is_drawn_in_the_theme_of_the_cookie(cookie: str, theme: str) -> None:
    request = RequestFactory().get("/")
    request.COOKIES["theme"] = cookie
    page = render_to_string("qc/layout.html", {"request": request})
    assert f'<html lang="en" data-theme="{theme}">' in page
    assert "It does not design the repair" in page
