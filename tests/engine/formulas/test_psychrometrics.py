"""Dew point, frost point and humidity against published values and reference libraries."""

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.psychrometrics import (
    Formula,
    ImpossibleAir,
    air_from_humidity,
    air_from_wet_bulb,
    dew_point,
    hyland_wexler_dew_point,
)

WMO, HW = Formula.WMO_2008, Formula.HYLAND_WEXLER
SEA_LEVEL_HPA = 1013.25

air_temperatures = st.floats(-45, 60)
humidities = st.floats(1, 100)


def test_hyland_wexler_is_within_a_hundredth_kelvin_of_psychrolib() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)

    for air_c in range(-20, 61, 2):
        for humidity in range(5, 101, 5):
            reference = psychrolib.GetTDewPointFromRelHum(air_c, humidity / 100)
            assert hyland_wexler_dew_point(air_c, humidity) == pytest.approx(reference, abs=0.01)


def test_the_default_is_within_a_twentieth_kelvin_of_the_industrial_formulation() -> None:
    """IAPWS-IF97 through CoolProp, 0 to 45 degC and 50 to 100 %, where it gives a dew point."""
    triple_pa = PropsSI("P", "T", 273.16, "Q", 0, "IF97::Water")

    for air_c in range(0, 46):
        saturated = PropsSI("P", "T", max(air_c, 0.01) + 273.15, "Q", 0, "IF97::Water")
        for humidity in range(50, 101, 5):
            vapour = saturated * humidity / 100
            if vapour >= triple_pa:
                reference = PropsSI("T", "P", vapour, "Q", 0, "IF97::Water") - 273.15
                assert dew_point(air_c, humidity) == pytest.approx(reference, abs=0.05)


@pytest.mark.parametrize(
    ("air_c", "humidity", "dew", "frost"),
    [
        (5, 60, -2.11, -1.87),
        (3, 75, -0.99, -0.87),
        (-5, 85, -7.13, -6.32),
        (-10, 80, -12.79, -11.41),
    ],
)
def test_below_freezing_the_frost_point_is_the_higher(
    air_c: float, humidity: float, dew: float, frost: float
) -> None:
    """Calculated by Sonntag 1994 over water and over ice."""
    for formula in Formula:
        air = air_from_humidity(formula, air_c, humidity)
        assert air.frost_point is not None
        assert air.frost_point == pytest.approx(frost, abs=0.03)
        assert air.dew_point <= air.frost_point + 1e-9
    assert air_from_humidity(WMO, air_c, humidity).dew_point == pytest.approx(dew, abs=0.03)


@pytest.mark.parametrize(
    ("dew_c", "difference"), [(-0.2, 0.03), (-2.7, 0.32), (-5.7, 0.65), (-9.4, 1.04), (-14.5, 1.55)]
)
def test_the_two_points_differ_as_calculated(dew_c: float, difference: float) -> None:
    """Calculated by Sonntag 1994, from which the WMO form departs by up to 0.03 K here."""
    air = air_from_humidity(WMO, dew_c, 100)

    assert air.frost_point is not None
    assert air.frost_point - dew_c == pytest.approx(difference, abs=0.03)


def test_above_freezing_there_is_no_frost_point() -> None:
    assert air_from_humidity(WMO, 10, 80).frost_point is None
    assert air_from_humidity(WMO, 0, 100).frost_point is None


def test_the_ashrae_function_gives_a_frost_point_below_freezing() -> None:
    """ASHRAE's dew point at 0 degC and 90 % is -1.27 where the value over water is -1.44."""
    assert hyland_wexler_dew_point(0, 90) == pytest.approx(-1.27, abs=0.01)
    assert dew_point(0, 90) == pytest.approx(-1.44, abs=0.01)


@given(st.sampled_from(Formula), air_temperatures, humidities)
def test_the_dew_point_is_never_above_the_air(
    formula: Formula, air_c: float, humidity: float
) -> None:
    assert air_from_humidity(formula, air_c, humidity).dew_point <= air_c + 1e-8


@given(st.sampled_from(Formula), air_temperatures, humidities, st.floats(0.01, 5))
def test_the_dew_point_rises_with_air_temperature_and_with_humidity(
    formula: Formula, air_c: float, humidity: float, more: float
) -> None:
    here = air_from_humidity(formula, air_c, humidity).dew_point

    assert air_from_humidity(formula, air_c + more, humidity).dew_point > here
    if humidity + more <= 100:
        assert air_from_humidity(formula, air_c, humidity + more).dew_point > here


@pytest.mark.parametrize("formula", Formula)
@pytest.mark.parametrize("air_c", [-12.3, 0.0, 20.1, 37.7])
def test_saturated_air_has_its_own_temperature_as_dew_point(formula: Formula, air_c: float) -> None:
    assert air_from_humidity(formula, air_c, 100).dew_point == air_c
    assert air_from_wet_bulb(formula, air_c, air_c, SEA_LEVEL_HPA, iced=False).dew_point == air_c


@given(
    st.sampled_from(Formula),
    st.floats(-10, 60),
    st.floats(5, 99.9),
    st.floats(700, 1100),
    st.booleans(),
)
def test_humidity_survives_the_way_through_the_wet_bulb(
    formula: Formula, air_c: float, humidity: float, pressure_hpa: float, iced: bool
) -> None:
    wet_c = _wet_bulb(formula, air_c, humidity, pressure_hpa, iced)
    if wet_c is None:
        return
    back = air_from_wet_bulb(formula, air_c, wet_c, pressure_hpa, iced)

    assert back.humidity == pytest.approx(humidity, abs=1e-6)


def _wet_bulb(
    formula: Formula, air_c: float, humidity: float, pressure_hpa: float, iced: bool
) -> float | None:
    """By bisection; None where a bulb in that state cannot show that humidity."""
    low, high = air_c - 60, min(air_c, 0.0) if iced else air_c
    if _humidity_at(formula, air_c, high, pressure_hpa, iced) < humidity:
        return None
    for _ in range(100):
        middle = (low + high) / 2
        if _humidity_at(formula, air_c, middle, pressure_hpa, iced) < humidity:
            low = middle
        else:
            high = middle
    return high


def _humidity_at(
    formula: Formula, air_c: float, wet_c: float, pressure_hpa: float, iced: bool
) -> float:
    try:
        return air_from_wet_bulb(formula, air_c, wet_c, pressure_hpa, iced).humidity
    except ImpossibleAir:
        return 0.0


@pytest.mark.parametrize("formula", Formula)
def test_impossible_bulbs_are_named(formula: Formula) -> None:
    with pytest.raises(ImpossibleAir, match="above the dry bulb"):
        air_from_wet_bulb(formula, 20, 20.1, SEA_LEVEL_HPA, iced=False)
    with pytest.raises(ImpossibleAir, match="ice above 0"):
        air_from_wet_bulb(formula, 20, 0.1, SEA_LEVEL_HPA, iced=True)
    with pytest.raises(ImpossibleAir, match="colder than even dry air"):
        air_from_wet_bulb(formula, 40, 5, SEA_LEVEL_HPA, iced=False)
