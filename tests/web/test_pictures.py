"""The pictures: everything stands where it was taken, and the picture says the same in words."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.template import engines

from qc.web.templatetags import geometry, marks, pictures

HOSTILE = "<script>alert(1)</script>"


def render(source: str, /, **context: Any) -> str:
    return engines["django"].from_string("{% load pictures %}" + source).render(context)


def pipe(**more: Any) -> dict[str, Any]:
    return pictures.pipe({"length": "300 mm", **more})


def at(x: str, clock: str, outcome: str = "conforms") -> dict[str, str]:
    return {"x": x, "clock": clock, "outcome": outcome, "label": "10.4"}


def point(margin: str | None, outcome: str = "conforms", limit: str = "3") -> dict[str, Any]:
    return {"label": "08:10", "margin": margin, "limit": limit, "outcome": outcome}


@pytest.mark.parametrize(
    ("clock", "hours"),
    [("12", "0"), ("0", "0"), ("3", "3"), ("6:30", "6.5"), ("11:45", "11.75"), (6, "6")],
)
def test_a_clock_position_is_hours_from_the_top(clock: object, hours: str) -> None:
    assert geometry.hours(clock) == Decimal(hours)


def test_readings_stand_by_their_length_and_clock_position() -> None:
    drawn = pipe(readings=[at("0", "12"), at("150", "6"), at("300 mm", "9")])
    frame = drawn["plot"]
    first, middle, last = drawn["readings"]
    assert (first["x"], first["y"]) == (frame.left, frame.top)
    assert middle["x"] == (frame.left + frame.right) / 2
    assert middle["y"] == (frame.top + frame.bottom) / 2
    assert last["x"] == frame.right
    assert last["y"] == pytest.approx(frame.top + (frame.bottom - frame.top) * 0.75)


def test_a_label_near_the_right_edge_stands_to_the_left_of_its_mark() -> None:
    near, far = pipe(readings=[at("10", "6"), at("295", "6")])["readings"]
    assert near["anchor"] == "start"
    assert near["label_x"] > near["x"]
    assert far["anchor"] == "end"
    assert far["label_x"] < far["x"]


@pytest.mark.parametrize(
    ("middle", "height", "spans"),
    [
        ("6", "2", [("5", "7")]),
        ("0", "2", [("11", "12"), ("0", "1")]),
        ("11.5", "2", [("10.5", "12"), ("0", "0.5")]),
        ("6", "12", [("0", "12")]),
        ("11", "2", [("10", "12")]),
    ],
)
def test_an_area_over_the_top_of_the_pipe_is_cut_in_two(
    middle: str, height: str, spans: list[tuple[str, str]]
) -> None:
    expected = [(Decimal(start), Decimal(end)) for start, end in spans]
    assert geometry.spans(Decimal(middle), Decimal(height)) == expected


def test_the_leak_is_outlined_in_the_pipes_own_measure() -> None:
    leak = {"x": "75", "length": "150", "clock": "6", "hours": "3"}
    drawn = pipe(leak=leak)
    (outline,) = drawn["leak"]
    frame = drawn["plot"]
    assert outline["width"] == (frame.right - frame.left) / 2
    assert outline["height"] == (frame.bottom - frame.top) / 4


def test_the_pipe_says_in_words_what_it_shows() -> None:
    drawn = render(
        "{% pipe picture %}",
        picture={
            "length": "300",
            "unit": "mm",
            "leak": {"x": "120", "length": "40", "clock": "6", "hours": "2"},
            "readings": [at("60", "6"), at("80", "7"), at("90", "6", "does_not_conform")],
            "next": {"x": "190", "clock": "7:15"},
        },
    )
    for said in (
        "Leak outlined from 120 to 160 mm, at 6 o&#x27;clock.",
        "Readings: 2 conforms, 1 does not conform.",
        "Next at 190 mm, 7:15 o&#x27;clock.",
    ):
        assert said in drawn
    assert drawn.count(marks.shape("does_not_conform")) == 2, "once at its place, once explained"


def test_a_pipe_without_readings_is_still_a_pipe() -> None:
    drawn = render("{% pipe picture %}", picture={"length": "12", "unit": "in"})
    assert "Pipe unrolled over 12 in" in drawn
    assert "mark-at" not in drawn


def test_a_hostile_label_stays_text_in_every_picture() -> None:
    reading = at("1", "6") | {"label": HOSTILE}
    drawn = render(
        "{% pipe picture %}{% margin points %}{% rail steps %}",
        picture={"length": "300", "unit": HOSTILE, "readings": [reading]},
        points=[point("4") | {"label": HOSTILE}],
        steps=[{"number": 1, "title": HOSTILE, "state": "in_hand", "current": True}],
    )
    assert "<script" not in drawn
    assert "&lt;script&gt;" in drawn


def test_a_margin_above_its_limit_is_drawn_above_the_line_and_one_below_below() -> None:
    above, on_it, below = pictures.margin(
        [point("3.1"), point("3"), point("2.9", "does_not_conform")]
    )["points"]
    assert above["y"] < above["limit_y"]
    assert on_it["y"] == on_it["limit_y"]
    assert below["y"] > below["limit_y"]


def test_a_margin_below_zero_has_room_below_zero() -> None:
    drawn = pictures.margin([point("2"), point("-1.5", "does_not_conform")])
    assert drawn["points"][1]["y"] < drawn["plot"].bottom
    assert drawn["least"]["margin"] == "-1.5"
    assert any(line["label"] < 0 for line in drawn["grid"])


def test_a_margin_that_is_not_known_is_marked_and_joined_to_nothing() -> None:
    drawn = pictures.margin([point("5"), point(None, "cannot_be_judged"), point("4")])
    assert len(drawn["course"]) == 1
    assert "not known" in drawn["description"]
    assert "cannot be judged" in drawn["description"]


def test_every_failing_margin_carries_its_figure_however_many_there_are() -> None:
    points = [point("5") for _ in range(10)]
    points[3] = point("2.5", "does_not_conform")
    points[6] = point("1.5", "does_not_conform")
    named = [index for index, p in enumerate(pictures.margin(points)["points"]) if p["named"]]
    assert named == [3, 6, 9]


def test_a_changing_limit_is_drawn_at_every_point() -> None:
    first, second = pictures.margin([point("5", limit="3"), point("5", limit="4")])["points"]
    assert second["limit_y"] < first["limit_y"]


@pytest.mark.parametrize("margins", [[], [None], ["0"], ["3"]])
def test_few_or_no_points_are_drawn_without_fault(margins: list[str | None]) -> None:
    points = [point(m, "conforms" if m else "cannot_be_judged") for m in margins]
    drawn = render("{% margin points %}", points=points)
    assert ("<svg" in drawn) == bool(margins)
