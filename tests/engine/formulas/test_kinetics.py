"""Cure kinetics against published and calculated values."""

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from qc.engine.formulas.kinetics import (
    Interval,
    Rate,
    age_factor,
    arrhenius_time,
    colder_row,
    course,
    degree_hours,
    hotter_row,
    hours_until,
    log_time,
)

# Published cure chart of a two-part epoxy: degC, hours to Shore D 65.
CHART = [
    (Fraction(4), Fraction(96)),
    (Fraction(10), Fraction(75)),
    (Fraction(16), Fraction(20)),
    (Fraction(21), Fraction(8)),
    (Fraction(27), Fraction("4.75")),
    (Fraction(32), Fraction(17, 6)),
    (Fraction(38), Fraction(2)),
    (Fraction(43), Fraction(5, 3)),
]
LOGGED = [(0, 18), (1, 18), (2, 16), (3, 14), (4, 12), (6, 10), (8, 10), (10, 12), (12, 16)]
Q5000 = Fraction(5000)


def intervals(log: list[tuple[int, int]]) -> list[Interval]:
    return [
        Interval(Fraction(b[0] - a[0]), Fraction(a[1]), Fraction(b[1])) for a, b in pairwise(log)
    ]


def accumulated(rate: Rate, parts: list[Interval]) -> Fraction:
    return course(rate, parts)[-1]


def reached(target: str | int, rate: Rate, parts: list[Interval]) -> Fraction | None:
    return hours_until(Fraction(target), course(rate, parts), parts)


def held(hours: int, celsius: int) -> Interval:
    return Interval(Fraction(hours), Fraction(celsius), Fraction(celsius))


def age(reference: int) -> Rate:
    return lambda part: age_factor(part.mean, Q5000, Fraction(reference))


def maturity(datum: int) -> Rate:
    return lambda part: degree_hours(part.mean, Fraction(datum))


@pytest.mark.parametrize(
    ("celsius", "colder", "log", "arrhenius"),
    [
        (24, "8", "6.164", "6.148"),
        (18, "20", "13.86", "13.81"),
        (13, "75", "38.7", "38.5"),
        (30, "4.75", "3.48", "3.48"),
    ],
)
def test_times_between_the_rows_of_the_published_chart(
    celsius: int, colder: str, log: str, arrhenius: str
) -> None:
    """Calculated on the published chart."""
    at = Fraction(celsius)

    assert colder_row(CHART, at) == Fraction(colder)
    for found, expected in ((log_time(CHART, at), log), (arrhenius_time(CHART, at), arrhenius)):
        assert found is not None
        assert round(float(found), len(expected.partition(".")[2])) == float(expected)


@pytest.mark.parametrize("row", CHART)
def test_on_a_row_every_mode_gives_the_row_exactly(row: tuple[Fraction, Fraction]) -> None:
    for time_at in (colder_row, hotter_row, log_time, arrhenius_time):
        assert time_at(CHART, row[0]) == row[1]


def test_nothing_is_extrapolated() -> None:
    assert [f(CHART, Fraction("3.999")) for f in (colder_row, log_time, arrhenius_time)] == [
        None
    ] * 3
    assert [f(CHART, Fraction(60)) for f in (colder_row, log_time, arrhenius_time)] == [
        Fraction(5, 3)
    ] * 3
    assert hotter_row(CHART, Fraction("43.001")) is None
    assert hotter_row(CHART, Fraction(-20)) == 96


def test_the_hotter_row_serves_a_longest_window() -> None:
    """Longest recoat window of the published chart: 116 min at 21 degC, 75 min at 27 degC."""
    rows = [(Fraction(21), Fraction(116)), (Fraction(27), Fraction(75))]

    assert hotter_row(rows, Fraction(24)) == 75


def test_two_rows_of_one_time_stay_on_it_between() -> None:
    rows = [(Fraction(10), Fraction(3)), (Fraction(20), Fraction(3))]

    assert log_time(rows, Fraction(15)) == arrhenius_time(rows, Fraction(15)) == 3


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [
        (0, ".2868"),
        (5, ".3986"),
        (10, ".5475"),
        (15, ".7438"),
        (20, "1"),
        (25, "1.3311"),
        (30, "1.7553"),
        (40, "2.9723"),
    ],
)
def test_age_factors_at_a_reference_of_20(celsius: int, factor: str) -> None:
    """Calculated: Q 5000 K, 0 degC = 273.15 K."""
    found = age_factor(Fraction(celsius), Q5000, Fraction(20))

    assert round(float(found), 4) == float(factor)


@pytest.mark.parametrize(("celsius", "factor"), [(10, ".4606"), (20, ".8413"), (30, "1.4768")])
def test_age_factors_at_a_reference_of_23(celsius: int, factor: str) -> None:
    """Calculated: Q 5000 K."""
    assert round(float(age_factor(Fraction(celsius), Q5000, Fraction(23))), 4) == float(factor)


@pytest.mark.parametrize(("celsius", "factor"), [(10, "0.476"), (5, "0.322"), (40, "3.83")])
def test_age_factors_where_ten_degrees_double_the_rate(celsius: int, factor: str) -> None:
    """Calculated: E = 51.2 kJ/mol, for which 20 to 30 degC doubles the rate."""
    activation = Fraction("51200") / Fraction("8.314462618")

    found = float(age_factor(Fraction(celsius), activation, Fraction(20)))

    assert found == pytest.approx(float(factor), rel=0.003)
    assert float(age_factor(Fraction(30), activation, Fraction(20))) == pytest.approx(2, rel=0.001)


def test_the_age_factor_at_the_reference_is_exactly_one() -> None:
    assert age_factor(Fraction(20), Q5000, Fraction(20)) == 1


