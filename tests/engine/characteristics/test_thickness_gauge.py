"""What is taken off a reading, and when the gauge cannot be trusted."""

from decimal import Decimal
from typing import Any

import pytest

from qc.engine.characteristics.thickness.gauge import within_accuracy
from qc.engine.quantities import Quantity
from tests.engine.characteristics.thickness_cases import (
    Verdict,
    finding,
    flagged,
    judge,
    outcomes,
    um,
)

MINIMUM = {"rule": "minimum", "min": "290 um"}


def minimum(*readings: dict[str, Any], **criteria: Any) -> Verdict:
    return judge(MINIMUM | criteria, *readings)


@pytest.mark.parametrize(
    ("profile", "corrected"),
    [
        ("fine", "315 um"), ("medium", "300 um"), ("coarse", "285 um"), ("unknown", "300 um"),
        ("smooth", "325 um"), ("none", "325 um"), ("30 um", "295 um"), ("0 um", "325 um"),
    ],
)  # fmt: skip
def test_a_correction_for_the_profile_is_taken_off(profile: str, corrected: str) -> None:
    """ISO 19840 correction values, from memory."""
    verdict = minimum({"values": um(325)}, surface_profile=profile)

    assert verdict["computed"]["corrected"] == [corrected]


def test_a_correction_in_other_units_is_exact() -> None:
    verdict = minimum({"values": ["13 mil"]}, surface_profile="25.4 um", min="12 mil")

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"]["corrected"] == ["12 mil"]


def test_a_correction_that_no_decimal_holds_is_judged_exactly_all_the_same() -> None:
    """10 um are 0.3937... mil: 304.8 um less 10 um is 294.8 um."""
    reading = {"values": ["12 mil"]}

    assert minimum(reading, surface_profile="fine", min="294.8 um")["outcome"] == "conforms"
    assert minimum(reading, surface_profile="fine", min="294.801 um")["outcome"] == (
        "does_not_conform"
    )


def test_without_a_profile_nothing_is_taken_off_and_iso_19840_says_so() -> None:
    verdict = judge({"rule": "iso19840", "nominal": "300 um"}, {"values": um(300)})

    assert verdict["computed"]["corrected"] == ["300 um"]
    assert flagged(verdict, "thickness.correction")
    assert not flagged(minimum({"values": um(300)}), "thickness.correction")


def test_a_correction_larger_than_the_reading_cannot_be_judged() -> None:
    verdict = minimum({"values": um(20, 300)}, surface_profile="medium")

    assert finding(verdict, "thickness.data")["outcome"] == "cannot_be_judged"
    assert minimum({"values": um(25)}, surface_profile="medium", min="0 um")["outcome"] == (
        "conforms"
    )


def test_the_mean_base_metal_reading_is_taken_off_instead_of_the_profile() -> None:
    """SSPC-PA 2: gauges that are not set on the surface are corrected by the base metal reading."""
    first = {"values": um(310, 320), "base_metal_reading": um(10, 20)}
    second = {"values": um(310)}

    verdict = minimum(first, second, surface_profile="fine")

    assert verdict["computed"]["corrected"] == ["295 um", "305 um", "300 um"]
    assert flagged(verdict, "thickness.correction")
    assert not flagged(minimum(first, second), "thickness.correction")
    assert not flagged(minimum(second, surface_profile="fine"), "thickness.correction")


@pytest.mark.parametrize("gauge", ["magnetic", "eddy_current"])
def test_magnetic_readings_alone_prove_nothing_on_a_metal_filled_product(gauge: str) -> None:
    """ASTM D7091, caution, read second-hand."""
    reading = {"values": um(300), "gauge": gauge}

    assert minimum(reading)["outcome"] == "conforms"
    verdict = minimum(reading, metal_filled=True)
    assert outcomes(verdict)["thickness.metal_filled"] == "cannot_be_judged"
    assert verdict["outcome"] == "cannot_be_judged"


