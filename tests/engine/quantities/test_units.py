"""The units a record takes, and what they are called."""

import pytest

from qc.engine.quantities import Dimension, dimension_of, symbol_of, unit_named, units_of
from qc.engine.quantities.units import UNITS, affine_map


def test_every_unit_converts_to_every_other_of_its_kind() -> None:
    for unit in UNITS.values():
        for other in units_of(unit.dimension):
            scale, _ = affine_map(unit.name, other)
            assert scale > 0


def test_every_kind_has_a_unit() -> None:
    for dimension in Dimension:
        assert units_of(dimension)
        assert all(dimension_of(name) is dimension for name in units_of(dimension))


def test_a_mil_is_a_length_of_a_thousandth_of_an_inch() -> None:
    scale, offset = affine_map("mil", "um")

    assert (str(scale), offset) == ("127/5", 0)


@pytest.mark.parametrize(
    ("written", "name"),
    [("µm", "um"), ("°C", "degC"), ("m²", "m2"), ("mbar", "hPa"), ("hr", "hour"), ("mm", "mm")],
)
def test_units_may_be_written_as_the_trade_writes_them(written: str, name: str) -> None:
    assert unit_named(written) == name


@pytest.mark.parametrize("written", ["", "MM", "furlong", "mm ", "constructor"])
def test_an_unknown_unit_has_no_name(written: str) -> None:
    assert unit_named(written) is None


def test_symbols_are_those_of_the_printed_page() -> None:
    assert [symbol_of(name) for name in ("um", "degC", "delta_degF", "%", "ug/cm2", "")] == [
        "µm",
        "°C",
        "°F",
        "%",
        "µg/cm²",
        "",
    ]
