"""What a person types for a figure is understood, asked about, or refused; never guessed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.quantities import Dimension, Quantity
from qc.web.forms.figures import Typed, Unclear, figure_in, figures_in


def one(text: str) -> Typed:
    return figure_in(text, Dimension.TEMPERATURE, "degC")


@pytest.mark.parametrize(
    ("text", "digits"),
    [
        ("24", "24"),
        ("24.3", "24.3"),
        ("24,3", "24.3"),
        (" 24.30 ", "24.30"),
        ("+4", "4"),
        ("-3", "-3"),
        ("- 3", "-3"),
        ("\N{MINUS SIGN}3,5", "-3.5"),
        ("\N{EN DASH}2", "-2"),
        (".5", "0.5"),
        (",5", "0.5"),
        ("0,123", "0.123"),
        ("12,3456", "12.3456"),
        ("1.234", "1.234"),
        ("12.", "12"),
        ("1 234", "1234"),
        ("1\N{NARROW NO-BREAK SPACE}234,5", "1234.5"),
        ("1,234.5", "1234.5"),
        ("1.234,5", "1234.5"),
        ("1,234,567", "1234567"),
        ("1.234.567,8", "1234567.8"),
        ("-1,234.5", "-1234.5"),
    ],
)
def test_a_figure_is_understood_however_it_is_written(text: str, digits: str) -> None:
    assert one(text) == Typed(digits)


@pytest.mark.parametrize("text", ["1,234", "12,345", "-999,000"])
def test_a_comma_before_three_digits_is_asked_about(text: str) -> None:
    with pytest.raises(Unclear, match=f"{text} can mean .* type one of these"):
        one(text)


@pytest.mark.parametrize(
    "text",
    ["abc", "1.2.3", "1,2,3", "12 13", "3-4", "3+4", "--3", "1e5", "\N{ARABIC-INDIC DIGIT THREE}"]
    + ["", "1,23,456", "1.234.56", "1'234", "12 3456", "½", "∞", "nan", "0x1F"],
)
def test_what_is_no_figure_is_refused(text: str) -> None:
    with pytest.raises(Unclear):
        one(text)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("24,3 °C", "degC"),
        ("24.3°C", "degC"),
        ("24.3 degC", "degC"),
        ("75 F", "degF"),
        ("75 °F.", "degF"),
        ("297 K", "K"),
    ],
)
def test_a_unit_typed_with_the_figure_counts(text: str, unit: str) -> None:
    assert one(text).unit == unit


@pytest.mark.parametrize("text", ["24.3 kPa", "24.3 mil", "24.3 min"])
def test_a_unit_of_another_kind_is_refused_with_those_that_fit(text: str) -> None:
    with pytest.raises(Unclear, match="type °C or °F or K"):
        one(text)


def test_what_is_no_unit_at_all_is_told_with_the_whole_entry() -> None:
    with pytest.raises(Unclear, match="24.x is not a number such as 12.5 or 12.5 °C"):
        one("24.x")


def test_a_plain_number_takes_no_unit() -> None:
    with pytest.raises(Unclear, match="type the number alone"):
        figure_in("80 mm", None, "")


@pytest.mark.parametrize(
    ("text", "digits"),
    [
        ("8 9 10", ["8", "9", "10"]),
        ("8,1 9,2;10", ["8.1", "9.2", "10"]),
        ("8.1, 9.2, 10", ["8.1", "9.2", "10"]),
        ("8\n9\r\n10", ["8", "9", "10"]),
        ("-1 -2", ["-1", "-2"]),
        (" 8 ", ["8"]),
    ],
)
def test_several_figures_are_parted_by_spaces_semicolons_or_lines(
    text: str, digits: list[str]
) -> None:
    assert [figure.digits for figure in figures_in(text, Dimension.LENGTH, "um")] == digits


def test_a_unit_after_the_last_of_several_figures_holds_for_all() -> None:
    assert {figure.unit for figure in figures_in("8 9 10 mil", Dimension.LENGTH, "um")} == {"mil"}


def test_each_of_several_figures_may_have_its_own_unit() -> None:
    found = figures_in("8 mil 9 µm", Dimension.LENGTH, "um")
    assert [figure.unit for figure in found] == ["mil", "um"]


@pytest.mark.parametrize("text", ["8 mil 9", "8,9,10", "8/9", "8 - 9", "8.1,9.2", "8 9 x"])
def test_several_figures_that_can_be_read_in_two_ways_are_refused(text: str) -> None:
    with pytest.raises(Unclear):
        figures_in(text, Dimension.LENGTH, "um")


@given(st.text(max_size=60))
def test_junk_is_refused_and_nothing_else_is_raised(text: str) -> None:
    try:
        found = figures_in(text, Dimension.LENGTH, "um")
    except Unclear:
        return
    for figure in found:
        assert set(figure.digits) <= set("-.0123456789")


@given(
    st.decimals(
        min_value=-(10**9), max_value=10**9, allow_nan=False, allow_infinity=False, places=3
    )
)
def test_a_figure_with_a_point_or_a_comma_is_the_same_figure(value: object) -> None:
    """With four decimals no comma can be taken for one that parts thousands."""
    written = f"{value:f}1"
    as_point, as_comma = one(written), one(written.replace(".", ","))
    assert as_point == as_comma
    assert Quantity.parse(f"{as_point.digits} degC", Dimension.TEMPERATURE)
