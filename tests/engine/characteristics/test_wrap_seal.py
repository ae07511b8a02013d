"""A wrap's seal: pad, backing sheet, retaining bands and fasteners."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.characteristics.wrap.seal import fasteners_by_diameter
from qc.engine.fields import InvalidValue
from qc.engine.quantities import Quantity
from qc.engine.rules import Outcome

WORST_FIRST = list(Outcome)
BY_DIAMETER = {"fasteners_by_diameter": True, "diameter": "12 in"}


def judge(criteria: dict[str, Any], *parts: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "wrap", "criteria": criteria, "readings": list(parts)})


def pad(defect: Any = "10 mm", size: Any = "30 mm", **more: Any) -> dict[str, Any]:
    return {"part": "pad", "defect_size": defect, "pad_size": size, **more}


def band(fasteners: int | None = 2, **more: Any) -> dict[str, Any]:
    return {"part": "band", "fasteners": fasteners, **more}


def outcome(criteria: dict[str, Any], *parts: dict[str, Any]) -> str:
    return str(judge(criteria, *parts)["outcome"])


@pytest.mark.parametrize(
    ("defect", "size", "expected"),
    [
        ("10 mm", "30 mm", "conforms"),
        ("10 mm", "29.9 mm", "does_not_conform"),
        ("0.1 mm", "0.3 mm", "conforms"),
        ("1.1 mm", "3.3 mm", "conforms"),
        ("0.5 in", "1.5 in", "conforms"),
        ("0.5 in", "38.1 mm", "conforms"),
        ("0.5 in", "38 mm", "does_not_conform"),
        (["40 mm", "5 mm"], ["120 mm", "15 mm"], "conforms"),
        (["40 mm", "5 mm"], ["120 mm", "14 mm"], "does_not_conform"),
        (["40 mm", "5 mm"], ["15 mm", "120 mm"], "does_not_conform"),
        (["40 mm", "5 mm"], "120 mm", "cannot_be_judged"),
        ("10 mm", None, "incomplete"),
        (None, "30 mm", "incomplete"),
    ],
)
def test_a_pad_covers_three_times_the_defect_in_each_direction(
    defect: Any, size: Any, expected: str
) -> None:
    """Common practice; binary floats make three times 0.1 more than 0.3."""
    assert outcome({"pad_extent_min": "3"}, pad(defect, size)) == expected


def test_the_extent_of_each_pad_is_told() -> None:
    verdict = judge({"pad_extent_min": "3"}, pad(), band(), pad("10 mm", "25 mm"))

    assert verdict["computed"]["pad_extent"] == ["3", None, "2.5"]
    assert "reading 3, lowest of 2" in verdict["findings"][0]["statement"]


def test_one_good_pad_does_not_make_up_for_one_that_cannot_be_judged() -> None:
    unpaired = pad(["40 mm", "5 mm"], "120 mm")

    assert outcome({"pad_extent_min": "3"}, pad(), unpaired) == "cannot_be_judged"
    assert outcome({"pad_extent_min": "3"}, pad(size="29 mm"), unpaired) == "does_not_conform"


@pytest.mark.parametrize(
    ("backing", "expected"),
    [
        ("0.3 mm", "conforms"),
        ("0.4 mm", "conforms"),
        ("0.35 mm", "conforms"),
        ("0.29 mm", "does_not_conform"),
        ("0.41 mm", "does_not_conform"),
        ("0.015 in", "conforms"),
        ("0.016 in", "does_not_conform"),
        (None, "incomplete"),
    ],
)
def test_a_backing_sheet_lies_within_its_window(backing: str | None, expected: str) -> None:
    """Common practice: steel sheet of 0.3 to 0.4 mm."""
    criteria = {"backing_min": "0.3 mm", "backing_max": "0.4 mm"}

    assert outcome(criteria, pad(backing=backing)) == expected


@pytest.mark.parametrize("criteria", [{"pad_extent_min": "3"}, {"backing_min": "0.3 mm"}])
def test_without_a_pad_the_seal_is_incomplete(criteria: dict[str, str]) -> None:
    verdict = judge(criteria, band())

    assert verdict["outcome"] == "incomplete"
    assert verdict["findings"][0]["statement"] == "No seal pad has been recorded."


@pytest.mark.parametrize(
    ("diameter", "bands", "expected"),
    [
        ("50 mm", 0, "incomplete"),
        ("50 mm", 1, "conforms"),
        ("49.9 mm", 0, "conforms"),
        ("1.9 in", 0, "conforms"),
        ("2.375 in", 0, "incomplete"),
        (None, 1, "cannot_be_judged"),
    ],
)
def test_pipe_from_50_mm_takes_retaining_bands(
    diameter: str | None, bands: int, expected: str
) -> None:
    """Common practice."""
    criteria = {"bands_from": "50 mm", "diameter": diameter}

    assert outcome(criteria, pad(), *[band()] * bands) == expected


def test_the_plan_may_ask_for_several_bands() -> None:
    several = {"bands_min": 3, "bands_from": "50 mm", "diameter": "12 mm"}

    assert outcome(several, band(), band()) == "incomplete"
    assert outcome(several, band(), band(), band()) == "conforms"


@pytest.mark.parametrize(
    ("diameter", "fasteners"),
    [
        ("9.99 in", None),
        ("10 in", 2),
        ("254 mm", 2),
        ("253.9 mm", None),
        ("12.75 in", 2),
        ("16 in", 2),
        ("406.4 mm", 2),
        ("406.5 mm", None),
        ("16.01 in", None),
        ("17 in", None),
        ("18 in", None),
        ("457.2 mm", None),
        ("457.3 mm", 3),
        ("18.01 in", 3),
        ("48 in", 3),
    ],
)
def test_the_fasteners_of_a_band_follow_the_diameter(diameter: str, fasteners: int | None) -> None:
    """Common practice: two from 10 to 16 in, three or more above 18 in, nothing said between."""
    assert fasteners_by_diameter(Quantity.parse(diameter)) == fasteners


@pytest.mark.parametrize(
    ("diameter", "fasteners", "expected"),
    [
        ("12 in", 2, "conforms"),
        ("12 in", 1, "does_not_conform"),
        ("20 in", 3, "conforms"),
        ("20 in", 4, "conforms"),
        ("20 in", 2, "does_not_conform"),
        ("17 in", 9, "cannot_be_judged"),
        ("8 in", 9, "cannot_be_judged"),
        (None, 9, "cannot_be_judged"),
        ("12 in", None, "incomplete"),
    ],
)
def test_every_band_has_its_fasteners(
    diameter: str | None, fasteners: int | None, expected: str
) -> None:
    criteria = {"fasteners_by_diameter": True, "diameter": diameter}

    assert outcome(criteria, band(fasteners)) == expected


def test_where_practice_gives_no_number_the_plan_is_asked_for_one() -> None:
    criteria = BY_DIAMETER | {"diameter": "17 in"}

    assert "must state fasteners_min" in judge(criteria, band(3))["findings"][0]["statement"]
    stated = criteria | {"fasteners_min": 3}
    assert outcome(stated, band(3)) == "conforms"
    assert outcome(stated, band(2)) == "does_not_conform"


def test_the_number_of_the_plan_stands_before_that_by_diameter() -> None:
    assert outcome(BY_DIAMETER | {"fasteners_min": 4}, band(3)) == "does_not_conform"
    assert outcome({"fasteners_min": 1}, band(1)) == "conforms"


def test_no_band_has_no_fasteners_where_none_is_asked_for() -> None:
    small = BY_DIAMETER | {"diameter": "48.3 mm", "bands_from": "50 mm"}

    assert outcome(small, pad()) == "conforms"
    assert outcome(BY_DIAMETER | {"bands_from": "50 mm"}, pad()) == "incomplete"
    assert outcome(BY_DIAMETER, pad()) == "incomplete"


WINDOW = {"band_spacing_min": "8 mm", "band_spacing_max": "12 mm"}


@pytest.mark.parametrize(
    ("spacings", "expected"),
    [
        (["10 mm", None], "conforms"),
        (["8 mm", None], "conforms"),
        (["12 mm", "12 mm"], "conforms"),
        (["7.9 mm", None], "does_not_conform"),
        (["12.1 mm", None], "does_not_conform"),
        ([None, None], "incomplete"),
        (["10 mm", None, None], "incomplete"),
        (["10 mm", "10 mm", None], "conforms"),
    ],
)
def test_bands_stand_apart_as_the_plan_says(spacings: list[str | None], expected: str) -> None:
    """About 10 mm in common practice; the window is the plan's."""
    bands = [band(spacing=spacing) for spacing in spacings]

    assert outcome(WINDOW, *bands) == expected


