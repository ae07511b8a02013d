"""A wrap: every roll while it is laid, and the finished wrap against its design."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from qc.engine.rules import Outcome

WORST_FIRST = list(Outcome)
WORKING = {"working_time": {"30 degC": "30 s", "20 degC": "3 min"}}


def judge(criteria: dict[str, Any], *parts: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "wrap", "criteria": criteria, "readings": list(parts)})


def roll(**given: Any) -> dict[str, Any]:
    return {"part": "roll", **given}


def wrap(**given: Any) -> dict[str, Any]:
    return {"part": "wrap", **given}


def outcome(criteria: dict[str, Any], *parts: dict[str, Any]) -> str:
    return str(judge(criteria, *parts)["outcome"])


@pytest.mark.parametrize(
    ("soak", "expected"),
    [
        ("10 s", "conforms"),
        ("8 s", "conforms"),
        ("12 s", "conforms"),
        ("0.2 min", "conforms"),
        ("7.9 s", "does_not_conform"),
        ("12.1 s", "does_not_conform"),
        (None, "incomplete"),
    ],
)
def test_every_roll_is_soaked_as_long_as_the_plan_says(soak: str | None, expected: str) -> None:
    """About 10 s in common practice; the window is the plan's."""
    criteria = {"soak_min": "8 s", "soak_max": "12 s"}

    assert outcome(criteria, roll(soak="10 s"), roll(soak=soak)) == expected


@pytest.mark.parametrize(
    ("surface", "worked", "expected"),
    [
        ("30 degC", "30 s", "conforms"),
        ("30 degC", "30.1 s", "does_not_conform"),
        ("86 degF", "0.5 min", "conforms"),
        ("20 degC", "180 s", "conforms"),
        ("20 degC", "181 s", "does_not_conform"),
        ("20.1 degC", "31 s", "does_not_conform"),
        ("25 degC", "30 s", "conforms"),
        ("5 degC", "3 min", "conforms"),
        ("5 degC", "181 s", "does_not_conform"),
        ("30.1 degC", "1 s", "cannot_be_judged"),
        ("30 degC", None, "incomplete"),
        (None, "10 s", "incomplete"),
    ],
)
def test_a_roll_is_laid_down_while_it_is_workable(
    surface: str | None, worked: str | None, expected: str
) -> None:
    """Common practice: about 30 s on pipe of 30 degC; data sheet of a water-activated tape: 3 min
    at 20 degC. Between two rows the warmer one counts."""
    assert outcome(WORKING, roll(surface_temperature=surface, worked=worked)) == expected


def test_the_working_time_and_what_missed_it_are_told() -> None:
    early, late = (roll(surface_temperature="28 degC", worked=f"{s} s") for s in (25, 35))

    verdict = judge(WORKING, early, wrap(), late)

    assert verdict["computed"]["working_time"] == ["30 s", None, "30 s"]
    (found,) = verdict["findings"]
    assert found["statement"] == "Reading 3: laid down too late: 35 s of 30 s at 28 °C."
    assert found["observed"] == "25 s, 35 s"


@pytest.mark.parametrize(
    ("table", "problem"),
    [
        ({"20 degC": "30 s", "30 degC": "31 s"}, "longer"),
        ({"20 degC": "0 s"}, "no working time"),
        ({"20 mm": "30 s"}, "unit"),
    ],
)
def test_working_times_without_sense_are_refused(table: dict[str, str], problem: str) -> None:
    with pytest.raises(InvalidValue, match=rf"^criteria\.working_time.*{problem}"):
        judge({"working_time": table}, roll())


START = {"start_offset_min": "80 mm", "start_offset_max": "120 mm"}


