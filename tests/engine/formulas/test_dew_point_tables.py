"""The dew point against calculated tables, and against charts and examples as printed."""

import pytest

from qc.engine.formulas.psychrometrics import dew_point, hyland_wexler_dew_point

HUMIDITIES = (30, 40, 50, 60, 65, 70, 75, 80, 85, 90, 95)


def fahrenheit(t_c: float) -> float:
    return t_c * 1.8 + 32


def celsius(t_f: float) -> float:
    return (t_f - 32) / 1.8


@pytest.mark.parametrize(
    ("air_c", "row"),
    [
        (0, (-15.52, -11.99, -9.18, -6.83, -5.79, -4.81, -3.90, -3.03, -2.22, -1.44, -0.70)),
        (5, (-11.14, -7.47, -4.55, -2.11, -1.02, -0.01, 0.94, 1.84, 2.69, 3.50, 4.27)),
        (10, (-6.77, -2.97, 0.06, 2.60, 3.73, 4.79, 5.78, 6.71, 7.60, 8.44, 9.24)),
        (15, (-2.42, 1.52, 4.67, 7.31, 8.48, 9.58, 10.61, 11.58, 12.50, 13.37, 14.21)),
        (20, (1.92, 6.01, 9.27, 12.01, 13.23, 14.37, 15.44, 16.45, 17.40, 18.31, 19.17)),
        (25, (6.24, 10.48, 13.86, 16.70, 17.97, 19.15, 20.26, 21.31, 22.30, 23.24, 24.14)),
        (30, (10.55, 14.94, 18.45, 21.39, 22.70, 23.93, 25.08, 26.17, 27.20, 28.18, 29.11)),
        (35, (14.84, 19.38, 23.02, 26.07, 27.43, 28.70, 29.90, 31.02, 32.09, 33.11, 34.08)),
        (40, (19.12, 23.82, 27.58, 30.74, 32.15, 33.47, 34.71, 35.88, 36.99, 38.04, 39.04)),
    ],
)
def test_both_formulas_keep_to_the_calculated_grid(air_c: float, row: tuple[float, ...]) -> None:
    """Calculated by IAPWS-IF97, below 0 degC by Sonntag 1994 over water.

    The WMO form stays within 0.05 K of it, and within 0.026 K from 50 % upwards; the grid's own
    rounding is 0.005 K. Hyland-Wexler gives frost points below zero, which the grid has not.
    """
    for humidity, expected in zip(HUMIDITIES, row, strict=True):
        allowed = 0.05 if humidity < 50 else 0.026
        assert dew_point(air_c, humidity) == pytest.approx(expected, abs=allowed + 0.005)
        if expected > 0.01:
            assert hyland_wexler_dew_point(air_c, humidity) == pytest.approx(expected, abs=0.006)


@pytest.mark.parametrize(
    ("air_c", "humidity", "wmo", "hyland_wexler"),
    [
        (25, 80, 21.3069, 21.3094),
        (16, 71, 10.7408, 10.7501),
        (30, 55, 19.9719, 19.9759),
        (24, 35, 7.5879, 7.6115),
    ],
)
def test_each_formula_gives_its_own_dew_point(
    air_c: float, humidity: float, wmo: float, hyland_wexler: float
) -> None:
    """Calculated elsewhere by bisection; 21.3094 is also published for 25 degC and 80 %."""
    assert dew_point(air_c, humidity) == pytest.approx(wmo, abs=6e-5)
    assert hyland_wexler_dew_point(air_c, humidity) == pytest.approx(hyland_wexler, abs=6e-5)


@pytest.mark.parametrize(
    ("air_c", "humidity", "expected"),
    [
        (25, 80, 21.3093),
        (16, 71, 10.7503),
        (30, 55, 19.9756),
        (24, 35, 7.6120),
        (20, 85, 17.4027),
        (10, 60, 2.6012),
        (30, 85, 27.1985),
    ],
)
def test_hyland_wexler_is_a_thousandth_from_the_industrial_formulation_and_wmo_a_fortieth(
    air_c: float, humidity: float, expected: float
) -> None:
    """Calculated by IAPWS-IF97."""
    assert hyland_wexler_dew_point(air_c, humidity) == pytest.approx(expected, abs=0.0015)
    assert dew_point(air_c, humidity) == pytest.approx(expected, abs=0.026)


@pytest.mark.parametrize(
    ("air_c", "humidity", "margin"),
    [
        (0, 80.2, 2.22), (5, 80.9, 2.31), (10, 81.6, 2.40), (15, 82.2, 2.50), (20, 82.9, 2.60),
        (25, 83.5, 2.70), (30, 84.0, 2.80), (35, 84.6, 2.91), (40, 85.1, 3.01),
    ],
)  # fmt: skip
def test_three_degrees_are_stricter_than_85_percent_below_40_degrees(
    air_c: float, humidity: float, margin: float
) -> None:
    """Calculated by IAPWS-IF97: steel at air temperature, its margin at 85 % and the humidity at
    which it is 3.0."""
    assert air_c - dew_point(air_c, 85) == pytest.approx(margin, abs=0.008)
    assert air_c - dew_point(air_c, humidity + 0.15) < 3 < air_c - dew_point(air_c, humidity - 0.15)
    assert (humidity < 85) is (margin < 3)


@pytest.mark.parametrize(
    ("air_f", "humidity", "printed_f", "calculated_f"),
    [
        (70, 65, 57, 57.7),
        (70, 90, 67, 66.9),
        (80, 50, 59, 59.7),
        (100, 80, 93, 92.7),
        (40, 70, 31, 31.0),
        (50, 30, 20, 19.8),
        (75, 35, 45, 45.5),
    ],
)
def test_printed_charts_in_fahrenheit_agree_within_their_rounding(
    air_f: float, humidity: float, printed_f: float, calculated_f: float
) -> None:
    """A published dew point chart, and a maker's page (the last); some cells are off by 0.8 degF.

    Beside each cell what it should be, calculated.
    """
    found = fahrenheit(dew_point(celsius(air_f), humidity))

    assert found == pytest.approx(printed_f, abs=0.8)
    assert found == pytest.approx(calculated_f, abs=0.07)


@pytest.mark.parametrize(
    ("air_c", "humidity", "printed", "calculated"),
    [(16, 71, 11, 10.75), (30, 55, 20, 19.98), (24, 35, 7, 7.6)],
)
def test_printed_examples_in_celsius_agree_within_their_rounding(
    air_c: float, humidity: float, printed: float, calculated: float
) -> None:
    """A paint technical guide, a trade glossary and a maker's page; beside each the calculated."""
    assert dew_point(air_c, humidity) == pytest.approx(printed, abs=0.6)
    assert dew_point(air_c, humidity) == pytest.approx(calculated, abs=0.026)