@pytest.mark.parametrize(
    "wrong",
    [
        {"backing_min": "0.4 mm", "backing_max": "0.3 mm"},
        {"band_spacing_min": "1 in", "band_spacing_max": "10 mm"},
        {"pad_extent_min": "0.5"},
        {"fasteners_min": 0},
        {"diameter": "0 mm"},
    ],
)
def test_demands_without_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^criteria\.{next(iter(wrong))}: "):
        judge(wrong, pad())


@pytest.mark.parametrize(
    "wrong", [{"defect_size": "0 mm"}, {"pad_size": "-1 mm"}, {"part": "lid"}, {"part": None}]
)
def test_readings_without_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{next(iter(wrong))}"):
        judge({"pad_extent_min": "3"}, pad() | wrong)


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


sizes = st.decimals("0.1", "300", places=1)


@given(sizes, sizes, sizes)
def test_a_smaller_pad_never_improves_the_verdict(
    defect: Decimal, first: Decimal, second: Decimal
) -> None:
    small, large = sorted((first, second))
    criteria = {"pad_extent_min": "3"}

    def found(size: Decimal) -> int:
        return rank(judge(criteria, pad(f"{defect} mm", f"{size} mm")))

    assert found(small) <= found(large)


@given(st.lists(st.integers(0, 5), min_size=1, max_size=5), st.data())
def test_fewer_fasteners_never_improve_the_verdict_and_order_does_not_matter(
    fasteners: list[int], data: st.DataObject
) -> None:
    mixed = data.draw(st.permutations(fasteners))
    fewer = [*fasteners]
    fewer[0] = data.draw(st.integers(0, fewer[0]))

    whole = judge(BY_DIAMETER, *map(band, fasteners))
    assert judge(BY_DIAMETER, *map(band, mixed))["outcome"] == whole["outcome"]
    assert rank(judge(BY_DIAMETER, *map(band, fewer))) <= rank(whole)


