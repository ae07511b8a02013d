"""The closed form of the margin's uncertainty against differences and simulation."""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest

from qc.engine.formulas.margin_uncertainty import (
    Uncertainties,
    margin_uncertainty_from_humidity,
    margin_uncertainty_from_wet_bulb,
    slopes_from_humidity,
)
from qc.engine.formulas.psychrometrics import (
    Formula,
    air_from_humidity,
    air_from_wet_bulb,
    dew_point,
)

STEP = 1e-5
ORDINARY = Uncertainties(air=0.3, humidity=2, steel=0.5)
POORER = Uncertainties(air=0.5, humidity=3, steel=0.5)


@pytest.mark.parametrize(
    ("air_c", "humidity", "by_air", "by_humidity", "ordinary", "poorer", "worst_case"),
    [
        (10, 50, 0.923, 0.276, (0.62, 0.79), (0.95, 1.07), 1.79),
        (10, 85, 0.981, 0.173, (0.45, 0.68), (0.71, 0.87), 1.51),
        (20, 70, 0.958, 0.221, (0.53, 0.73), (0.82, 0.96), 1.64),
        (20, 85, 0.980, 0.186, (0.47, 0.69), (0.74, 0.90), 1.55),
        (30, 85, 0.980, 0.201, (0.50, 0.71), (0.78, 0.92), 1.59),
        (40, 85, 0.979, 0.215, (0.52, 0.72), (0.81, 0.95), 1.64),
    ],
)
def test_the_closed_form_agrees_with_the_calculated_table(
    air_c: float,
    humidity: float,
    by_air: float,
    by_humidity: float,
    ordinary: tuple[float, float],
    poorer: tuple[float, float],
    worst_case: float,
) -> None:
    """Calculated elsewhere from the same formula: of the dew point alone, and of the margin.

    The worst case is the plain sum of the poorer set's three parts.
    """
    dew = dew_point(air_c, humidity)

    slopes = slopes_from_humidity(air_c, humidity, dew)

    assert slopes == pytest.approx((by_air, by_humidity), abs=6e-4)
    for given, expected in ((ORDINARY, ordinary), (POORER, poorer)):
        alone = replace(given, steel=0.0)
        found = [margin_uncertainty_from_humidity(air_c, humidity, dew, u) for u in (alone, given)]
        assert found == pytest.approx(expected, abs=6e-3)
    most = slopes[0] * POORER.air + slopes[1] * POORER.humidity + POORER.steel
    assert most == pytest.approx(worst_case, abs=6e-3)


@pytest.mark.parametrize("air_c", [-8, 5, 20, 40])
@pytest.mark.parametrize("humidity", [30, 60, 95])
def test_the_slopes_are_those_of_finite_differences(air_c: float, humidity: float) -> None:
    by_air = (dew_point(air_c + STEP, humidity) - dew_point(air_c - STEP, humidity)) / (2 * STEP)
    by_humidity = (dew_point(air_c, humidity + STEP) - dew_point(air_c, humidity - STEP)) / (
        2 * STEP
    )

    slopes = slopes_from_humidity(air_c, humidity, dew_point(air_c, humidity))

    assert slopes == pytest.approx((by_air, by_humidity), rel=1e-6)


@pytest.mark.parametrize("what", ["air", "humidity"])
def test_the_frost_point_has_slopes_of_its_own(what: str) -> None:
    def frost(air_c: float, humidity: float) -> float:
        found = air_from_humidity(Formula.WMO_2008, air_c, humidity).frost_point
        assert found is not None
        return found

    more, less = ({"air_c": -5.0, "humidity": 80.0} for _ in range(2))
    more["air_c" if what == "air" else "humidity"] += STEP
    less["air_c" if what == "air" else "humidity"] -= STEP
    slope = (frost(**more) - frost(**less)) / (2 * STEP)

    found = margin_uncertainty_from_humidity(
        -5, 80, frost(-5, 80), Uncertainties(**{what: 1.0}), frost=True
    )

    assert found == pytest.approx(abs(slope), rel=1e-6)


@pytest.mark.parametrize("what", ["air", "wet_bulb"])
def test_the_wet_bulb_carries_through(what: str) -> None:
    def dew(air_c: float, wet_bulb_c: float) -> float:
        return air_from_wet_bulb(Formula.WMO_2008, air_c, wet_bulb_c, 980, iced=False).dew_point

    step = (STEP, 0.0) if what == "air" else (0.0, STEP)
    slope = (dew(20 + step[0], 15 + step[1]) - dew(20 - step[0], 15 - step[1])) / (2 * STEP)

    found = margin_uncertainty_from_wet_bulb(
        (20, 15, 980, False), dew(20, 15), Uncertainties(**{what: 1.0})
    )

    assert found == pytest.approx(abs(slope), rel=1e-6)


def test_a_simulation_of_the_instruments_spreads_as_the_closed_form_says() -> None:
    rng = np.random.default_rng(20260512)
    count = 20_000
    airs = rng.normal(20, ORDINARY.air, count)
    humidities = rng.normal(85, ORDINARY.humidity, count)
    steels = rng.normal(21, ORDINARY.steel, count)
    margins = [s - dew_point(a, h) for s, a, h in zip(steels, airs, humidities, strict=True)]

    found = margin_uncertainty_from_humidity(20, 85, dew_point(20, 85), ORDINARY)

    assert np.std(margins) == pytest.approx(found, rel=3 / sqrt(2 * count) + 0.005)


def test_steel_alone_counts_in_full() -> None:
    only_steel = Uncertainties(steel=0.5)

    assert margin_uncertainty_from_humidity(20, 85, dew_point(20, 85), only_steel) == 0.5
