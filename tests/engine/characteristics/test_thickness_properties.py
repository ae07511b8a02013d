"""What holds for any thickness readings: order, units, worse readings, stricter limits, guards."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qc.engine.rules import Outcome
from tests.engine.characteristics.thickness_cases import (
    Verdict,
    finding,
    flagged,
    judge,
    mil,
    um,
)

few = settings(max_examples=60)
WORST_FIRST = list(Outcome)
thicknesses = st.decimals(180, 420, places=1)
FLAT_RULES: list[dict[str, Any]] = [
    {"rule": "iso19840", "nominal": "300 um", "max": "400 um", "surface_profile": "medium"},
    {"rule": "iso19840", "nominal": "300 um", "share_bound": "not_more_than"},
    {"rule": "90-10", "nominal": "300 um"},
    {"rule": "minimum", "min": "250 um", "max": "400 um"},
]
PA2 = {"rule": "pa2", "min": "250 um", "max": "350 um"}
lists = st.lists(thicknesses, min_size=1, max_size=12)
every_rule = st.sampled_from([*FLAT_RULES, PA2])


def taken(criteria: dict[str, Any], values: list[Decimal], unit: str = "um") -> Verdict:
    """Judge `values`, by spots of three where the rule is SSPC-PA 2."""
    entered = [f"{value} {unit}" for value in values]
    size = 3 if criteria["rule"] == "pa2" else len(entered)
    return judge(
        criteria, *({"values": entered[i : i + size]} for i in range(0, len(entered), size))
    )


def rank(verdict: Verdict) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


@few
@given(every_rule, st.lists(thicknesses, min_size=15, max_size=15), st.data())
def test_a_thinner_reading_never_improves_the_verdict(
    criteria: dict[str, Any], values: list[Decimal], data: st.DataObject
) -> None:
    criteria = {name: value for name, value in criteria.items() if name != "max"}
    index = data.draw(st.integers(0, len(values) - 1))
    thinner = [*values]
    thinner[index] = data.draw(st.decimals(150, values[index], places=1))

    assert rank(taken(criteria, thinner)) <= rank(taken(criteria, values))


@few
@given(every_rule, st.lists(thicknesses, min_size=15, max_size=15), st.integers(0, 60))
def test_a_stricter_limit_never_improves_the_verdict(
    criteria: dict[str, Any], values: list[Decimal], by: int
) -> None:
    name = "nominal" if "nominal" in criteria else "min"
    stricter = criteria | {name: f"{int(criteria[name].split()[0]) + by} um"}

    assert rank(taken(stricter, values)) <= rank(taken(criteria, values))


@few
@given(st.lists(thicknesses, min_size=15, max_size=15), st.integers(2, 5))
def test_a_stricter_level_never_improves_the_verdict(values: list[Decimal], level: int) -> None:
    stricter = taken(PA2 | {"level": level - 1}, values)

    assert rank(stricter) <= rank(taken(PA2 | {"level": level}, values))


@few
@given(st.sampled_from(FLAT_RULES), lists, st.data())
def test_the_order_of_readings_does_not_matter(
    criteria: dict[str, Any], values: list[Decimal], data: st.DataObject
) -> None:
    first, second = taken(criteria, values), taken(criteria, data.draw(st.permutations(values)))

    assert first["outcome"] == second["outcome"]
    for name in ("mean", "share_below_nominal"):
        assert first["computed"].get(name) == second["computed"].get(name)


@few
@given(st.sampled_from(FLAT_RULES), lists)
def test_one_reading_of_many_values_is_judged_as_many_readings_of_one(
    criteria: dict[str, Any], values: list[Decimal]
) -> None:
    apart = judge(criteria, *({"values": um(value)} for value in values))
    together = taken(criteria, values)

    assert apart["outcome"] == together["outcome"]
    assert apart["computed"] == together["computed"]


@few
@given(every_rule, st.lists(st.decimals(8, 16, places=2), min_size=1, max_size=15))
def test_the_unit_of_entry_does_not_change_the_outcome(
    criteria: dict[str, Any], values: list[Decimal]
) -> None:
    in_mil = taken(criteria, values, "mil")
    in_um = taken(criteria, [value * Decimal("25.4") for value in values])
    mixed = judge(criteria, *_mixed(criteria, values))

    outcomes = [[f["outcome"] for f in v["findings"]] for v in (in_mil, in_um, mixed)]
    assert outcomes[0] == outcomes[1] == outcomes[2]


def _mixed(criteria: dict[str, Any], values: list[Decimal]) -> list[dict[str, Any]]:
    """Every second value in mil, the others in micrometres."""
    entered = [
        f"{value} mil" if i % 2 else f"{value * Decimal('25.4')} um"
        for i, value in enumerate(values)
    ]
    size = 3 if criteria["rule"] == "pa2" else 1
    return [{"values": entered[i : i + size]} for i in range(0, len(entered), size)]


@few
@given(every_rule, lists, st.integers(1, 20))
def test_fewer_readings_than_required_never_conform(
    criteria: dict[str, Any], values: list[Decimal], more: int
) -> None:
    asked = criteria | {"readings_min": len(values) + more}

    assert taken(asked, values)["outcome"] != "conforms"


@few
@given(every_rule, st.lists(thicknesses, min_size=15, max_size=15), st.integers(0, 40))
def test_a_guarded_decision_never_lets_more_pass(
    criteria: dict[str, Any], values: list[Decimal], uncertainty: int
) -> None:
    guarded = criteria | {"decision": "guarded", "expanded_uncertainty": f"{uncertainty} um"}

    assert rank(taken(guarded, values)) <= rank(taken(criteria, values))


@pytest.mark.parametrize(
    ("mean", "simple", "guarded", "is_conditional"),
    [
        ("316", "conforms", "conforms", False),
        ("315", "conforms", "conforms", True),
        ("314", "conforms", "does_not_conform", True),
        ("299", "does_not_conform", "does_not_conform", True),
        ("284", "does_not_conform", "does_not_conform", False),
    ],
)
def test_a_mean_in_the_guard_band_is_conditional(
    mean: str, simple: str, guarded: str, is_conditional: bool
) -> None:
    """Calculated: lower limit 300 um with U = 15 um, so that 315 um is accepted."""
    criteria = {"rule": "minimum", "mean_min": "300 um", "expanded_uncertainty": "15 um"}

    plain = judge(criteria, {"values": um(mean)})
    strict = judge(criteria | {"decision": "guarded"}, {"values": um(mean)})

    assert (plain["outcome"], strict["outcome"]) == (simple, guarded)
    assert flagged(strict, "thickness.minimum.mean_min") is is_conditional


def test_an_uncertainty_of_the_mean_does_not_guard_single_readings() -> None:
    criteria = {
        "rule": "iso19840",
        "nominal": "300 um",
        "share_bound": "not_more_than",
        "decision": "guarded",
        "expanded_uncertainty": "15 um",
    }
    readings = {"values": um(*[330] * 9, 245)}

    both = judge(criteria, readings)
    of_mean = judge(criteria | {"uncertainty_of": "mean"}, readings)
    of_single = judge(criteria | {"uncertainty_of": "single"}, readings)

    assert finding(both, "thickness.iso19840.least")["outcome"] == "does_not_conform"
    assert of_mean["outcome"] == "conforms"
    assert finding(of_mean, "thickness.iso19840.mean")["limit"] == (
        "at least 300 µm, guarded by 15 µm"
    )
    assert finding(of_single, "thickness.iso19840.mean")["limit"] == "at least 300 µm"


def test_a_guarded_decision_without_an_uncertainty_cannot_be_judged() -> None:
    verdict = judge({"rule": "minimum", "min": "8 mil", "decision": "guarded"}, {"values": mil(9)})

    assert verdict["outcome"] == "cannot_be_judged"


def test_the_probability_of_conformity_is_stated_where_asked() -> None:
    """Calculated: mean 310 um, at least 300 um, U = 15 um."""
    criteria = {
        "rule": "minimum",
        "mean_min": "300 um",
        "expanded_uncertainty": "15 um",
        "probability": True,
    }

    verdict = judge(criteria, {"values": um(310)})

    rule = "thickness.minimum.mean_min"
    assert f"{rule}: probability of conformity 0.909" in verdict["flags"]


def test_ten_thousand_readings_are_judged_with_one_finding_a_rule() -> None:
    values = um(*(300 + i % 100 for i in range(10_000)))

    verdict = judge({"rule": "iso19840", "nominal": "340 um"}, {"values": values})

    assert len(verdict["findings"]) == 4
    assert len(verdict["computed"]["corrected"]) == 10_000
    assert verdict["computed"]["share_below_nominal"] == "40 %"
