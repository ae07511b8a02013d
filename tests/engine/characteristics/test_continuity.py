"""The holiday test: voltage, standard and edition are the plan's, and none is assumed."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import InvalidValue

Verdict = dict[str, Any]
CONFORMS, FAILS = "conforms", "does_not_conform"
INCOMPLETE, UNJUDGED = "incomplete", "cannot_be_judged"
SPARK = {
    "method": "high_voltage",
    "standard": "NACE SP0188",
    "edition": "2024",
    "voltage": "11.18 kV",
}
SPONGE = SPARK | {"method": "low_voltage", "voltage": "67.5 V"}
CLEAN = {"voltage": "11.18 kV", "holidays": 0}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> Verdict:
    case = {"characteristic": "continuity", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def outcomes(verdict: Verdict) -> dict[str, str]:
    return {finding["rule"]: finding["outcome"] for finding in verdict["findings"]}


def flags(verdict: Verdict) -> list[str]:
    return [flag.split(":")[0] for flag in verdict["flags"]]


def test_a_coating_without_a_holiday_conforms_and_the_finding_names_the_edition() -> None:
    verdict = judge(SPARK, CLEAN)

    assert verdict["outcome"] == CONFORMS
    assert verdict["findings"][1]["source"].endswith("NACE SP0188, edition 2024")


@pytest.mark.parametrize("name", ["method", "standard", "edition"])
@pytest.mark.parametrize("left", [None, "", "gone"])
def test_method_standard_and_edition_are_required(name: str, left: str | None) -> None:
    plan: dict[str, Any] = dict(SPARK) | {name: left}
    if left == "gone":
        del plan[name]

    with pytest.raises(InvalidValue, match=rf"^criteria\.{name}: is required"):
        judge(plan, CLEAN)


@pytest.mark.parametrize("name", ["standard", "edition"])
def test_a_blank_is_no_standard_and_no_edition(name: str) -> None:
    with pytest.raises(InvalidValue, match=rf"^criteria\.{name}: is required"):
        judge(SPARK | {name: "  "}, CLEAN)


def test_without_a_voltage_of_the_plan_nothing_can_be_judged() -> None:
    plan = {name: value for name, value in SPARK.items() if name != "voltage"}

    verdict = judge(plan, CLEAN)

    assert verdict["outcome"] == UNJUDGED
    assert "none is assumed" in verdict["findings"][1]["statement"]


def test_no_field_of_the_declaration_offers_a_voltage() -> None:
    for field in CHARACTERISTICS["continuity"].criteria:
        assert "kV" not in field.help
        assert " V " not in field.help


@pytest.mark.parametrize(
    ("found", "accepted", "outcome"),
    [(0, None, CONFORMS), (1, None, FAILS), (2, 2, CONFORMS), (3, 2, FAILS), (1, 0, FAILS)],
)
def test_no_holiday_is_accepted_unless_the_plan_says_so(
    found: int, accepted: int | None, outcome: str
) -> None:
    plan = SPARK if accepted is None else SPARK | {"holidays_max": accepted}

    verdict = judge(plan, CLEAN | {"holidays": found, "places": "1.2 m, 6 o'clock"})

    assert verdict["outcome"] == outcome
    assert verdict["findings"][0]["limit"] == f"at most {accepted or 0}"
    source = "as given in the criteria; source not stated"
    assert (verdict["findings"][0]["source"] == source) is (accepted is not None)


def test_holidays_of_all_readings_add_up_and_are_named() -> None:
    verdict = judge(
        SPARK | {"holidays_max": 2},
        CLEAN | {"holidays": 2, "location": "Elbow"},
        CLEAN,
        CLEAN | {"holidays": 1},
    )

    assert verdict["outcome"] == FAILS
    assert verdict["computed"]["holidays"] == 3
    statement = "Holidays found: 3 (2 at reading 1 (Elbow), 1 at reading 3), at most 2 accepted."
    assert verdict["findings"][0]["statement"] == statement


def test_holidays_without_a_place_are_flagged() -> None:
    plan = SPARK | {"holidays_max": 5}

    assert "continuity.places" in flags(judge(plan, CLEAN | {"holidays": 1}))
    placed = CLEAN | {"holidays": 1, "places": "0.4 m, 3 o'clock"}
    assert "continuity.places" not in flags(judge(plan, placed, CLEAN))


@pytest.mark.parametrize(
    ("used", "tolerance", "outcome"),
    [
        ("11.18 kV", None, CONFORMS),
        ("11180 V", None, CONFORMS),
        ("11.181 kV", None, UNJUDGED),
        ("11.179 kV", None, UNJUDGED),
        ("10.621 kV", "5 %", CONFORMS),
        ("10.6209 kV", "5 %", UNJUDGED),
        ("11.739 kV", "5 %", CONFORMS),
        ("11.7391 kV", "5 %", UNJUDGED),
        (None, "5 %", UNJUDGED),
    ],
)
def test_a_test_at_another_voltage_is_not_the_test_of_the_plan(
    used: str | None, tolerance: str | None, outcome: str
) -> None:
    """11.18 kV within 5 %: 10.621 to 11.739 kV, calculated."""
    plan = SPARK if tolerance is None else SPARK | {"voltage_tolerance": tolerance}

    assert judge(plan, {"voltage": used, "holidays": 0})["outcome"] == outcome


def test_a_holiday_found_at_the_wrong_voltage_still_fails() -> None:
    assert judge(SPARK, {"voltage": "5 kV", "holidays": 1})["outcome"] == FAILS


@pytest.mark.parametrize(
    ("thickness", "outcome"),
    [
        ("500 um", CONFORMS),
        ("0.5 mm", CONFORMS),
        ("500.1 um", UNJUDGED),
        ("20 mil", CONFORMS),
        ("20.01 mil", UNJUDGED),
        ("0.020 in", CONFORMS),
    ],
)
def test_a_wet_sponge_reaches_half_a_millimetre(thickness: str, outcome: str) -> None:
    """Common practice: to about 500 um or 20 mil; 20 mil are 508 um."""
    reading = {"voltage": "67.5 V", "holidays": 0, "thickness": thickness}

    assert judge(SPONGE, reading)["outcome"] == outcome
    assert judge(SPONGE | {"thickness": thickness}, reading | {"thickness": None})["outcome"] == (
        outcome
    )


def test_a_wet_sponge_over_an_unknown_thickness_proves_nothing() -> None:
    verdict = judge(SPONGE, {"voltage": "67.5 V", "holidays": 0})

    assert outcomes(verdict)["continuity.wet_sponge"] == UNJUDGED
    assert "rp0274" not in verdict["computed"]


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        (SPONGE | {"voltage": "100.1 V"}, "100.1 V is no low voltage"),
        (SPARK | {"voltage": "100 V"}, "100 V is no high voltage"),
        (
            SPARK | {"voltage": "16.8 kV", "dielectric_strength": "8.4 kV/mm", "thickness": "2 mm"},
            "16.8 kV is not below 16.8 kV, which a coating of 2 mm withstands",
        ),
    ],
)
def test_a_plan_with_a_voltage_that_makes_no_sense_is_refused(
    plan: dict[str, Any], said: str
) -> None:
    with pytest.raises(InvalidValue) as caught:
        judge(plan, CLEAN)

    assert caught.value.path == "criteria.voltage"
    assert said in caught.value.problem


def test_voltages_at_the_edge_of_both_methods_are_taken() -> None:
    reading = {"voltage": "100 V", "holidays": 0, "thickness": "300 um"}

    assert judge(SPONGE | {"voltage": "100 V"}, reading)["outcome"] == CONFORMS
    over = reading | {"voltage": "100.1 V"}
    assert judge(SPARK | {"voltage": "100.1 V"}, over)["outcome"] == CONFORMS


@pytest.mark.parametrize(
    ("thickness", "outcome"),
    [("2 mm", CONFORMS), ("1.33 mm", FAILS), ("1.331 mm", CONFORMS), (None, UNJUDGED)],
)
def test_the_voltage_stays_below_what_the_coating_withstands(
    thickness: str | None, outcome: str
) -> None:
    """8.4 kV/mm: 2 mm stand 16.8 kV (instrument manual); 1.33 mm 11.172 kV, 1.331 mm 11.1804."""
    plan = SPARK | {"dielectric_strength": "8.4 kV/mm"}

    verdict = judge(plan, CLEAN | {"thickness": thickness})

    assert outcomes(verdict)["continuity.ceiling"] == outcome


def test_the_thinnest_place_decides_about_the_ceiling() -> None:
    plan = SPARK | {"dielectric_strength": "8.4 kV/mm"}

    verdict = judge(plan, CLEAN | {"thickness": "2 mm"}, CLEAN | {"thickness": "1 mm"})

    (found,) = [f for f in verdict["findings"] if f["rule"] == "continuity.ceiling"]
    assert found["statement"].startswith("Reading 2: 11.18 kV is not below 8.4 kV")
    assert verdict["computed"]["ceiling"] == ["16.8 kV", "8.4 kV"]


def test_formulas_are_computed_for_information_and_say_so() -> None:
    """NACE RP0274, 2 mm: 11.18 kV, as an instrument manual quotes it."""
    verdict = judge(SPARK, CLEAN | {"thickness": "2 mm"}, CLEAN)

    assert verdict["computed"]["rp0274"] == ["11180.339887 V", None]
    assert verdict["computed"]["d5162"] == ["11091.67697 V", None]
    assert "continuity.formulas" in flags(verdict)
    assert "continuity.formulas" not in flags(judge(SPARK, CLEAN))


@pytest.mark.parametrize(
    ("areas", "outcome"),
    [
        (["6 m2", "4 m2"], CONFORMS),
        (["6 m2", "3.99 m2"], INCOMPLETE),
        (["6 m2", None], UNJUDGED),
        (["108 ft2"], CONFORMS),
        (["107 ft2"], INCOMPLETE),
    ],
)
def test_all_of_the_area_is_tested(areas: list[str | None], outcome: str) -> None:
    """10 m2 are 107.64 ft2."""
    verdict = judge(SPARK | {"area": "10 m2"}, *(CLEAN | {"area": area} for area in areas))

    assert verdict["outcome"] == outcome


@pytest.mark.parametrize(
    ("reading", "path"),
    [
        ({"voltage": "11.18 kV"}, "readings[0].holidays"),
        ({"voltage": "11.18 kV", "holidays": -1}, "readings[0].holidays"),
        ({"voltage": "11.18 kV", "holidays": "1.5"}, "readings[0].holidays"),
        ({"voltage": "0 V", "holidays": 0}, "readings[0].voltage"),
        ({"voltage": "5 mm", "holidays": 0}, "readings[0].voltage"),
    ],
)
def test_nonsense_is_refused_by_the_name_of_the_field(reading: dict[str, Any], path: str) -> None:
    with pytest.raises(InvalidValue) as caught:
        judge(SPARK, reading)

    assert caught.value.path == path


counts = st.lists(st.integers(0, 3), min_size=1, max_size=4)


@given(counts, st.integers(0, 4), st.data())
def test_one_more_holiday_or_one_less_accepted_never_improves_the_verdict(
    found: list[int], accepted: int, data: st.DataObject
) -> None:
    more = list(found)
    more[data.draw(st.integers(0, len(found) - 1))] += 1

    def outcome(numbers: list[int], most: int) -> str:
        readings = [CLEAN | {"holidays": number} for number in numbers]
        return str(judge(SPARK | {"holidays_max": most}, *readings)["outcome"])

    if outcome(found, accepted) == FAILS:
        assert outcome(more, accepted) == FAILS
        assert outcome(found, max(0, accepted - 1)) == FAILS
    assert outcome(found, accepted) == outcome(found[::-1], accepted)
