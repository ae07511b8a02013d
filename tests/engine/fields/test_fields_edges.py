"""Choices in all their spellings, and bounds rounded inwards in the unit that was typed."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from qc.engine.sampling import propose_case

SHEET = {"rule": "one_each", "seed": "s", "length": "2 m", "breadth": "1 m", "one_each": "1 m2"}


@pytest.mark.parametrize(
    "spelling", ["Sa 2½", "sa2 1/2", "Sa 2-1/2", "SA 2.5", "Sa2½", "sa_2.5", "Sa 2 ½"]
)
def test_a_half_may_be_written_in_many_ways(spelling: str) -> None:
    case = {"characteristic": "cleanliness", "criteria": {"required": spelling}}

    verdict = judge_case(case | {"readings": [{"achieved": "Sa 2½"}]})

    assert verdict["findings"][0]["limit"] == "Sa 2½ or cleaner"


def thickness(profile: Any) -> str:
    criteria = {"rule": "iso19840", "nominal": "300 um", "surface_profile": profile}
    case = {"characteristic": "thickness", "criteria": criteria}
    return str(judge_case(case | {"readings": [{"values": ["340 um"] * 5}]})["computed"]["mean"])


def test_a_choice_may_be_given_as_a_quantity_where_it_has_a_dimension() -> None:
    """ISO 19840, second-hand: a medium profile takes off 25 um, a measured one itself."""
    assert thickness("medium") == "315 um"
    assert thickness("30 um") == "310 um"
    with pytest.raises(InvalidValue, match="surface_profile: 'rough' is not one of: .* 30 um"):
        thickness("rough")
    with pytest.raises(InvalidValue, match="surface_profile"):
        thickness("30 kg")


@pytest.mark.parametrize(
    ("length", "said"),
    [
        ("0.393700000 in", "is below 0.393700788 in (10 mm), the least allowed"),
        ("40000 ft", "is above 32808.3 ft (10000000 mm), the most allowed"),
        ("9 mm", "is below 10 mm, the least allowed"),
        ("0.9 cm", "is below 1 cm, the least allowed"),
    ],
)
def test_a_bound_that_does_not_come_out_even_is_rounded_inwards(length: str, said: str) -> None:
    """Calculated: 10 mm / 25.4 = 0.3937007874 in; 10 km / 304.8 mm = 32808.39895 ft."""
    with pytest.raises(InvalidValue) as refused:
        propose_case(SHEET | {"length": length})

    assert str(refused.value) == f"sampling.length: {length} {said}"
