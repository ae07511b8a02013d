"""The place of a defect in words, and whether two repairs may lie at the same one."""

from typing import Any

import pytest

from qc.records.position import Details, may_coincide, position_text, size_text


def defect(**said: str) -> Details:
    unsaid = dict.fromkeys(("type", "length", "width", "depth", "distance", "clock", "position"))
    return {name: said.get(name, "") for name in unsaid}


def at(distance: str, length: str = "", clock: str = "", position: str = "from F3") -> Details:
    return defect(distance=distance, length=length, clock=clock, position=position)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, ""),
        ({"distance": "1.2 m", "position": "from flange F3", "clock": "5"}, "1.2 m from flange F3"),
        ({"clock": "6:30"}, "6:30 o'clock"),
        ({"position": "outer bend", "clock": "9"}, "outer bend, 9 o'clock"),
        ({"distance": "40 in"}, "40 in"),
    ],
)
def test_a_position_is_said_as_far_as_it_is_known(said: dict[str, str], words: str) -> None:
    assert position_text(defect(**said)).startswith(words)


def test_a_size_is_said_as_far_as_it_is_known() -> None:
    assert size_text(defect(length="70 mm", depth="3.4 mm")) == "70 mm long, 3.4 mm deep"
    assert size_text(defect()) == ""


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        # Lengths of 70 and 120 mm reach 95 mm, half of each to either side.
        (at("2.4 m", "70 mm"), at("2.495 m", "120 mm"), True),
        (at("2.4 m", "70 mm"), at("2496 mm", "120 mm"), False),
        (at("2.495 m", "120 mm"), at("2.4 m", "70 mm"), True),
        (at("1 m"), at("1000 mm"), True),
        (at("1 m"), at("1001 mm"), False),
        (at("1 m", clock="12"), at("1 m", clock="6"), True),
        (at("1 m", position="from F3"), at("1 m", position="from F4"), False),
        (at("1 m", position="from  f3 "), at("1 m", position="From F3"), True),
        (at("1 m", position=""), at("1 m", position=""), True),
        (at("", position="outer bend"), at("", position="Outer bend"), True),
        (at("", position="outer bend"), at("1 m", position="outer bend"), True),
        (at("", clock="3", position="bend"), at("", clock="9", position="bend"), False),
        (at("", clock="3", position="bend"), at("", position="bend"), True),
        (at("", clock="3", position=""), at("", clock="3", position=""), False),
        (at("", position=""), at("", position=""), False),
        (at("0.01 in", "0.01 in"), at("0.254 mm"), True),
    ],
)
def test_two_defects_meet_where_their_lengths_or_words_do(
    one: Any, other: Any, expected: bool
) -> None:
    assert may_coincide(one, other) is expected
    assert may_coincide(other, one) is expected
