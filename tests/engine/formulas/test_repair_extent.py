"""Overlap, extent and layers of a composite repair."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.repair_extent import (
    axial_extent,
    iso_overlap,
    layers_asked,
    layers_everywhere,
    layers_laid,
    pcc2_overlap,
    whole_millimetres,
)
from qc.engine.quantities import Quantity


def q(text: str) -> Quantity:
    return Quantity.parse(text)


@pytest.mark.parametrize(
    ("diameter", "wall", "iso", "pcc2"),
    [
        ("60.3 mm", "3.91 mm", 30.71, 27.14),
        ("168.3 mm", "7.11 mm", 69.18, 61.15),
        ("323.9 mm", "9.53 mm", 111.12, 98.21),
        ("610 mm", "9.53 mm", 152.49, 134.78),
    ],
)
def test_the_overlap_follows_diameter_and_wall(
    diameter: str, wall: str, iso: float, pcc2: float
) -> None:
    """Calculated from 2 sqrt(Dt) and 2.5 sqrt(Dt/2), which is 1.768 sqrt(Dt)."""
    by_iso, by_pcc2 = (form(q(diameter), q(wall)) for form in (iso_overlap, pcc2_overlap))

    assert round(float(by_iso.magnitude), 2) == iso
    assert round(float(by_pcc2.magnitude), 2) == pcc2
    assert round(2 * float(by_pcc2.magnitude) / float(by_iso.magnitude), 3) == 1.768


def test_a_least_length_is_rounded_up() -> None:
    """Calculated: 69.18 and 61.15 mm are 70 and 62 mm."""
    pipe = q("168.3 mm"), q("7.11 mm")

    assert (whole_millimetres(iso_overlap(*pipe)), whole_millimetres(pcc2_overlap(*pipe))) == (
        70,
        62,
    )
    assert whole_millimetres(q("70 mm")) == 70
    assert whole_millimetres(q("70.000001 mm")) == 71


def test_inches_give_the_same_overlap() -> None:
    assert iso_overlap(q("4 in"), q("0.25 in")) == iso_overlap(q("101.6 mm"), q("6.35 mm"))
    assert str(iso_overlap(q("4 in"), q("0.25 in"))) == "50.800000 mm"


def test_the_extent_has_overlap_and_taper_at_both_ends() -> None:
    """Calculated: L = 2 * 70 + 25.4 + 2 * 32."""
    assert axial_extent(q("70 mm"), q("1 in"), q("32 mm")) == q("229.4 mm")


@pytest.mark.parametrize(
    ("thickness", "ply", "layers"),
    [
        ("6.4 mm", "0.83 mm", 8),
        ("7.52 mm", "0.75 mm", 11),
        ("1.1 mm", "0.83 mm", 2),
        ("0.83 mm", "0.83 mm", 2),
        ("4.98 mm", "0.83 mm", 6),
        ("4.981 mm", "0.83 mm", 7),
        ("0.498 cm", "830 um", 6),
        ("0 mm", "0.83 mm", 2),
    ],
)
def test_layers_make_up_the_design_thickness(thickness: str, ply: str, layers: int) -> None:
    """Calculated; binary floats make 4.98/0.83 a little more than 6."""
    assert layers_asked(q(thickness), q(ply), least=2) == layers


@pytest.mark.parametrize(
    ("passes", "overlap", "layers"),
    [
        (4, Fraction(1, 2), 8),
        (6, Fraction(1, 2), 12),
        (3, Fraction(2, 3), 9),
        (5, Fraction(0), 5),
        (0, Fraction(1, 2), 0),
        (4, Fraction("0.49"), Fraction(400, 51)),
    ],
)
def test_a_spiral_lays_more_layers_than_passes(
    passes: int, overlap: Fraction, layers: Fraction
) -> None:
    """Calculated: passes / (1 - overlap)."""
    assert layers_laid(passes, overlap) == layers


@given(st.integers(0, 20), st.fractions(0, Fraction(95, 100)))
def test_the_thinnest_places_have_no_more_than_the_average(passes: int, overlap: Fraction) -> None:
    least, average = layers_everywhere(passes, overlap), layers_laid(passes, overlap)

    assert passes <= least <= average
    assert (least == average) is ((1 / (1 - overlap)).denominator == 1 or passes == 0)