@pytest.mark.parametrize("gauge", ["depth_gauge", "caliper", "ultrasonic"])
def test_other_gauges_measure_a_metal_filled_product(gauge: str) -> None:
    verdict = minimum({"values": um(300), "gauge": gauge}, metal_filled=True)

    assert verdict["outcome"] == "conforms"
    assert not flagged(verdict, "thickness.metal_filled")
    magnetic = minimum({"values": um(300), "gauge": "magnetic"})
    assert not flagged(magnetic, "thickness.metal_filled")


def test_a_depth_gauge_beside_the_magnetic_one_proves_its_own_zone_only() -> None:
    magnetic = {"values": um(300), "gauge": "magnetic", "zone": "a"}
    depth = {"values": um(300), "gauge": "depth_gauge", "zone": "a"}

    both = minimum(magnetic, depth, metal_filled=True)
    assert both["outcome"] == "conforms"
    assert flagged(both, "thickness.metal_filled")
    apart = minimum(magnetic, depth | {"zone": "b"}, metal_filled=True)
    assert apart["outcome"] == "cannot_be_judged"


def test_a_gauge_that_is_not_named_is_flagged_on_a_metal_filled_product() -> None:
    verdict = minimum({"values": um(300)}, metal_filled=True)

    assert verdict["outcome"] == "conforms"
    assert flagged(verdict, "thickness.metal_filled")


@pytest.mark.parametrize(
    ("calibrated", "outcome", "is_flagged"),
    [(True, "conforms", False), (False, "cannot_be_judged", False), (None, "conforms", True)],
)
def test_an_ultrasonic_gauge_is_calibrated_on_the_same_laminate(
    calibrated: bool | None, outcome: str, is_flagged: bool
) -> None:
    reading = {"values": um(300), "gauge": "ultrasonic", "calibrated_on_laminate": calibrated}

    verdict = minimum(reading)

    assert verdict["outcome"] == outcome
    assert flagged(verdict, "thickness.ultrasonic") is is_flagged


@pytest.mark.parametrize(
    ("measured", "outcome"),
    [
        ("254 um", "conforms"),
        ("263.15 um", "conforms"),
        ("263.16 um", "cannot_be_judged"),
        ("244.85 um", "conforms"),
        ("244.84 um", "cannot_be_judged"),
    ],
)
def test_a_check_outside_the_combined_accuracy_makes_readings_suspect(
    measured: str, outcome: str
) -> None:
    """From memory: 2 % and 3 % combine to 3.6 %, which of 254 um is 9.158 um."""
    reading = {"values": um(300), "check_stated": "254 um", "check_measured": measured}

    verdict = minimum(reading, gauge_accuracy="2 %", standard_accuracy="3 %")

    assert verdict["outcome"] == outcome


def test_accuracies_combine_without_rounding() -> None:
    """3 % and 4 % are 5 % exactly."""
    stated, gauge, standard = (Quantity.parse(text) for text in ("100 um", "3 %", "4 %"))

    assert within_accuracy(stated, Quantity(Decimal("105"), "um"), gauge, standard)
    assert not within_accuracy(stated, Quantity(Decimal("105.000001"), "um"), gauge, standard)
    assert within_accuracy(stated, Quantity(Decimal("95"), "um"), gauge, standard)


def test_the_standard_may_be_taken_as_exact() -> None:
    reading = {"values": um(300), "check_stated": "100 um", "check_measured": "102 um"}

    assert minimum(reading, gauge_accuracy="2 %")["outcome"] == "conforms"
    assert minimum(reading, gauge_accuracy="1.99 %")["outcome"] == "cannot_be_judged"


def test_a_check_that_the_plan_asks_for_and_nobody_made_is_incomplete() -> None:
    assert minimum({"values": um(300)}, gauge_accuracy="2 %")["outcome"] == "incomplete"
    half = {"values": um(300), "check_stated": "100 um"}
    assert minimum(half, gauge_accuracy="2 %")["outcome"] == "incomplete"