@pytest.mark.parametrize(
    ("offset", "expected"),
    [
        ("100 mm", "conforms"),
        ("80 mm", "conforms"),
        ("4 in", "conforms"),
        ("79.9 mm", "does_not_conform"),
        ("120.1 mm", "does_not_conform"),
        (None, "incomplete"),
    ],
)
def test_the_first_roll_begins_before_the_leak(offset: str | None, expected: str) -> None:
    """About 100 mm in common practice; one roll of several begins there."""
    assert outcome(START, roll(start_offset=offset), roll()) == expected


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({"overlap": "50 %"}, "conforms"),
        ({"overlap": "49.9 %"}, "does_not_conform"),
        ({"overlap_width": "50 mm"}, "conforms"),
        ({"overlap_width": "2 in"}, "conforms"),
        ({"overlap_width": "49.9 mm"}, "does_not_conform"),
        ({"overlap_width": "100 mm"}, "cannot_be_judged"),
        ({"overlap": "60 %", "overlap_width": "10 mm"}, "conforms"),
        ({}, "incomplete"),
    ],
)
def test_turns_overlap_by_half_at_least(given: dict[str, str], expected: str) -> None:
    """Common practice; the roll is 100 mm wide."""
    criteria = {"overlap_min": "50 %", "roll_width": "100 mm"}

    assert outcome(criteria, roll(**given)) == expected
    assert outcome(criteria, roll(overlap="55 %"), roll(**given)) == expected


def test_an_overlap_as_a_length_needs_the_width_of_the_roll() -> None:
    assert outcome({"overlap_min": "50 %"}, roll(overlap_width="50 mm")) == "incomplete"


@pytest.mark.parametrize("criteria", [{"soak_min": "8 s"}, WORKING, START, {"overlap_min": "50 %"}])
def test_without_a_roll_the_wrap_is_incomplete(criteria: dict[str, Any]) -> None:
    verdict = judge(criteria, wrap(passes=4))

    assert verdict["outcome"] == "incomplete"
    assert {f["statement"] for f in verdict["findings"]} == {"No roll has been recorded."}


@pytest.mark.parametrize(
    ("passes", "overlap", "design", "expected"),
    [
        (4, "50 mm", 8, "conforms"),
        (4, "50 mm", 9, "does_not_conform"),
        (6, "50 mm", 12, "conforms"),
        (3, "100 mm", 9, "conforms"),
        (3, "100 mm", 10, "does_not_conform"),
        (4, "49 mm", 8, "does_not_conform"),
        (0, "50 mm", 2, "does_not_conform"),
    ],
)
def test_passes_and_overlap_give_the_layers(
    passes: int, overlap: str, design: int, expected: str
) -> None:
    """Calculated: 4 passes at a half are 8 layers, 6 are 12, 3 at two thirds are 9."""
    width = "150 mm" if overlap == "100 mm" else "100 mm"
    criteria = {"layers_min": design, "roll_width": width}

    assert outcome(criteria, roll(overlap_width=overlap), wrap(passes=passes)) == expected


@pytest.mark.parametrize(
    ("thickness", "ply", "layers"),
    [("6.4 mm", "0.83 mm", 8), ("4.98 mm", "0.83 mm", 6), ("1.1 mm", "0.83 mm", 2)],
)
def test_the_design_thickness_gives_the_layers(thickness: str, ply: str, layers: int) -> None:
    """Calculated: 6.4/0.83 is 8 layers, 4.98/0.83 exactly 6, and never fewer than 2."""
    criteria = {"design_thickness": thickness, "ply_thickness": ply}

    verdict = judge(criteria, wrap(layers=layers))

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"]["layers_asked"] == layers
    assert outcome(criteria, wrap(layers=layers - 1)) == "does_not_conform"
    more = criteria | {"layers_min": layers + 1}
    assert outcome(more, wrap(layers=layers)) == "does_not_conform"
    assert outcome(criteria | {"layers_min": 1}, wrap(layers=layers - 1)) == "does_not_conform"


def test_the_least_overlap_of_any_roll_gives_the_layers() -> None:
    rolls = [roll(overlap="60 %"), roll(overlap="50 %"), roll()]

    verdict = judge({"layers_min": 8}, *rolls, wrap(passes=4))

    assert verdict["computed"]["layers"] == [None, None, None, "8"]
    assert verdict["computed"]["overlap"] == ["60 %", "50 %", None, None]


def test_the_fewer_of_counted_and_calculated_layers_decide() -> None:
    by_passes = roll(overlap="50 %")

    assert outcome({"layers_min": 8}, by_passes, wrap(passes=4, layers=7)) == "does_not_conform"
    assert outcome({"layers_min": 8}, by_passes, wrap(passes=3, layers=9)) == "does_not_conform"
    assert outcome({"layers_min": 8}, by_passes, wrap(passes=4, layers=8)) == "conforms"


