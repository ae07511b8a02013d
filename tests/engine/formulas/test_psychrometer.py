"""The psychrometer and the standard atmosphere against published values."""

from math import exp

import psychrolib
import pytest

from qc.engine.formulas.psychrometer import (
    humidity_ratio,
    psychrometer_slopes,
    psychrometer_vapour_pressure,
    standard_pressure,
)
from qc.engine.formulas.psychrometrics import Formula, air_from_wet_bulb
from qc.engine.formulas.saturation import OVER_WATER, magnus_pressure

SEA_LEVEL_HPA = 1013.25


def _fao_pressure(t_c: float) -> float:
    """Saturation pressure of FAO-56, hPa."""
    return 6.108 * exp(17.27 * t_c / (237.3 + t_c))


@pytest.mark.parametrize(
    ("air_c", "wet_c", "pressure_hpa", "vapour", "humidity", "dew"),
    [
        (25, 20, 1013.25, 19.962, 63.02, 17.47),
        (20, 15, 1013.25, 13.652, 58.39, 11.59),
        (20, 15, 900, 14.032, 60.01, 12.01),
        (10, 8, 1013.25, 9.378, 76.37, 6.04),
        (35, 28, 1000, 33.031, 58.75, 25.70),
        (40, 20, 1013.25, 9.700, 13.15, 6.53),
    ],
)
def test_the_psychrometer_formula_agrees_with_the_calculated_table(
    air_c: float, wet_c: float, pressure_hpa: float, vapour: float, humidity: float, dew: float
) -> None:
    """Calculated with the same constant and the saturation formula of FAO-56."""
    found = psychrometer_vapour_pressure(air_c, wet_c, pressure_hpa, iced=False)
    fao_more = _fao_pressure(wet_c) - magnus_pressure(wet_c, OVER_WATER)
    assert found + fao_more == pytest.approx(vapour, abs=6e-4)
    air = air_from_wet_bulb(Formula.WMO_2008, air_c, wet_c, pressure_hpa, iced=False)

    assert air.humidity == pytest.approx(humidity, abs=0.25)
    assert air.dew_point == pytest.approx(dew, abs=0.12)


@pytest.mark.parametrize(
    ("air_c", "wet_c", "pressure_hpa", "humidity", "dew"),
    [
        (25, 20, 1013.25, 63.48, 17.59),
        (20, 15, 1013.25, 58.92, 11.73),
        (20, 15, 900, 60.51, 12.14),
        (10, 8, 1013.25, 76.71, 6.10),
        (35, 28, 1000, 59.22, 25.85),
        (40, 20, 1013.25, 13.98, 7.43),
    ],
)
def test_the_energy_balance_agrees_with_the_calculated_table(
    air_c: float, wet_c: float, pressure_hpa: float, humidity: float, dew: float
) -> None:
    """Calculated from the equations of ASHRAE Fundamentals 2017 ch. 1."""
    air = air_from_wet_bulb(Formula.HYLAND_WEXLER, air_c, wet_c, pressure_hpa, iced=False)

    assert air.humidity == pytest.approx(humidity, abs=0.006)
    assert air.dew_point == pytest.approx(dew, abs=0.006)


def test_the_handbook_example_of_hot_dry_air_comes_out() -> None:
    """ASHRAE Fundamentals 2017 ch. 1 example 1, read off the chart: W 0.0065, 7 degC, 14 %."""
    air = air_from_wet_bulb(Formula.HYLAND_WEXLER, 40, 20, SEA_LEVEL_HPA, iced=False)

    assert humidity_ratio(40, 20, SEA_LEVEL_HPA, iced=False) == pytest.approx(0.0065, abs=1e-4)
    assert round(air.dew_point) == 7
    assert round(air.humidity) == 14


def test_the_published_humidity_ratio_at_altitude_comes_out() -> None:
    """Published for 30 and 25 degC at 95.461 kPa: W = 0.0192281, to 300 ppm."""
    assert humidity_ratio(30, 25, 954.61, iced=False) == pytest.approx(0.0192281, rel=3e-4)


def test_an_iced_bulb_agrees_with_psychrolib() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)

    for air_c, wet_c in [(-1, -3), (-5, -5.5), (-10, -10.5), (2, -1)]:
        reference = psychrolib.GetHumRatioFromTWetBulb(air_c, wet_c, 101325)
        assert humidity_ratio(air_c, wet_c, SEA_LEVEL_HPA, iced=True) == pytest.approx(
            reference, rel=1e-4
        )


def test_the_printed_example_of_a_paint_guide_comes_out() -> None:
    """Printed: dry 21, wet 17 gives 15 degC. No pressure is printed; taken as 1013.25 hPa."""
    for formula in Formula:
        air = air_from_wet_bulb(formula, 21, 17, SEA_LEVEL_HPA, iced=False)
        assert air.dew_point == pytest.approx(15, abs=0.6)
        assert round(air.dew_point) == 15


def test_thin_air_moves_the_dew_point_by_four_tenths_of_a_degree() -> None:
    """Calculated: 20 and 15 degC, 1013 against 900 hPa."""
    at_sea, inland = (
        air_from_wet_bulb(Formula.WMO_2008, 20, 15, p, iced=False).dew_point for p in (1013.25, 900)
    )

    assert inland - at_sea == pytest.approx(0.4, abs=0.05)


def test_the_constants_are_those_of_the_glossary() -> None:
    """AMS Glossary: 6.60E-4 per kelvin over water, about 5.82E-4 over ice; here at 0 degC."""
    dry = [psychrometer_vapour_pressure(1, 0, 1000, iced=iced) for iced in (False, True)]

    assert 6.112 - dry[0] == pytest.approx(0.660, abs=1e-12)
    assert 6.112 - dry[1] == pytest.approx(0.582, abs=1e-12)


@pytest.mark.parametrize(
    ("altitude_m", "pascal"), [(-500, 107478), (0, 101325), (500, 95461), (1000, 89875)]
)
def test_station_pressure_follows_the_standard_atmosphere(altitude_m: float, pascal: float) -> None:
    """ASHRAE Fundamentals 2017 ch. 1 table 1."""
    assert standard_pressure(altitude_m) * 100 == pytest.approx(pascal, abs=1)


@pytest.mark.parametrize(
    ("air_c", "wet_c", "iced"), [(25, 20, False), (40, 20, False), (-2, -4, True), (-2, -4, False)]
)
def test_the_slopes_are_those_of_finite_differences(air_c: float, wet_c: float, iced: bool) -> None:
    step = 1e-4

    def pressure(air: float, wet: float) -> float:
        return psychrometer_vapour_pressure(air, wet, 950, iced)

    by_air = (pressure(air_c + step, wet_c) - pressure(air_c - step, wet_c)) / (2 * step)
    by_wet = (pressure(air_c, wet_c + step) - pressure(air_c, wet_c - step)) / (2 * step)

    assert psychrometer_slopes(air_c, wet_c, 950, iced) == pytest.approx((by_air, by_wet), rel=1e-6)
