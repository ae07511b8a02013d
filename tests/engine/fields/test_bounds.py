"""A refusal names the bound in the unit that was typed."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.fields import Field, InvalidValue, parse_fields
from qc.engine.quantities import Dimension, Quantity, dimension_of, units_of

AIR = ("degC", "-45", "60")
SMALL = ("mm", "0.001", "100000")
FILM = ("um", "0", "500000")
MARGIN = ("delta_degC", "0", "100")


def declared(unit: str, least: str, most: str) -> Field:
    return Field(
        name="x",
        label="X",
        dimension=dimension_of(unit),
        unit=unit,
        minimum=Decimal(least),
        maximum=Decimal(most),
    )


def refusal(bounds: tuple[str, str, str], raw: str) -> str | None:
    try:
        parse_fields([declared(*bounds)], {"x": raw}, "reading")
    except InvalidValue as refused:
        return refused.problem
    return None


@pytest.mark.parametrize(
    ("bounds", "raw", "problem"),
    [
        (AIR, "60.1 degC", "60.1 degC is above 60 degC, the most allowed"),
        (AIR, "140.1 degF", "140.1 degF is above 140 degF, the most allowed"),
        (AIR, "-49.1 degF", "-49.1 degF is below -49 degF, the least allowed"),
        (AIR, "333.151 K", "333.151 K is above 333.15 K, the most allowed"),
        (MARGIN, "181 delta_degF", "181 delta_degF is above 180 delta_degF, the most allowed"),
        (MARGIN, "-1 delta_degF", "-1 delta_degF is below 0 delta_degF, the least allowed"),
        (FILM, "501 mm", "501 mm is above 500 mm, the most allowed"),
        (FILM, "20000 mil", "20000 mil is above 19685 mil (500000 um), the most allowed"),
        (FILM, "19685.04 mil", "19685.04 mil is above 19685.03 mil (500000 um), the most allowed"),
        (FILM, "-1 in", "-1 in is below 0 in, the least allowed"),
        (SMALL, "0 in", "0 in is below 0.0000393701 in (0.001 mm), the least allowed"),
        (SMALL, "0.5 um", "0.5 um is below 1 um, the least allowed"),
    ],
)
def test_the_bound_is_named_in_the_unit_typed(
    bounds: tuple[str, str, str], raw: str, problem: str
) -> None:
    """By the definitions of the units; 500 mm are 19 685.039... mil."""
    assert refusal(bounds, raw) == problem


@pytest.mark.parametrize(
    ("bounds", "raw"),
    [(AIR, "140 degF"), (AIR, "-49 degF"), (FILM, "19685.03 mil"), (SMALL, "0.0000393701 in")],
)
def test_the_bound_that_is_named_is_itself_taken(bounds: tuple[str, str, str], raw: str) -> None:
    assert refusal(bounds, raw) is None


@given(
    st.sampled_from([AIR, SMALL, FILM, ("MPa", "0.3", "7"), ("s", "100", "86400")]),
    st.decimals("-999999", "999999", places=3) | st.decimals("-999", "999", places=0),
    st.data(),
)
def test_the_named_bound_refuses_and_takes_what_the_true_one_does(
    bounds: tuple[str, str, str], magnitude: Decimal, data: st.DataObject
) -> None:
    unit = data.draw(st.sampled_from(units_of(dimension_of(bounds[0]))))
    problem = refusal(bounds, f"{magnitude:f} {unit}")
    if problem is None:
        return

    found = re.fullmatch(r"\S+ \S+ is (below|above) (\S+) (\S+)( \(.+\))?, the .*", problem)
    assert found is not None
    named = Quantity(Decimal(found[2]), found[3])
    true = Quantity(Decimal(bounds[1] if found[1] == "below" else bounds[2]), bounds[0])
    assert named.unit == unit
    assert (magnitude < named.magnitude) is (found[1] == "below")
    assert refusal(bounds, f"{named.magnitude:f} {unit}") is None
    assert (named == true) is (found[4] is None)
    places = -Decimal(magnitude).as_tuple().exponent  # type: ignore[operator]
    beyond = Fraction(1, 10**places) * (-1 if found[1] == "below" else 1)
    next_typed = Quantity(Fraction(named.magnitude) + beyond, unit)
    assert next_typed < true if found[1] == "below" else next_typed > true


def test_a_dimension_without_other_units_is_named_as_declared() -> None:
    share = Field(
        name="x", label="X", dimension=Dimension.SHARE, unit="%", maximum=Decimal("100.50")
    )

    with pytest.raises(InvalidValue, match=r"101 % is above 100.50 %, the most allowed"):
        parse_fields([share], {"x": "101 %"}, "reading")
