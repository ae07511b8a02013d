"""Saturation pressures against published tables, and each formula against its own inverse."""

from collections.abc import Callable
from math import exp, log

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.saturation import (
    OVER_ICE,
    OVER_WATER,
    hyland_wexler_pressure,
    hyland_wexler_temperature,
    hyland_wexler_water_pressure,
    magnus_pressure,
    magnus_temperature,
)


def industrial_hpa(t_c: float) -> float:
    """IAPWS-IF97 saturation line, through CoolProp."""
    return float(PropsSI("P", "T", t_c + 273.15, "Q", 0, "IF97::Water")) / 100


def sublimation_hpa(t_c: float) -> float:
    """IAPWS sublimation pressure, 50 to 273.16 K: coefficients as published."""
    theta = (t_c + 273.15) / 273.16
    terms = (-21.2144006, 0.00333333333), (27.3203819, 1.20666667), (-6.1059813, 1.70333333)
    return 6.11657 * exp(sum(a * theta**b for a, b in terms) / theta)


def sonntag_hpa(t_c: float) -> float:
    """Sonntag 1994 over water, below freezing too: coefficients as published."""
    t = t_c + 273.15
    series = 16.635794 - 2.711193e-2 * t + 1.673952e-5 * t**2
    return exp(-6096.9385 / t + series + 2.433502 * log(t))


def worst(found: Callable[[float], float], reference: Callable[[float], float], low: int) -> float:
    """The largest relative error from `low` to 0 degC, or from 0 to `low`, in steps of 0.1 K."""
    span = range(min(low, 0) * 10, max(low, 0) * 10 + 1)
    errors = (found(t / 10) / reference(t / 10) - 1 for t in span)
    return max(errors, key=abs)


def test_the_references_meet_their_published_check_values() -> None:
    """IAPWS-IF97 table 35 (300, 500, 600 K) and sublimation pressure at 230 K; triple point."""
    published = {26.85: 0.00353658941, 226.85: 2.63889776, 326.85: 12.3443146}
    for t_c, megapascal in published.items():
        assert industrial_hpa(t_c) * 1e-4 == pytest.approx(megapascal, rel=1e-8)
    assert sublimation_hpa(-43.15) * 1e-4 == pytest.approx(8.94735e-6, rel=1e-6)
    assert sonntag_hpa(0.01) == pytest.approx(6.11657, abs=5e-6)


@pytest.mark.parametrize(
    ("t_c", "expected"),
    [(0, 6.11213), (10, 12.28184), (20, 23.39215), (30, 42.46688), (40, 73.84427), (50, 123.5127)],
)
def test_the_industrial_formulation_gives_its_calculated_table(t_c: float, expected: float) -> None:
    """Calculated elsewhere from the published coefficients, hPa."""
    assert industrial_hpa(t_c) == pytest.approx(expected, abs=6e-6)


def test_the_wmo_form_is_off_by_as_much_as_calculated() -> None:
    """Calculated: -0.31 % at worst from 0 to 50 degC over water, -0.39 % down to -45; over ice
    0.07 % down to -40 and -0.20 % at -65."""

    def water(t_c: float) -> float:
        return magnus_pressure(t_c, OVER_WATER)

    def ice(t_c: float) -> float:
        return magnus_pressure(t_c, OVER_ICE)

    assert worst(water, industrial_hpa, 50) == pytest.approx(-0.0031, abs=5e-5)
    assert water(27.4) / industrial_hpa(27.4) - 1 == pytest.approx(-0.0031, abs=5e-5)
    assert worst(water, sonntag_hpa, -45) == pytest.approx(-0.0039, abs=5e-5)
    assert worst(ice, sublimation_hpa, -40) == pytest.approx(0.0007, abs=5e-5)
    assert ice(-65) / sublimation_hpa(-65) - 1 == pytest.approx(-0.0020, abs=1e-4)


@pytest.mark.parametrize(("t_c", "pascal"), [(26.85, 3536.58941), (-43.15, 8.94735)])
def test_hyland_wexler_meets_the_published_points_of_the_industrial_formulation(
    t_c: float, pascal: float
) -> None:
    """IAPWS-IF97 at 300 K, IAPWS sublimation at 230 K."""
    assert hyland_wexler_pressure(t_c) * 100 == pytest.approx(pascal, rel=4e-4)