def test_findings_name_the_part_and_the_reading() -> None:
    criteria = BY_DIAMETER | {"pad_extent_min": "3", "bands_from": "50 mm", "backing_max": "0.4 mm"}
    parts = [band(1), pad("10 mm", "29.95 mm"), pad(size=None), pad(["1 mm", "2 mm"], "9 mm")]

    statements = [f["statement"] for f in judge(criteria, *parts)["findings"]]

    assert statements == [
        "Reading 4: pad and defect are not measured in the same directions.",
        "Seal pad over defect, reading 2, 2.995: misses at least 3 by 0.005.",
        "Reading 3: the size of pad or defect is not recorded.",
        "Reading 2, 3, 4: the backing sheet is not recorded.",
        "1 retaining band, at least 1 asked for.",
        "Fasteners of a band, reading 1, 1: misses at least 2 by 1.",
    ]


def test_small_pipe_says_why_it_takes_no_band() -> None:
    (found,) = judge({"bands_from": "50 mm", "diameter": "48.3 mm"}, pad())["findings"]

    assert (found["observed"], found["limit"]) == ("0", "on pipe from 50 mm")
    assert found["statement"] == "None asked for on pipe of 48.3 mm."


def test_a_plan_that_asks_for_several_bands_asks_for_them_on_small_pipe_too() -> None:
    small = BY_DIAMETER | {"diameter": "12 in", "bands_min": 2, "bands_from": "20 in"}

    assert outcome(small, pad()) == "incomplete"
    assert outcome(small, band(), band()) == "conforms"
    assert outcome(small, band(), band(1)) == "does_not_conform"


def test_missing_distances_between_bands_are_counted() -> None:
    bands = [band(spacing="10 mm"), band(), band()]

    counted = judge(WINDOW, *bands)["findings"][-1]

    assert counted["statement"] == (
        "1 distance between bands, at least 2 asked for; 1 more to take."
    )
