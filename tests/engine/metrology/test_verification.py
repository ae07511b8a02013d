"""Checks of an instrument against a reference, and its range. Source: common practice."""

from decimal import Decimal

import pytest

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import InvalidValue
from qc.engine.metrology import (
    Part,
    dimensions_of,
    figure_of,
    has_figures,
    passes,
    range_of,
)
from qc.engine.quantities import Dimension, Quantity


def q(text: str, dimension: Dimension | None = None) -> Quantity:
    return Quantity.parse(text, dimension)


@pytest.mark.parametrize(
    ("nominal", "found", "tolerance", "passed"),
    [
        ("250 um", "255 um", "5 um", True),
        ("250 um", "255.001 um", "5 um", False),
        ("250 um", "245 um", "5 um", True),
        ("250 um", "244.999 um", "5 um", False),
        ("10 mil", "0.254 mm", "0 um", True),
        ("10 mil", "0.2540001 mm", "0 um", False),
        ("75 %", "77 %", "2 %", True),
        ("1 bar", "1013.25 hPa", "13.25 hPa", True),
        ("1 bar", "1013.25 hPa", "13.24 hPa", False),
        ("0 degC", "32.9 degF", "0.5 delta_degC", True),
        ("0 degC", "32.91 degF", "0.5 delta_degC", False),
        ("-10 degC", "-9.5 degC", "0.9 delta_degF", True),
        ("273.15 K", "0 degC", "0 delta_degC", True),
    ],
)
def test_a_check_passes_within_and_on_its_tolerance_whatever_the_units(
    nominal: str, found: str, tolerance: str, passed: bool
) -> None:
    assert passes(q(nominal), q(found), q(tolerance)) is passed


def test_a_scale_without_a_unit_is_checked_by_plain_numbers() -> None:
    assert passes(Decimal("46.2"), Decimal("47.2"), Decimal("1"))
    assert not passes(Decimal("46.2"), Decimal("47.3"), Decimal("1"))


@pytest.mark.parametrize(
    ("nominal", "found", "tolerance", "named"),
    [
        (q("250 um"), q("25 degC"), q("5 um"), "found"),
        (q("250 um"), q("255 um"), q("5 %"), "tolerance"),
        (q("20 degC"), q("21 degC"), q("1 degC"), "tolerance"),
        (q("20 degC"), Decimal(21), q("1 degC"), "found"),
        (Decimal(50), Decimal(51), q("5 um"), "tolerance"),
        (q("250 um"), q("255 um"), Decimal(5), "tolerance"),
    ],
)
def test_figures_of_two_kinds_are_refused_by_name(
    nominal: Quantity, found: Quantity, tolerance: Quantity, named: str
) -> None:
    with pytest.raises(InvalidValue) as refusal:
        passes(nominal, found, tolerance)
    assert refusal.value.path == named


def test_every_kind_of_instrument_measures_something_or_is_known_not_to() -> None:
    kinds = {kind for checks in CHARACTERISTICS.values() for kind in checks.instruments}

    assert {kind for kind in kinds if not has_figures(kind)} == {"reference_photographs"}
    without_unit = {k for k in kinds if has_figures(k) and not dimensions_of(k)}
    assert without_unit == {"durometer", "barcol_impressor"}


def test_a_width_of_a_temperature_is_a_difference() -> None:
    assert figure_of("thermometer", Part.VALUE, "found", "20 °C") == q("20 degC")
    assert figure_of("thermometer", Part.WIDTH, "tolerance", "0.5 °C") == q("0.5 delta_degC")
    assert dimensions_of("hygrometer", Part.WIDTH) == (
        Dimension.SHARE,
        Dimension.TEMPERATURE_DIFFERENCE,
    )


@pytest.mark.parametrize(
    ("value", "covered"),
    [("0 mm", True), ("25 mm", True), ("25.001 mm", False), ("-0.001 mm", False), ("1 in", False)],
)
def test_a_range_covers_its_ends(value: str, covered: bool) -> None:
    assert range_of("depth_gauge", "0 mm", "25 mm").covers(q(value)) is covered


def test_a_range_may_be_open_on_either_side() -> None:
    assert range_of("thermometer", "", "150 degC").covers(q("-273 degC"))
    assert range_of("thermometer", "-20 degC", "").covers(q("900 degC"))
    assert range_of("thermometer", "", "").dimension is None
