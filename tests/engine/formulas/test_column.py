"""A column of readings answers as a list of exact values would."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.column import Column
from qc.engine.formulas.statistics import mean
from qc.engine.quantities import Magnitude, decimal_text

entries = st.lists(st.decimals(0, 1000, places=3), min_size=1, max_size=20)
scales = st.fractions(Fraction(1, 30), 3)
shifts = st.fractions(-50, 50) | st.decimals(-50, 50, places=2)


def exact(entered: Sequence[Magnitude], scale: Fraction, shift: Magnitude) -> list[Fraction]:
    return [Fraction(entry) * scale - Fraction(shift) for entry in entered]


@given(entries, scales, shifts)
def test_values_mean_and_extremes_are_those_of_the_exact_list(
    entered: list[Decimal], scale: Fraction, shift: Magnitude
) -> None:
    column, values = Column(entered, "um", scale, shift), exact(entered, scale, shift)

    assert [column.value(i) for i in range(len(column))] == values
    assert column.mean == mean(values)
    assert column.lowest == values.index(min(values))
    assert column.highest == values.index(max(values))
    assert [values[i] for i in column.rising()] == sorted(values)


@given(entries, scales, shifts, st.fractions(-100, 3000))
def test_counting_below_a_threshold_never_rounds(
    entered: list[Decimal], scale: Fraction, shift: Magnitude, threshold: Fraction
) -> None:
    values = exact(entered, scale, shift)

    below = Column(entered, "um", scale, shift).below(threshold)

    assert below == sum(value < threshold for value in values)


@given(entries, scales, shifts, st.data())
def test_a_value_is_not_below_itself(
    entered: list[Decimal], scale: Fraction, shift: Magnitude, data: st.DataObject
) -> None:
    """The threshold is a value of the column, which a rounded comparison would get wrong."""
    values = exact(entered, scale, shift)
    threshold = data.draw(st.sampled_from(values))

    below = Column(entered, "um", scale, shift).below(threshold)

    assert below == sum(value < threshold for value in values)


@given(entries, scales, shifts)
def test_texts_are_those_of_single_values(
    entered: list[Decimal], scale: Fraction, shift: Magnitude
) -> None:
    column = Column(entered, "um", scale, shift)
    texts = [decimal_text(value) for value in exact(entered, scale, shift)]

    shown = [text.removesuffix(" um") for text in column.texts()]

    assert [Decimal(text) for text in shown] == [Decimal(text) for text in texts]
    assert not any("E" in text for text in shown)


def test_an_entry_is_shown_as_it_was_entered() -> None:
    column = Column([Decimal("8.0"), Decimal("0.0000001")], "mil")

    assert column.texts() == ["8.0 mil", "0.0000001 mil"]
    assert Column([Decimal("0.0000001")], "mil").texts() == ["0.0000001 mil"]


def test_a_correction_in_decimals_leaves_decimals() -> None:
    assert Column([Decimal("325")], "um", shift=Decimal(25)).texts() == ["300 um"]


def test_fractions_are_columns_too() -> None:
    column = Column([Fraction(1, 3), Decimal(2)], "mil", shift=Decimal("0.1"))

    assert column.texts() == ["0.233333 mil", "1.9 mil"]
    assert column.below(Fraction(7, 30)) == 0
    assert column.below(Fraction(8, 30)) == 1


def test_a_plain_column_hands_back_its_entries() -> None:
    entry = Decimal("5.50")

    assert Column([entry], "um").value(0) is entry