@pytest.mark.parametrize(
    ("celsius", "hours"),
    [(5, "60.21"), (10, "43.83"), (15, "32.27"), (25, "18.03"), (30, "13.67"), (40, "8.07")],
)
def test_time_at_a_constant_temperature_for_an_age_of_24_hours(celsius: int, hours: str) -> None:
    """Calculated: Q 5000 K, reference 20 degC."""
    found = reached(24, age(20), [held(100, celsius)])

    assert found is not None
    assert round(float(found), 2) == float(hours)


def test_three_days_at_three_temperatures_are_older_than_their_mean() -> None:
    """Calculated: 24 h each at 10, 20 and 30 degC, Q 5000 K, reference 20 degC: 79.27 h."""
    parts = [held(24, 10), held(24, 20), held(24, 30)]

    assert round(float(accumulated(age(20), parts)), 2) == 79.27


def test_the_logged_history() -> None:
    """Calculated, interval mean: equivalent age and Nurse-Saul maturity of one log."""
    parts = intervals(LOGGED)

    assert round(float(accumulated(age(20), parts)), 4) == 7.9563
    assert round(float(accumulated(age(23), parts)), 4) == 6.6939
    assert accumulated(maturity(0), parts) == 155
    assert accumulated(maturity(-10), parts) == 275


def test_maturity_above_the_datum_is_the_trapezoid_rule() -> None:
    hours, celsius = zip(*LOGGED, strict=True)

    assert float(accumulated(maturity(0), intervals(LOGGED))) == pytest.approx(
        trapezoid(celsius, hours), rel=1e-14
    )


def test_a_finer_log_brings_the_interval_mean_and_the_trapezoid_together() -> None:
    """The trapezoid on the rate of the same log is 7.9730 h (calculated)."""
    hours, celsius = zip(*LOGGED, strict=True)
    rates = [float(age_factor(Fraction(c), Q5000, Fraction(20))) for c in celsius]
    fine_hours = np.linspace(0, 12, 1201)
    fine = np.interp(fine_hours, hours, celsius)
    fine_rates = np.exp(-5000 * (1 / (fine + 273.15) - 1 / 293.15))
    parts = [
        Interval(Fraction(1, 100), Fraction(a), Fraction(b)) for a, b in pairwise(fine.tolist())
    ]

    assert round(float(trapezoid(rates, hours)), 4) == 7.9730
    assert float(accumulated(age(20), parts)) == pytest.approx(
        trapezoid(fine_rates, fine_hours), rel=1e-6
    )


def test_below_the_datum_an_interval_adds_nothing() -> None:
    """Calculated with the mean of each interval: 1200 degC h."""
    log = [(0, 20), (24, 20), (48, 10), (72, -5), (96, 30)]

    assert accumulated(maturity(0), intervals(log)) == 1200


def test_published_maturities() -> None:
    """Notes on ASTM C1074: 728 degC d; 3500 degC h at 23 degC after 152 h, in 72 h at 48.6 degC."""
    hours = reached(3500, maturity(0), [held(200, 23)])

    assert accumulated(maturity(-11), [held(28 * 24, 15)]) / 24 == 728
    assert hours is not None
    assert round(float(hours)) == 152
    assert round(3500 / 72, 1) == 48.6
    assert (
        accumulated(maturity(0), [Interval(Fraction(72), Fraction("48.6"), Fraction("48.6"))])
        < 3500
    )
    assert accumulated(maturity(0), [held(72, 49)]) > 3500


def test_maturity_of_three_days() -> None:
    """Calculated: 24 h each at 10, 20 and 30 degC."""
    parts = [held(24, 10), held(24, 20), held(24, 30)]

    assert accumulated(maturity(0), parts) == 1440
    assert accumulated(maturity(-10), parts) == 2160


def test_a_target_is_reached_within_its_interval() -> None:
    parts = [held(10, 10), held(10, 20)]

    assert reached(100, maturity(0), parts) == 10
    assert reached(150, maturity(0), parts) == Fraction("12.5")
    assert reached(300, maturity(0), parts) == 20
    assert reached("300.001", maturity(0), parts) is None


def test_a_course_begins_at_nothing_and_runs_on_through_a_standstill() -> None:
    parts = [held(10, 10), Interval(Fraction(10), Fraction(10), Fraction(-5)), held(10, 20)]

    assert [float(value) for value in course(maturity(0), parts)] == [0, 100, 125, 325]
    assert reached(100, maturity(0), parts) == 10
    assert reached(126, maturity(0), parts) == Fraction("20.05")


def test_an_interval_without_progress_reaches_nothing() -> None:
    assert reached(1, maturity(50), [held(10, 20)]) is None


@given(st.fractions(4, 43), st.fractions(0, 10))
def test_a_hotter_cure_never_takes_longer(celsius: Fraction, by: Fraction) -> None:
    for time_at in (colder_row, log_time, arrhenius_time):
        now, hotter = time_at(CHART, celsius), time_at(CHART, celsius + by)
        assert now is not None and hotter is not None
        assert float(hotter) <= float(now) * (1 + 1e-12)


@given(st.fractions(4, 43))
def test_the_colder_row_is_the_safe_side(celsius: Fraction) -> None:
    safe = colder_row(CHART, celsius)

    for time_at in (log_time, arrhenius_time):
        found = time_at(CHART, celsius)
        assert found is not None and safe is not None
        assert float(found) <= float(safe) * (1 + 1e-12)


@given(st.fractions(-40, 200), st.fractions(-40, 200))
def test_age_factors_agree_with_floating_point(celsius: Fraction, reference: Fraction) -> None:
    expected = np.exp(-5000 * (1 / (float(celsius) + 273.15) - 1 / (float(reference) + 273.15)))

    assert float(age_factor(celsius, Q5000, reference)) == pytest.approx(expected, rel=1e-9)
