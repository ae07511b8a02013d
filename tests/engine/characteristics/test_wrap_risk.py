"""What calls for the article for repairs of high risk, for information; kneading; which layers."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.characteristics.wrap.risk import is_strong_leak
from qc.engine.fields import InvalidValue
from qc.engine.quantities import Quantity

NONE_CALLS = "none calls for the article for high risk"


def judge(criteria: dict[str, Any], *parts: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "wrap", "criteria": criteria, "readings": list(parts)})


def risk(**criteria: Any) -> str:
    """What the flags say of the risk, "" where they say nothing."""
    verdict = judge({"length_min": "200 mm"} | criteria, {"part": "wrap", "length": "200 mm"})
    assert verdict["outcome"] == "conforms"
    return "".join(flag for flag in verdict["flags"] if flag.startswith("wrap.risk"))


def is_high(**criteria: Any) -> bool:
    return "high risk is called for" in risk(**criteria)


@pytest.mark.parametrize(
    ("pressure", "hole", "strong"),
    [
        ("100 psi", "2.25 in", False),
        ("100 psi", "2.2501 in", True),
        ("100 psi", "2.50 in", True),
        ("0.7 MPa", "50 mm", False),
        ("0.7 MPa", "60 mm", True),
        ("1.0 MPa", "25.6 mm", False),
        ("1.0 MPa", "25.6000001 mm", True),
        ("10 bar", "25.6 mm", False),
        ("145.03 psi", "1.0079 in", False),
    ],
)
def test_a_leak_is_strong_by_pressure_and_the_root_of_its_diameter(
    pressure: str, hole: str, strong: bool
) -> None:
    """ASME PCC-2:2018, 401-1.2.2, read second-hand; calculated: 150.0 and 158.1 psi in^0.5, 0.1565,
    0.1715 and 0.1600 MPa m^0.5. 150 psi in^0.5 are 0.1648, so the unit stated chooses the form."""
    assert is_strong_leak(Quantity.parse(pressure), Quantity.parse(hole)) is strong
    assert is_high(design_pressure=pressure, leak_diameter=hole) is strong


@pytest.mark.parametrize(
    ("hole", "high"),
    [("42.075 mm", False), ("42.0750001 mm", True), ("1.65 in", False), ("1.66 in", True)],
)
def test_a_leak_of_more_than_a_quarter_of_the_diameter_is_of_high_risk(
    hole: str, high: bool
) -> None:
    """ASME PCC-2:2018, 401-1.2.2, read second-hand; calculated: 0.25 x 168.3 is 42.075 exactly."""
    said = risk(diameter="168.3 mm", leak_diameter=hole)

    assert ("is more than 0.25 times the diameter, 168.3 mm" in said) is high


@pytest.mark.parametrize(
    ("criteria", "high"),
    [
        ({"design_pressure": "149.9 psi"}, False),
        ({"design_pressure": "150 psi"}, True),
        ({"design_pressure": "1.034 MPa"}, False),
        ({"design_pressure": "1.035 MPa"}, True),
        ({"design_temperature_max": "119.9 degF"}, False),
        ({"design_temperature_max": "120 degF"}, True),
        ({"design_temperature_max": "49.9 degC"}, False),
        ({"design_temperature_max": "50 degC"}, True),
        ({"design_temperature_min": "0.1 degF"}, False),
        ({"design_temperature_min": "0 degF"}, True),
        ({"design_temperature_min": "-19.9 degC"}, False),
        ({"design_temperature_min": "-20 degC"}, True),
        ({"design_temperature_min": "253.15 K"}, True),
        ({"fluid_hazardous": True}, True),
        ({"fluid_hazardous": False}, False),
        ({"safety_critical": True}, True),
        ({"safety_critical": False}, False),
    ],
)
def test_each_condition_alone_calls_for_high_risk(criteria: dict[str, Any], high: bool) -> None:
    """ASME PCC-2:2018, 401-1.2.2, read second-hand: 150 psi (1.034 MPa calculated), 120 degF
    (50 degC), 0 degF (-20 degC), each on its figure included; 120 degF are 48.9 degC, so each
    system has its own."""
    assert is_high(**criteria) is high
    assert (NONE_CALLS in risk(**criteria)) is not high


def test_it_says_why_or_what_is_not_stated_and_that_it_decides_nothing() -> None:
    mild = risk(design_pressure="5 bar", fluid_hazardous=False)
    severe = risk(design_pressure="200 psi", fluid_hazardous=True, design_temperature_max="60 degC")

    assert NONE_CALLS in mild
    assert (
        "not stated: whether the system is critical to safety, highest design temperature, "
        "lowest design temperature, diameter of the leak (" in mild
    )
    assert (
        "called for: the fluid is hazardous; 200 psi is 150 psi or more; 60 °C is 50 °C or more ("
    ) in severe
    assert "not stated" not in severe
    for said in (mild, severe):
        assert "to be confirmed against the licensed text" in said
        assert said.endswith("the designer, the owner and the local code decide")


def test_nothing_is_said_where_the_plan_states_no_condition_nor_judged_by_one() -> None:
    assert risk(diameter="168.3 mm") == ""
    asked_nothing = judge({"fluid_hazardous": True}, {"part": "wrap"})
    assert asked_nothing["outcome"] == "cannot_be_judged"


def test_a_lowest_temperature_above_the_highest_is_refused() -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.design_temperature_min"):
        risk(design_temperature_min="20 degC", design_temperature_max="60 degF")


@pytest.mark.parametrize(
    ("knead", "expected"),
    [
        ("3 min", "conforms"),
        ("180 s", "conforms"),
        ("179 s", "does_not_conform"),
        ("241 s", "does_not_conform"),
        (None, "incomplete"),
    ],
)
def test_a_roll_is_kneaded_as_long_as_its_data_sheet_says(knead: str | None, expected: str) -> None:
    """Instructions of a water-activated wrap kit: water in the pouch, kneaded for 3 min."""
    criteria = {"knead_min": "3 min", "knead_max": "4 min"}
    roll = {"part": "roll", "knead": knead}

    assert judge(criteria, {"part": "roll", "knead": "200 s"}, roll)["outcome"] == expected
    assert judge(criteria, {"part": "wrap"})["outcome"] == "incomplete"


def test_a_finding_on_layers_says_which_figure_is_judged() -> None:
    """Calculated: 4 passes at 49 % lay 7.84 layers, and 4 where the fewest turns lie."""
    parts = {"part": "roll", "overlap": "49 %"}, {"part": "wrap", "passes": 4}

    (found,) = judge({"layers_min": 8}, *parts)["findings"]
    laid = judge({"layers_min": 5}, *parts)

    assert found["statement"] == (
        "Layers, the fewer of passes / (1 - overlap) and those counted, reading 2, 7.84: misses at "
        "least 8 by 0.16."
    )
    assert laid["outcome"] == "conforms"
    assert laid["flags"] == [
        "wrap.layers: reading 2: only 4 layers where the fewest turns lie on each other; judged "
        "are 7.843137, by passes / (1 - overlap)"
    ]


@pytest.mark.parametrize("wall", ["84.15 mm", "90 mm", "4 in"])
def test_a_wall_that_leaves_no_bore_is_refused(wall: str) -> None:
    """Calculated: half of 168.3 mm is 84.15 mm."""
    pipe = {"diameter": "168.3 mm", "length_min": "1 mm"}
    part = {"part": "wrap", "length": "200 mm"}

    assert judge(pipe | {"wall": "84.14 mm"}, part)["outcome"] == "conforms"
    with pytest.raises(InvalidValue, match=r"^criteria\.wall: .* leaves no bore in a pipe of 168"):
        judge(pipe | {"wall": wall}, part)