@pytest.mark.parametrize(
    "parts",
    [
        [wrap(passes=4)],
        [wrap(passes=4), roll()],
        [wrap(), roll(overlap="50 %")],
        [roll(overlap="50 %")],
    ],
)
def test_layers_that_cannot_be_told_yet_are_incomplete(parts: list[dict[str, Any]]) -> None:
    assert outcome({"layers_min": 2}, *parts) == "incomplete"


def test_places_where_fewer_turns_lie_on_each_other_are_told() -> None:
    """Calculated: 60 % is 2.5 turns on the average, but 2 in places."""
    uneven = judge({"layers_min": 10}, roll(overlap="60 %"), wrap(passes=4))
    enough = judge({"layers_min": 8}, roll(overlap="60 %"), wrap(passes=4))

    assert uneven["outcome"] == "conforms"
    assert uneven["flags"] == [
        "wrap.layers: reading 2: only 8 layers where the fewest turns lie on each other; judged "
        "are 10, by passes / (1 - overlap)"
    ]
    assert enough["flags"] == []


PIPE = {"diameter": "168.3 mm", "wall": "7.11 mm"}


def test_overlap_and_extent_by_formula_are_for_information_only() -> None:
    """Calculated: 69.18 and 61.15 mm; with 25 mm of defect and 5 times 6.4 mm of taper."""
    design = {"overlap_length_min": "40 mm", "defect_length": "25 mm", "design_thickness": "6.4 mm"}

    verdict = judge(PIPE | design, wrap(overlap_length=["40 mm", "41 mm"]))

    assert verdict["outcome"] == "conforms"
    computed = verdict["computed"]
    assert (computed["overlap_iso"][:5], computed["overlap_pcc2"][:5]) == ("69.18", "61.15")
    assert float(computed["extent_iso"].split()[0]) == pytest.approx(2 * 69.184 + 25 + 64, abs=0.01)
    assert float(computed["extent_pcc2"].split()[0]) == pytest.approx(2 * 61.15 + 25 + 64, abs=0.01)
    (flag,) = verdict["flags"]
    assert "asks for 70 mm" in flag
    assert "for 62 mm" in flag
    assert flag.endswith("the design of the repair decides")


@pytest.mark.parametrize(
    ("floor", "iso"),
    [({}, "50 mm"), ({"overlap_floor": "25 mm"}, "30.709"), ({"overlap_floor": "2 in"}, "50.8 mm")],
)
def test_the_overlap_by_formula_has_a_floor(floor: dict[str, str], iso: str) -> None:
    """Calculated: pipe of 60.3 by 3.91 mm gives 30.71 mm, below the floor of 50 mm."""
    criteria = {"diameter": "60.3 mm", "wall": "3.91 mm", "length_min": "1 mm"} | floor

    assert judge(criteria, wrap(length="1 mm"))["computed"]["overlap_iso"].startswith(iso)


def test_formulas_alone_judge_nothing() -> None:
    verdict = judge(PIPE, wrap(overlap_length="1 mm", length="2 mm"))

    assert verdict["outcome"] == "cannot_be_judged"
    assert "overlap_iso" in verdict["computed"]
    assert "extent_iso" not in verdict["computed"]


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({"overlap_length": ["70 mm", "75 mm"], "length": "200 mm"}, "conforms"),
        ({"overlap_length": ["70 mm", "69.9 mm"], "length": "200 mm"}, "does_not_conform"),
        ({"overlap_length": "3 in", "length": "8 in"}, "conforms"),
        ({"overlap_length": "70 mm", "length": "199 mm"}, "does_not_conform"),
        ({"overlap_length": "70 mm"}, "incomplete"),
        ({"length": "200 mm"}, "incomplete"),
    ],
)
def test_overlap_and_length_meet_the_design(given: dict[str, Any], expected: str) -> None:
    criteria = {"overlap_length_min": "70 mm", "length_min": "200 mm"}

    assert outcome(criteria, wrap(**given)) == expected


def test_lengths_may_be_guarded() -> None:
    guarded = {"length_min": "200 mm", "decision": "guarded", "expanded_uncertainty": "2 mm"}

    assert outcome(guarded, wrap(length="202 mm")) == "conforms"
    assert outcome(guarded, wrap(length="201.9 mm")) == "does_not_conform"


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


