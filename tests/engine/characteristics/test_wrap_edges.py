"""The wrap: each finding of rolls, wrap, pad and bands whole, with limit and source."""

from typing import Any

import pytest

from tests.engine.characteristics.whole_verdicts import (
    OURS,
    Row,
    flag_heads,
    judged,
    rows,
    subjects,
)

Case = tuple[dict[str, Any], list[dict[str, Any]], list[Row]]
"""Criteria, readings, and the findings that they make."""

ALL: Case = (
    {
        "soak_min": "8 s",
        "soak_max": "12 s",
        "knead_min": "1 s",
        "working_time": {"30 degC": "30 s", "20 degC": "3 min"},
        "start_offset_min": "50 mm",
        "overlap_min": "50 %",
        "layers_min": 4,
        "design_thickness": "3 mm",
        "ply_thickness": "0.5 mm",
        "length_min": "300 mm",
        "overlap_length_min": "100 mm",
    },
    [
        {
            "part": "roll",
            "soak": "10 s",
            "surface_temperature": "30 degC",
            "worked": "31 s",
            "start_offset": "50 mm",
            "overlap": "50 %",
            "location": "R1",
        },
        {
            "part": "roll",
            "soak": "7 s",
            "surface_temperature": "20 degC",
            "worked": "181 s",
            "start_offset": "49 mm",
            "overlap": "49 %",
        },
        {
            "part": "wrap",
            "passes": 3,
            "layers": 6,
            "length": "299 mm",
            "overlap_length": ["100 mm", "99 mm"],
        },
        {"part": "roll"},
    ],
    [
        ("wrap.soak_min", "does_not_conform", "7.0 s", "at least 8 s", OURS + "soak_min"),
        ("wrap.soak_min", "incomplete", "", "at least 8 s", OURS + "soak_min"),
        ("wrap.soak_max", "conforms", "10.0 s", "at most 12 s", OURS + "soak_max"),
        ("wrap.soak_max", "incomplete", "", "at most 12 s", OURS + "soak_max"),
        ("wrap.knead_min", "incomplete", "", "at least 1 s", OURS + "knead_min"),
        (
            "wrap.working_time",
            "does_not_conform",
            "31 s, 181 s, not recorded",
            "within the working time of the surface temperature",
            OURS + "working_time",
        ),
        (
            "wrap.start_offset_min",
            "does_not_conform",
            "49.0 mm",
            "at least 50 mm",
            OURS + "start_offset_min",
        ),
        ("wrap.overlap", "does_not_conform", "49.0 %", "at least 50 %", OURS + "overlap_min"),
        ("wrap.overlap", "incomplete", "", "at least 50 %", OURS + "overlap_min"),
        ("wrap.layers", "does_not_conform", "5.88", "at least 6", OURS + "design_thickness"),
        (
            "wrap.overlap_length",
            "does_not_conform",
            "99.0 mm",
            "at least 100 mm",
            OURS + "overlap_length_min",
        ),
        ("wrap.length", "does_not_conform", "299.0 mm", "at least 300 mm", OURS + "length_min"),
    ],
)
BARE: Case = (
    {
        "pad_extent_min": "2",
        "backing_min": "10 mm",
        "backing_max": "20 mm",
        "bands_from": "100 mm",
        "bands_min": 2,
        "band_spacing_min": "20 mm",
        "band_spacing_max": "40 mm",
        "fasteners_min": 2,
    },
    [
        {"part": "pad", "defect_size": ["50 mm"], "pad_size": ["100 mm"], "backing": "9 mm"},
        {"part": "band", "fasteners": 1, "spacing": "41 mm"},
        {"part": "band", "fasteners": 2, "spacing": "20 mm", "location": "left"},
    ],
    [
        ("wrap.pad_extent", "conforms", "2.00", "at least 2", OURS + "pad_extent_min"),
        ("wrap.backing_min", "does_not_conform", "9.00 mm", "at least 10 mm", OURS + "backing_min"),
        ("wrap.backing_max", "conforms", "9.00 mm", "at most 20 mm", OURS + "backing_max"),
        ("wrap.bands", "conforms", "2", "at least 2", OURS + "bands_min"),
        (
            "wrap.band_spacing_min",
            "conforms",
            "20.0 mm",
            "at least 20 mm",
            OURS + "band_spacing_min",
        ),
        (
            "wrap.band_spacing_max",
            "does_not_conform",
            "41.0 mm",
            "at most 40 mm",
            OURS + "band_spacing_max",
        ),
        ("wrap.fasteners", "does_not_conform", "1", "at least 2", OURS + "fasteners_min"),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Calculated: 3 / (1 - 0.49) = 5.88 layers; 3 mm of 0.5 mm plies are 6."""
    criteria, readings, expected = case

    assert rows(judged("wrap", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("wrap", *ALL[:2])) == [
        "Soaking, reading 2, lowest of 2, 7.0 s",
        "Reading 4",
        "Soaking, reading 1, highest of 2, 10.0 s",
        "Reading 4",
        "Reading 1, 2, 4",
        "Reading 1",
        "Start before the leak, reading 2, lowest of 2, 49.0 mm",
        "Overlap of the turns, reading 2, lowest of 2, 49.0 %",
        "Reading 4",
        "Layers, the fewer of passes / (1 - overlap) and those counted, reading 3, 5.88",
        "Overlap beyond the defect, reading 3, 99.0 mm",
        "Length of the repair, reading 3, 299.0 mm",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("wrap", *ALL[:2])

    assert verdict["computed"] == {
        "pad_extent": [None, None, None, None],
        "working_time": ["30 s", "3 min", None, None],
        "overlap": ["50 %", "49 %", None, None],
        "layers": [None, None, "5.882353", None],
        "layers_asked": 6,
    }
    assert flag_heads(verdict) == []


def test_a_pad_and_a_defect_of_unequal_directions_are_not_compared() -> None:
    pad = {"part": "pad", "defect_size": ["50 mm", "40 mm"], "pad_size": ["100 mm"]}

    verdict = judged("wrap", {"pad_extent_min": "2"}, [pad])

    assert rows(verdict) == [
        ("wrap.pad_extent", "cannot_be_judged", "", "", OURS + "pad_extent_min")
    ]
    assert subjects(verdict) == ["Reading 1"]


@pytest.mark.parametrize(
    ("asked", "wrap", "heads"),
    [
        (5, {"passes": 4}, ["wrap.layers: reading 2"]),
        (4, {"passes": 4}, []),
        (6, {"passes": 4}, []),
        (5, {"layers": 5}, []),
    ],
)
def test_a_wrap_that_reaches_its_layers_on_the_average_only_is_flagged(
    asked: int, wrap: dict[str, Any], heads: list[str]
) -> None:
    """Calculated: 4 / (1 - 0.2) = 5 layers on the average; at the thinnest places they are 4."""
    readings = [{"part": "roll", "overlap": "20 %"}, {"part": "wrap", **wrap}]

    verdict = judged("wrap", {"layers_min": asked}, readings)

    assert flag_heads(verdict) == heads
