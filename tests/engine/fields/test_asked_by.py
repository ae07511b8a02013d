"""Which fields of a reading matter for what a plan asks."""

from typing import Any

import pytest

from qc.engine.fields import Field


def field(*asked_by: str) -> Field:
    return Field(name="depth", label="Depth", unit="mm", asked_by=asked_by)


@pytest.mark.parametrize(
    ("criteria", "matters"),
    [
        ({"min": "3 mm"}, True),
        ({"method": "tape"}, True),
        ({"method": ["comb", "tape"]}, True),
        ({"method": ("comb", "tape")}, True),
        ({"method": (("comb", "tape"),)}, True),
        ({"method": (("comb", "stylus"),)}, False),
        ({"method": "comb"}, False),
        ({"method": ["comb"]}, False),
        ({"method": ()}, False),
        ({"min": None, "method": None}, False),
        ({"min": ""}, False),
        ({"min": []}, False),
        ({}, False),
    ],
)
def test_a_field_matters_where_a_criterion_asks_for_it(
    criteria: dict[str, Any], matters: bool
) -> None:
    assert field("min", "method=tape").matters_for(criteria) is matters


def test_a_field_that_nothing_is_said_of_always_matters() -> None:
    assert Field(name="depth", label="Depth").matters_for({})
    assert Field(name="depth", label="Depth", required=True, asked_by=("min",)).matters_for({})
    assert not field().matters_for({"min": "3 mm"})
