"""Quantities: parsed strictly, converted and compared without rounding."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.quantities import Dimension, InvalidQuantity, Quantity, parse_decimal, units_of

decimals = st.decimals(-10_000, 10_000, places=6)


def q(text: str) -> Quantity:
    return Quantity.parse(text)


@pytest.mark.parametrize(
    ("text", "magnitude", "unit"),
    [
        ("24.3 degC", "24.3", "degC"),
        ("24.30 degC", "24.30", "degC"),
        ("300um", "300", "um"),
        ("  12 mil ", "12", "mil"),
        ("+5 %", "5", "%"),
        ("-3.5 degC", "-3.5", "degC"),
        ("−3.5 °C", "-3.5", "degC"),
        ("0.83 mm", "0.83", "mm"),
        ("60 µm", "60", "um"),
        ("60 μm", "60", "um"),
        ("4 h", "4", "hour"),
    ],
)
def test_a_number_and_a_unit_are_read_as_written(text: str, magnitude: str, unit: str) -> None:
    found = Quantity.parse(text)

    assert (str(found.magnitude), found.unit) == (magnitude, unit)


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "12", "mm", "12 furlong", "1e3 mm", "nan mm", "inf mm", "12,5 mm", ".5 mm",
        "5. mm", "1 2 mm", "12 mm mm", "1_000 mm", "0x10 mm", "--5 mm", "1234567890123456 mm",
        "0.1234567890123456 mm", "12 mm\n13 mm", "½ mm",
    ],
)  # fmt: skip
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(InvalidQuantity):
        Quantity.parse(text)


def test_a_refusal_says_what_is_wrong() -> None:
    with pytest.raises(InvalidQuantity, match="'furlong' is not a known unit"):
        Quantity.parse("12 furlong")
    with pytest.raises(InvalidQuantity, match="'mm' is a unit of length, not of time"):
        Quantity.parse("12 mm", Dimension.TIME)


def test_degrees_are_a_difference_where_a_difference_is_asked_for() -> None:
    assert Quantity.parse("3 degC", Dimension.TEMPERATURE_DIFFERENCE).unit == "delta_degC"
    assert Quantity.parse("5 °F", Dimension.TEMPERATURE_DIFFERENCE).unit == "delta_degF"
    assert Quantity.parse("3 degC", Dimension.TEMPERATURE).unit == "degC"
    with pytest.raises(InvalidQuantity):
        Quantity.parse("3 delta_degC", Dimension.TEMPERATURE)


@pytest.mark.parametrize(
    ("given_text", "unit", "expected"),
    [
        ("12 mil", "um", Fraction(1524, 5)),
        ("25.4 um", "mil", Fraction(1)),
        ("0.1 in", "mm", Fraction(254, 100)),
        ("32 degF", "degC", Fraction(0)),
        ("212 degF", "degC", Fraction(100)),
        ("24.3 degC", "degF", Fraction(7574, 100)),
        ("1 degF", "degC", Fraction(-155, 9)),
        ("0 K", "degC", Fraction(-27315, 100)),
        ("5 delta_degF", "delta_degC", Fraction(25, 9)),
        ("3 delta_degC", "delta_degF", Fraction(54, 10)),
        ("10 min", "hour", Fraction(1, 6)),
        ("1 day", "s", Fraction(86400)),
        ("1 mg/m2", "ug/cm2", Fraction(1, 10)),
        ("1 ft2", "m2", Fraction(3048, 10_000) ** 2),
        ("1 MPa", "bar", Fraction(10)),
        ("1 kPa", "hPa", Fraction(10)),
        ("1 lb", "g", Fraction(45359237, 100_000)),
        ("1 degC_hour", "degF_hour", Fraction(9, 5)),
    ],
)
def test_conversion_is_exact(given_text: str, unit: str, expected: Fraction) -> None:
    """Definitions of the units; calculated."""
    assert q(given_text).magnitude_in(unit) == expected


def test_units_of_two_kinds_do_not_convert_or_compare() -> None:
    with pytest.raises(InvalidQuantity, match="cannot be given in min"):
        q("12 mm").magnitude_in("min")
    with pytest.raises(InvalidQuantity):
        _ = q("12 mm") < q("12 min")
    assert q("12 mm") != q("12 min")


@pytest.mark.parametrize(
    ("low", "high"),
    [
        ("11.99 mil", "304.8 um"),
        ("304.79 um", "12 mil"),
        ("5 delta_degF", "3 delta_degC"),
        ("-40.01 degC", "-40 degF"),
        ("59.9 min", "1 hour"),
    ],
)
def test_comparison_looks_through_the_unit(low: str, high: str) -> None:
    assert q(low) < q(high)
    assert q(low) <= q(high)
    assert q(high) > q(low)
    assert q(high) >= q(low)
    assert q(low) != q(high)


def test_equal_quantities_are_equal_in_any_unit() -> None:
    assert q("12 mil") == q("304.8 um")
    assert q("-40 degC") == q("-40 degF")
    assert len({q("12 mil"), q("304.8 um"), q("0.3048 mm"), q("305 um")}) == 2
    assert q("12 mil") != "12 mil"


@given(decimals, st.sampled_from(Dimension), st.data())
def test_there_and_back_changes_nothing(
    magnitude: Decimal, dimension: Dimension, data: st.DataObject
) -> None:
    first, second = (data.draw(st.sampled_from(units_of(dimension))) for _ in range(2))
    start = Quantity(magnitude, first)

    assert start.to(second).to(first) == start
    assert start.to(second).magnitude_in(first) == Fraction(magnitude)


@given(decimals, decimals, st.sampled_from(Dimension), st.data())
def test_order_is_the_same_in_every_unit(
    one: Decimal, other: Decimal, dimension: Dimension, data: st.DataObject
) -> None:
    first, second = (data.draw(st.sampled_from(units_of(dimension))) for _ in range(2))
    low, high = sorted((one, other))

    assert Quantity(low, first).to(second) <= Quantity(high, first)
    assert (Quantity(low, first).to(second) == Quantity(high, first)) is (low == high)


def test_a_quantity_prints_as_it_was_entered() -> None:
    assert str(q("24.30 degC")) == "24.30 degC"
    assert str(q("0.000001 mm")) == "0.000001 mm"
    assert str(Quantity(Fraction(1, 3), "mm")) == "0.333333 mm"
    assert str(Quantity(Fraction(5, 2), "mm")) == "2.5 mm"


@pytest.mark.parametrize("text", ["12", "-3.5", "+3.50", "−3.5", " 7 ", "999999999999999"])
def test_a_plain_number_is_read_exactly(text: str) -> None:
    assert parse_decimal(text) == Decimal(text.strip().replace("−", "-"))


@pytest.mark.parametrize("text", ["", "x", "1e5", "NaN", "Infinity", "1,5", "12 mm", "1" * 16])
def test_anything_else_is_no_number(text: str) -> None:
    with pytest.raises(InvalidQuantity, match="is not a number"):
        parse_decimal(text)


@pytest.mark.parametrize(
    ("entered", "printed"),
    [
        ("5 uS/cm", "5 µS/cm"),
        ("2.50 degC", "2.50 °C"),
        ("-3 hour", "-3 h"),
        ("1250 mm2", "1250 mm²"),
    ],
)
def test_a_quantity_prints_with_the_sign_of_its_unit_and_all_its_digits(
    entered: str, printed: str
) -> None:
    assert Quantity.parse(entered).printed == printed