overlaps = st.lists(st.decimals(0, 90, places=1), min_size=1, max_size=5)
WHOLE = {"overlap_min": "50 %", "layers_min": 8}


@given(overlaps, st.integers(0, 8), st.data())
def test_less_overlap_or_fewer_passes_never_improve_the_verdict(
    shares: list[Decimal], passes: int, data: st.DataObject
) -> None:
    worse = [*shares]
    worse[0] = data.draw(st.decimals(0, worse[0], places=1))
    fewer = data.draw(st.integers(0, passes))

    def laid(shares: list[Decimal], passes: int) -> int:
        return rank(judge(WHOLE, *(roll(overlap=f"{s} %") for s in shares), wrap(passes=passes)))

    assert laid(worse, fewer) <= laid(shares, passes)


@given(st.decimals(-10, 40, places=1), st.decimals(0, 10, places=1), st.integers(0, 200))
def test_a_warmer_pipe_or_a_slower_roll_never_improves_the_verdict(
    celsius: Decimal, warmer: Decimal, seconds: int
) -> None:
    def laid(celsius: Decimal, seconds: int) -> dict[str, Any]:
        return judge(WORKING, roll(surface_temperature=f"{celsius} degC", worked=f"{seconds} s"))

    usual = laid(celsius, seconds)
    assert rank(laid(celsius, seconds + 1)) <= rank(usual)
    if celsius + warmer <= 30:
        assert rank(laid(celsius + warmer, seconds)) <= rank(usual)
    else:
        assert laid(celsius + warmer, seconds)["outcome"] == "cannot_be_judged"


@given(st.decimals(0, 12, places=3))
def test_the_unit_of_entry_does_not_change_the_outcome(inches: Decimal) -> None:
    criteria = {"length_min": "6 in"}
    millimetres = inches * Decimal("25.4")

    assert outcome(criteria, wrap(length=f"{inches} in")) == outcome(
        criteria, wrap(length=f"{millimetres} mm")
    )


def test_findings_name_the_roll_and_what_is_not_recorded() -> None:
    criteria = WORKING | {"soak_min": "8 s", "overlap_min": "50 %", "roll_width": "100 mm"}
    rolls = [
        roll(soak="7 s", surface_temperature="20 degC", overlap_width="100 mm"),
        roll(worked="20 s", overlap="45 %"),
    ]

    statements = [f["statement"] for f in judge(criteria, wrap(), *rolls)["findings"]]

    assert statements == [
        "Soaking, reading 2, 7.0 s: misses at least 8 s by 1.0 s.",
        "Reading 3: the soaking time is not recorded.",
        "Reading 2: the time it took is not recorded; reading 3: the surface temperature is not "
        "recorded.",
        "Reading 2: the overlap is not less than the width of the roll.",
        "Overlap of the turns, reading 3, 45.0 %: misses at least 50 % by 5.0 %.",
    ]


def test_an_impossible_overlap_gives_no_layers() -> None:
    criteria = {"layers_min": 2, "roll_width": "100 mm"}

    assert outcome(criteria, roll(overlap_width="100 mm"), wrap(passes=4)) == "incomplete"
    assert outcome(criteria, roll(overlap_width="99 mm"), wrap(passes=1)) == "conforms"


def test_layers_that_were_counted_need_no_overlap() -> None:
    assert outcome({"layers_min": 8}, wrap(passes=4, layers=8)) == "conforms"
    assert outcome({"layers_min": 8}, wrap(passes=4, layers=7)) == "does_not_conform"


@pytest.mark.parametrize(("stated", "source"), [(6, "the design"), (5, "the thickness")])
def test_layers_name_the_source_of_the_number_that_decides(stated: int, source: str) -> None:
    """Calculated: 4.98/0.83 is 6 layers."""
    case = {
        "characteristic": "wrap",
        "criteria": {
            "layers_min": stated,
            "design_thickness": "4.98 mm",
            "ply_thickness": "0.83 mm",
        },
        "sources": {"layers_min": "the design", "design_thickness": "the thickness"},
        "readings": [wrap(layers=6)],
    }

    assert judge_case(case)["findings"][0]["source"] == source
