"""Oil and grease: any evidence rejects, two methods show that there is none."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from qc.engine.rules import Outcome

METHODS = ["visual", "water_break", "cloth", "black_light"]
PROVEN = {"fluorescence_proven": True, "before_blasting": True, "distance": "300 mm"}
WORST_FIRST = list(Outcome)


def judge(criteria: dict[str, Any], *tests: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "oil_grease", "criteria": criteria, "readings": list(tests)}
    return judge_case(case)


def by(method: str, contaminated: bool = False, **more: Any) -> dict[str, Any]:
    proof = PROVEN if method == "black_light" else {}
    return {"method": method, "contaminated": contaminated, **proof, **more}


def finding(verdict: dict[str, Any], rule: str) -> dict[str, str]:
    (found,) = (f for f in verdict["findings"] if f["rule"] == rule)
    return found


@pytest.mark.parametrize("second", METHODS)
@pytest.mark.parametrize("first", METHODS)
def test_two_different_methods_show_a_clean_surface(first: str, second: str) -> None:
    """UFGS 09970 to 09973: at least two methods."""
    verdict = judge({}, by(first), by(second))

    assert (verdict["outcome"] == "conforms") is (first != second)
    assert verdict["computed"]["methods"] == len({first, second})
    assert "UFGS" in finding(verdict, "oil_grease.methods")["source"]


@pytest.mark.parametrize("method", METHODS)
def test_any_evidence_rejects(method: str) -> None:
    others = [by(other) for other in METHODS if other != method]

    verdict = judge({}, *others, by(method, contaminated=True, location="flange"))

    assert verdict["outcome"] == "does_not_conform"
    said = finding(verdict, "oil_grease.evidence")["statement"]
    assert said.startswith("Flange: oil or grease was found")
    assert said.endswith("clean to SP 1 and test again.")


def test_the_plan_may_ask_for_another_number_of_methods() -> None:
    assert judge({"methods_min": 1}, by("cloth"))["outcome"] == "conforms"
    assert judge({"methods_min": 3}, by("cloth"), by("visual"))["outcome"] == "incomplete"
    three = [by("cloth"), by("visual"), by("water_break")]
    assert judge({"methods_min": 3}, *three)["outcome"] == "conforms"


def test_black_light_is_confirmed_by_another_method_even_where_one_is_asked() -> None:
    assert judge({"methods_min": 1}, by("black_light"))["outcome"] == "incomplete"
    both = judge({"methods_min": 1}, by("black_light"), by("cloth"))
    assert both["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("more", "counts"),
    [
        ({"distance": "381 mm"}, True),
        ({"distance": "15 in"}, True),
        ({"distance": "381.1 mm"}, False),
        ({"distance": "15.01 in"}, False),
        ({"distance": None}, True),
        ({"fluorescence_proven": False}, False),
        ({"fluorescence_proven": None}, False),
        ({"dark": True}, True),
        ({"dark": False}, False),
        ({"before_blasting": False}, False),
        ({"before_blasting": None}, True),
    ],
)
def test_black_light_counts_near_in_the_dark_before_blasting_and_for_an_oil_that_glows(
    more: dict[str, Any], counts: bool
) -> None:
    """UFGS 09970 to 09973: in the dark, not farther than 15 in (381 mm)."""
    verdict = judge({}, by("visual"), by("black_light", **more))

    assert (verdict["outcome"] == "conforms") is counts
    assert bool(verdict["flags"]) is (not counts or more.get("distance", "") is None)


def test_a_glow_rejects_even_where_a_clean_result_would_not_count() -> None:
    glow = by("black_light", contaminated=True, fluorescence_proven=False)

    assert judge({}, by("visual"), by("cloth"), glow)["outcome"] == "does_not_conform"


def test_every_place_needs_its_methods_and_what_names_no_place_was_done_everywhere() -> None:
    north, south = by("cloth", location="North"), by("cloth", location="south ")

    by_eye = by("visual")
    assert judge({}, by_eye, north, south)["outcome"] == "conforms"
    lacking = judge({}, by("visual", location=" north"), north, south)
    assert lacking["outcome"] == "incomplete"
    said = [f["statement"] for f in lacking["findings"] if f["outcome"] == "incomplete"]
    assert said == ["1 method at south, at least 2 asked for; 1 more to take."]
    assert lacking["computed"]["methods"] == 1


def test_methods_that_the_plan_names_must_be_among_them() -> None:
    criteria = {"methods": ["water_break", "cloth"]}

    lacking = judge(criteria, by("visual"), by("cloth"))

    assert lacking["outcome"] == "incomplete"
    assert "water break" in finding(lacking, "oil_grease.asked")["statement"]
    assert judge(criteria, by("water_break"), by("cloth"))["outcome"] == "conforms"


def test_no_test_at_all_is_incomplete() -> None:
    assert judge({})["outcome"] == "incomplete"


@pytest.mark.parametrize(
    "wrong",
    [
        {"contaminated": None},
        {"contaminated": "no"},
        {"method": None},
        {"method": "smell"},
        {"distance": "-1 mm"},
    ],
)
def test_a_test_without_method_or_result_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{next(iter(wrong))}: "):
        judge({}, by("cloth") | wrong)


@pytest.mark.parametrize("wrong", [{"methods_min": 0}, {"methods_min": 5}, {"methods": ["smell"]}])
def test_demands_without_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^criteria\.{next(iter(wrong))}"):
        judge(wrong, by("cloth"))


tests = st.lists(
    st.builds(
        by, st.sampled_from(METHODS), st.booleans(), location=st.sampled_from(["", "n", "s"])
    ),
    min_size=1,
    max_size=6,
)


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


@given(tests, st.data())
def test_evidence_never_improves_the_verdict_and_order_does_not_matter(
    done: list[dict[str, Any]], data: st.DataObject
) -> None:
    index = data.draw(st.integers(0, len(done) - 1))
    worse = [*done[:index], done[index] | {"contaminated": True}, *done[index + 1 :]]

    assert rank(judge({}, *worse)) <= rank(judge({}, *done))
    assert judge({}, *data.draw(st.permutations(done)))["outcome"] == judge({}, *done)["outcome"]


def test_findings_and_flags_say_what_was_done_where() -> None:
    clean = [by("cloth", location="Flange"), by("black_light", location="Flange", distance=None)]

    verdict = judge({"methods": ["visual"]}, *clean)

    evidence, methods, asked = verdict["findings"]
    assert evidence["observed"] == "none found"
    assert evidence["statement"] == (
        "Flange: no oil or grease was found (white cloth); Flange: no oil or grease was found "
        "(black light)."
    )
    assert methods["statement"] == "2 methods at Flange, at least 2 asked for."
    assert asked["statement"].startswith("Not done at Flange, or done in a way")
    assert verdict["flags"] == [
        "oil_grease.black_light: reading 2: distance of the lamp not stated"
    ]


def test_what_does_not_count_is_named_by_its_reading() -> None:
    dirty = by("cloth", contaminated=True)

    verdict = judge({"methods": ["water_break"]}, dirty, by("black_light", before_blasting=False))

    evidence, methods, asked = verdict["findings"]
    assert evidence["observed"] == "oil or grease found"
    assert evidence["statement"].startswith("Reading 1: oil or grease was found (white cloth)")
    assert methods["statement"] == "1 method, at least 2 asked for; 1 more to take."
    assert asked["statement"].startswith("Not done, or done")
    assert verdict["flags"] == [
        "oil_grease.black_light: reading 2: black light is for surfaces not yet blasted; a clean "
        "result is not counted"
    ]


def test_black_light_alone_lacks_one_method() -> None:
    found = finding(judge({"methods_min": 1}, by("black_light")), "oil_grease.methods")

    assert found["statement"] == "1 method, at least 2 asked for; 1 more to take."
