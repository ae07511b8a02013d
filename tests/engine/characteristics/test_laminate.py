"""A finished laminate: defects, tap test, thickness, length, and the substrate before it."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from qc.engine.rules import Outcome

WORST_FIRST = list(Outcome)
PITS = {"pit_width_max": "10 mm", "pit_height_max": "2.5 mm"}
SHARE = {"wrinkle_share_max": "20 %"}
DEFECTS = ["cracks", "pinholes", "dry_fibre", "exposed_fibre", "delamination_at_ends"]
CONFIRMED = [
    "uniform_colour",
    "fibre_as_designed",
    "position_as_designed",
    "within_prepared_surface",
]


def judge(criteria: dict[str, Any], *looks: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "laminate", "criteria": criteria, "readings": list(looks)}
    return judge_case(case)


def outcome(criteria: dict[str, Any], *looks: dict[str, Any]) -> str:
    return str(judge(criteria, *looks)["outcome"])


@pytest.mark.parametrize(
    ("width", "height", "expected"),
    [
        ("10.0 mm", "2.5 mm", "conforms"),
        ("10.1 mm", "1.0 mm", "does_not_conform"),
        ("1 mm", "2.6 mm", "does_not_conform"),
        ("0.39 in", "0.098 in", "conforms"),
        ("0.40 in", "0.05 in", "does_not_conform"),
        ("1 cm", "2500 um", "conforms"),
    ],
)
def test_pits_and_blisters_stay_within_width_and_height(
    width: str, height: str, expected: str
) -> None:
    """Limits from memory, to be confirmed against the licensed text: 10 mm by 2.5 mm."""
    look = {"pits": True, "pit_widths": width, "pit_heights": height}

    assert outcome(PITS, look) == expected


@pytest.mark.parametrize(
    ("look", "expected"),
    [
        ({"pits": False}, "conforms"),
        ({}, "incomplete"),
        ({"pits": True}, "incomplete"),
        ({"pits": True, "pit_widths": "3 mm"}, "incomplete"),
        ({"pit_widths": "3 mm", "pit_heights": "1 mm"}, "conforms"),
        ({"pits": True, "pit_widths": "11 mm"}, "does_not_conform"),
        ({"pits": False, "pit_widths": "3 mm", "pit_heights": "1 mm"}, "cannot_be_judged"),
    ],
)
def test_no_answer_is_not_no_defect(look: dict[str, Any], expected: str) -> None:
    assert outcome(PITS, look) == expected


def test_the_worst_of_all_pits_decides() -> None:
    looks: list[dict[str, Any]] = [
        {"pits": True, "pit_widths": ["3 mm", "10 mm"], "pit_heights": ["1 mm", "1 mm"]},
        {"pits": True, "pit_widths": ["12 mm", "2 mm"], "pit_heights": ["1 mm"]},
    ]

    width = judge(PITS, *looks)["findings"][0]

    assert width["outcome"] == "does_not_conform"
    assert "reading 2, highest of 4" in width["statement"]


@pytest.mark.parametrize(
    ("criteria", "step", "expected"),
    [
        ({"wrinkle_max": "2.5 mm"}, "2.5 mm", "conforms"),
        ({"wrinkle_max": "2.5 mm"}, "2.6 mm", "does_not_conform"),
        ({"wrinkle_max": "2.5 mm"}, "2.4 mm", "conforms"),
        (SHARE, "2.4 mm", "does_not_conform"),
        (SHARE, "1.6 mm", "conforms"),
        (SHARE, "1.61 mm", "does_not_conform"),
        ({"wrinkle_max": "2.5 mm"} | SHARE, "2.4 mm", "does_not_conform"),
        ({"wrinkle_max": "1 mm"} | SHARE, "1.1 mm", "does_not_conform"),
    ],
)
def test_a_wrinkle_stays_within_a_step_and_a_share_of_the_thickness(
    criteria: dict[str, str], step: str, expected: str
) -> None:
    """From memory, to be confirmed against the licensed text; calculated on a laminate of 8 mm:
    20 % are 1.6 mm."""
    look = {"wrinkles": True, "wrinkle_steps": step, "thickness": ["8 mm", "8.5 mm"]}

    verdict = judge(criteria, look)

    assert verdict["outcome"] == expected
    if "wrinkle_share_max" in criteria:
        assert verdict["computed"]["wrinkle_limit"] == "1.6 mm"


@pytest.mark.parametrize(
    ("criteria", "others", "limit"),
    [
        ({"thickness_min": "8 mm"}, [], "1.6 mm"),
        ({"thickness_min": "8 mm"}, [{"thickness": "9 mm"}], "1.6 mm"),
        ({}, [{"thickness": ["9 mm", "10 mm"]}], "1.8 mm"),
        ({}, [], None),
    ],
)
def test_without_a_thickness_beside_the_wrinkle_that_of_the_design_counts(
    criteria: dict[str, str], others: list[dict[str, Any]], limit: str | None
) -> None:
    looks = [{"wrinkles": True, "wrinkle_steps": "1.7 mm"}, *others]

    verdict = judge(SHARE | criteria, *looks)

    (found,) = (f for f in verdict["findings"] if f["rule"] == "laminate.wrinkle_share")
    assert verdict["computed"]["wrinkle_limit"] == limit
    if limit is None:
        assert found["outcome"] == "cannot_be_judged"
    else:
        assert (found["outcome"] == "conforms") is (limit == "1.8 mm")


def test_a_share_of_a_laminate_in_inches_is_exact() -> None:
    look = {"wrinkles": True, "wrinkle_steps": "0.06 in", "thickness": "0.3 in"}

    assert outcome(SHARE, look) == "conforms"
    assert outcome(SHARE, look | {"wrinkle_steps": "1.524 mm"}) == "conforms"
    assert outcome(SHARE, look | {"wrinkle_steps": "1.5241 mm"}) == "does_not_conform"


@pytest.mark.parametrize("criteria", [SHARE, {"wrinkle_max": "2.5 mm"}])
def test_wrinkles_found_are_measured_and_answered(criteria: dict[str, str]) -> None:
    measured = {"wrinkles": True, "wrinkle_steps": "1 mm", "thickness": "8 mm"}

    assert outcome(criteria, {"wrinkles": False}) == "conforms"
    assert outcome(criteria, {"wrinkles": True}) == "incomplete"
    assert outcome(criteria, measured, {"wrinkles": True}) == "incomplete"
    assert outcome(criteria, {}) == "incomplete"


@pytest.mark.parametrize("defect", DEFECTS)
def test_one_defect_that_must_not_be_there_rejects(defect: str) -> None:
    criteria = {"free_of": [defect]}
    clean, tapped = {defect: False, "tap_tested": True}, {"tap_tested": True}

    assert outcome(criteria, clean, clean) == "conforms"
    found = judge(
        criteria, clean, tapped | {defect: True, "location": "3 o'clock", "remark": "10 cm"}
    )
    assert found["outcome"] == "does_not_conform"
    assert found["findings"][0]["rule"] == f"laminate.{defect}"
    assert found["findings"][0]["statement"].startswith("3 o'clock: ")
    assert "(10 cm)" in found["findings"][0]["statement"]
    assert outcome(criteria, tapped) == "incomplete"


@pytest.mark.parametrize("thing", CONFIRMED)
def test_one_thing_that_is_not_as_asked_rejects(thing: str) -> None:
    criteria = {"confirmed": [thing]}

    assert outcome(criteria, {thing: True}) == "conforms"
    assert outcome(criteria, {thing: True}, {thing: False}) == "does_not_conform"
    assert outcome(criteria, {}) == "incomplete"


def test_everything_asked_is_answered() -> None:
    criteria = {"free_of": DEFECTS, "confirmed": CONFIRMED}
    all_good = dict.fromkeys(DEFECTS, False) | dict.fromkeys(CONFIRMED, True) | {"tap_tested": True}

    verdict = judge(criteria, all_good)

    assert verdict["outcome"] == "conforms"
    assert len(verdict["findings"]) == 9
    for name in (*DEFECTS, *CONFIRMED):
        assert outcome(criteria, all_good | {name: None}) == "incomplete"
        assert outcome(criteria, all_good | {name: not all_good[name]}) == "does_not_conform"


@pytest.mark.parametrize("tapped", [False, None])
def test_only_tapping_shows_that_nothing_has_come_loose(tapped: bool | None) -> None:
    ends = {"delamination_at_ends": False, "tap_tested": tapped}
    elsewhere = {"delamination": False, "tap_tested": tapped}

    assert outcome({"free_of": ["delamination_at_ends"]}, ends) == "incomplete"
    assert outcome({"delamination_max": "0 mm"}, elsewhere) == "incomplete"
    found = ends | {"delamination_at_ends": True}
    assert outcome({"free_of": ["delamination_at_ends"]}, found) == "does_not_conform"


@pytest.mark.parametrize(
    ("sizes", "expected"),
    [
        (None, "conforms"),
        (["20 mm", "25 mm"], "conforms"),
        (["25.1 mm"], "does_not_conform"),
        (["1 in"], "does_not_conform"),
    ],
)
def test_delamination_elsewhere_stays_within_the_design(
    sizes: list[str] | None, expected: str
) -> None:
    look = {"tap_tested": True, "delamination": sizes is not None, "delamination_sizes": sizes}

    assert outcome({"delamination_max": "25 mm"}, look) == expected


@pytest.mark.parametrize(
    ("thickness", "expected"),
    [
        (["6.4 mm", "6.5 mm", "7 mm"], "conforms"),
        (["6.4 mm", "6.39 mm", "7 mm"], "does_not_conform"),
        (["6.4 mm", "6.4 mm"], "incomplete"),
        (["0.252 in", "0.26 in", "0.26 in"], "conforms"),
        (["0.2519 in", "0.26 in", "0.26 in"], "does_not_conform"),
        ([], "incomplete"),
    ],
)
def test_every_reading_of_thickness_reaches_the_design(thickness: list[str], expected: str) -> None:
    criteria = {"thickness_min": "6.4 mm", "readings_min": 3}

    verdict = judge(criteria, {"thickness": thickness})

    assert verdict["outcome"] == expected
    assert verdict["computed"]["thickness_readings"] == len(thickness)


MEASURED = [
    ({"length_min": "200 mm"}, "length", "200 mm", "199.9 mm"),
    ({"defect_max": "25 mm"}, "defect_size", "25 mm", "25.1 mm"),
    ({"edge_radius_min": "5 mm"}, "edge_radius", "5 mm", "4.9 mm"),
]


@pytest.mark.parametrize(("criteria", "name", "good", "bad"), MEASURED)
def test_a_measure_on_its_limit_conforms_and_one_beyond_does_not(
    criteria: dict[str, str], name: str, good: str, bad: str
) -> None:
    """Radius of edges from memory, to be confirmed against the licensed text."""
    assert outcome(criteria, {name: [good, good]}) == "conforms"
    assert outcome(criteria, {name: [good, bad]}) == "does_not_conform"
    assert outcome(criteria, {}) == "incomplete"


def test_a_guarded_decision_keeps_inside_the_limit() -> None:
    guarded = {"thickness_min": "6 mm", "decision": "guarded", "expanded_uncertainty": "0.2 mm"}

    assert outcome(guarded, {"thickness": "6.2 mm"}) == "conforms"
    assert outcome(guarded, {"thickness": "6.19 mm"}) == "does_not_conform"


def test_a_plan_that_asks_nothing_cannot_be_judged() -> None:
    assert outcome({}, {"cracks": False}) == "cannot_be_judged"
    assert outcome(PITS) == "incomplete"


@pytest.mark.parametrize(
    "wrong",
    [{"pit_width_max": "-1 mm"}, {"wrinkle_share_max": "101 %"}, {"free_of": ["dirt"]}],
)
def test_demands_without_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^criteria\.{next(iter(wrong))}"):
        judge(wrong, {})


@pytest.mark.parametrize(
    "wrong", [{"pit_widths": "-1 mm"}, {"cracks": "no"}, {"thickness": ["6 mm", "7 kg"]}]
)
def test_readings_without_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{next(iter(wrong))}"):
        judge(PITS, wrong)


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


millimetres = st.decimals(0, 20, places=1)
WHOLE = PITS | SHARE | {"wrinkle_max": "2.5 mm", "thickness_min": "6 mm"}


def look(width: Decimal, step: Decimal, thickness: Decimal) -> dict[str, Any]:
    return {
        "pits": True,
        "pit_widths": f"{width} mm",
        "pit_heights": "1 mm",
        "wrinkles": True,
        "wrinkle_steps": f"{step} mm",
        "thickness": f"{thickness} mm",
    }


@given(millimetres, millimetres, millimetres, millimetres)
def test_a_larger_defect_or_a_thinner_laminate_never_improves_the_verdict(
    width: Decimal, step: Decimal, thickness: Decimal, by: Decimal
) -> None:
    usual = rank(judge(WHOLE, look(width, step, thickness)))

    assert rank(judge(WHOLE, look(width + by, step, thickness))) <= usual
    assert rank(judge(WHOLE, look(width, step + by, thickness))) <= usual
    assert rank(judge(WHOLE, look(width, step, max(thickness - by, Decimal(0))))) <= usual


looks = st.lists(st.builds(look, millimetres, millimetres, millimetres), min_size=1, max_size=4)


@given(looks, st.data())
def test_the_order_of_looks_does_not_matter(
    taken: list[dict[str, Any]], data: st.DataObject
) -> None:
    mixed = data.draw(st.permutations(taken))

    assert judge(WHOLE, *taken)["outcome"] == judge(WHOLE, *mixed)["outcome"]


@given(st.lists(st.tuples(st.sampled_from(DEFECTS), st.booleans()), min_size=1, max_size=8))
def test_it_conforms_only_where_every_defect_is_answered_with_no(
    answers: list[tuple[str, bool]],
) -> None:
    taken = [{"tap_tested": True, name: seen} for name, seen in answers]
    denied = {name for name, _ in answers} == set(DEFECTS) and not any(s for _, s in answers)

    assert (judge({"free_of": DEFECTS}, *taken)["outcome"] == "conforms") is denied


def test_all_looks_at_loose_places_are_by_tapping() -> None:
    tapped = {"delamination": False, "tap_tested": True}

    assert outcome({"delamination_max": "5 mm"}, tapped, {"cracks": False}) == "conforms"
    assert outcome({"delamination_max": "5 mm"}, tapped, {"delamination": False}) == "incomplete"


def test_findings_say_what_is_asked_and_which_reading_fails_it() -> None:
    criteria = {"free_of": ["cracks"], "confirmed": ["uniform_colour"]} | SHARE | PITS
    good = {"cracks": False, "uniform_colour": True, "pits": False, "wrinkles": False}
    bad = {"cracks": True, "uniform_colour": False, "pits": True, "wrinkles": True}

    verdict = judge(criteria, good, bad)

    cracks, colour, width, height, share = verdict["findings"]
    assert (cracks["limit"], cracks["observed"]) == ("no cracks", "no, yes")
    assert cracks["statement"] == "Reading 2: cracks: found."
    assert (colour["limit"], colour["observed"]) == ("resin of one colour", "yes, no")
    assert colour["statement"] == "Reading 2: resin of one colour: no."
    for found in (width, height, share):
        assert found["outcome"] == "incomplete"
        assert found["statement"].startswith("Reading 2: ")
        assert found["statement"].endswith(": found, but not measured.")
    assert (width["limit"], share["limit"]) == ("at most 10 mm", "at most 20 %")


def test_open_questions_are_named() -> None:
    verdict = judge({"free_of": ["cracks"], "length_min": "1 m"} | SHARE | PITS, {})

    assert [finding["statement"] for finding in verdict["findings"]] == [
        "Cracks: not answered yet.",
        "Width of foreign matter, blister or pit: not answered yet.",
        "Height of foreign matter, blister or pit: not answered yet.",
        "Step of a wrinkle: not answered yet.",
        "Length of the repair: not measured yet.",
    ]


def test_the_figures_of_findings_are_those_of_the_reading_named() -> None:
    looks: list[dict[str, Any]] = [
        {"thickness": "7 mm", "wrinkle_steps": "1 mm"},
        {"thickness": ["7.125 mm", "5.994 mm"], "wrinkle_steps": ["1 mm", "3 mm"]},
    ]

    share, second, counted, thickness = judge(SHARE | {"thickness_min": "6 mm"}, *looks)["findings"]

    assert "reading 1" in share["statement"]
    assert "reading 2, highest of 2" in second["statement"]
    assert "1 of 2 wrinkles fails" in second["statement"]
    assert counted["statement"] == "3 readings of thickness, at least 1 asked for."
    assert thickness["observed"] == "5.99 mm"
    assert "reading 2, lowest of 3" in thickness["statement"]
    contradiction = judge(PITS, {"pits": False, "pit_widths": "1 mm"})["findings"][0]
    assert contradiction["statement"].startswith("Reading 1: pits are measured")
    lacking = judge(SHARE, {}, {"wrinkle_steps": "1 mm"})["findings"][0]
    assert lacking["statement"].startswith("Reading 2: no thickness")


def test_the_least_thickness_of_all_is_told() -> None:
    thick: list[dict[str, Any]] = [{"thickness": ["9 mm", "8 mm"]}, {"thickness": "10 mm"}]

    assert judge({"thickness_min": "6 mm"}, *thick)["computed"]["thickness_least"] == "8 mm"
    wrinkled = judge(SHARE, *thick, {"wrinkle_steps": "1 mm"})
    assert wrinkled["findings"][0]["limit"] == "at most 1.6 mm"