@pytest.mark.parametrize(
    ("t_c", "pascal"),
    [(-20, 103.24), (-5, 401.74), (5, 872.6), (25, 3169.7), (50, 12351.3), (100, 101418.0)],
)
def test_hyland_wexler_meets_the_handbook_table(t_c: float, pascal: float) -> None:
    """ASHRAE Fundamentals 2017 ch. 1 table 3; stated to be within 300 ppm of its formula."""
    assert hyland_wexler_pressure(t_c) * 100 == pytest.approx(pascal, rel=3e-4)


@pytest.mark.parametrize(
    ("t_c", "pascal"),
    [
        (0, 611.29), (5, 872.60), (10, 1228.1), (15, 1705.6), (20, 2338.8), (25, 3169.0),
        (30, 4245.5), (35, 5626.7), (40, 7381.4), (45, 9589.8), (50, 12344),
    ],
)  # fmt: skip
def test_both_formulas_meet_the_handbook_of_chemistry_and_physics(
    t_c: float, pascal: float
) -> None:
    """CRC Handbook 77th ed. p. 6-13; the WMO form is 0.31 % off at worst from 0 to 50 degC."""
    assert magnus_pressure(t_c, OVER_WATER) * 100 == pytest.approx(pascal, rel=3.3e-3)
    assert hyland_wexler_pressure(t_c) * 100 == pytest.approx(pascal, rel=1e-3)


@pytest.mark.parametrize(
    ("t_c", "hyland_wexler", "wmo"),
    [
        (0, 6.11213, 6.11200),
        (10, 12.27995, 12.26030),
        (20, 23.38804, 23.32596),
        (30, 42.46030, 42.33724),
        (40, 73.83460, 73.67458),
        (50, 123.49856, 123.45158),
    ],
)
def test_pressures_agree_with_the_calculated_table(
    t_c: float, hyland_wexler: float, wmo: float
) -> None:
    """Calculated elsewhere from the published coefficients, hPa over water."""
    assert hyland_wexler_water_pressure(t_c) == pytest.approx(hyland_wexler, abs=1e-5)
    assert magnus_pressure(t_c, OVER_WATER) == pytest.approx(wmo, abs=1e-5)


@pytest.mark.parametrize("t_c", [0.01, 5, 15, 25, 35, 45, 50])
def test_both_formulas_agree_with_the_industrial_formulation(t_c: float) -> None:
    reference = industrial_hpa(t_c)

    assert magnus_pressure(t_c, OVER_WATER) == pytest.approx(reference, rel=3.2e-3)
    assert hyland_wexler_pressure(t_c) == pytest.approx(reference, rel=3e-4)


def test_ice_and_water_meet_at_the_triple_point() -> None:
    step = hyland_wexler_pressure(0.010001) - hyland_wexler_pressure(0.01)

    assert step == pytest.approx(0, abs=1e-4)
    assert hyland_wexler_pressure(0.01) == pytest.approx(6.11657, abs=2e-4)


def test_below_freezing_ice_saturates_at_less_than_water() -> None:
    for t_c in (-0.5, -5, -20, -40):
        assert magnus_pressure(t_c, OVER_ICE) < magnus_pressure(t_c, OVER_WATER)
        assert hyland_wexler_pressure(t_c) < hyland_wexler_water_pressure(t_c)


@given(st.floats(-45, 60))
def test_the_wmo_form_over_water_inverts_exactly(t_c: float) -> None:
    assert magnus_temperature(magnus_pressure(t_c, OVER_WATER), OVER_WATER) == pytest.approx(
        t_c, abs=1e-9
    )


@given(st.floats(-65, 0))
def test_the_wmo_form_over_ice_inverts_exactly(t_c: float) -> None:
    assert magnus_temperature(magnus_pressure(t_c, OVER_ICE), OVER_ICE) == pytest.approx(
        t_c, abs=1e-9
    )


@given(st.floats(-99, 100))
def test_hyland_wexler_inverts_on_both_sides_of_the_triple_point(t_c: float) -> None:
    assert hyland_wexler_temperature(hyland_wexler_pressure(t_c)) == pytest.approx(t_c, abs=1e-6)


@given(st.floats(-99, 100), st.floats(1e-3, 10))
def test_saturation_pressure_rises_with_temperature(t_c: float, more: float) -> None:
    assert hyland_wexler_pressure(t_c + more) > hyland_wexler_pressure(t_c)
    assert magnus_pressure(t_c + more, OVER_WATER) > magnus_pressure(t_c, OVER_WATER)
