"""The finished laminate: each finding whole, with its limit and its source."""

from typing import Any

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
        "free_of": ["cracks", "pinholes"],
        "confirmed": ["uniform_colour"],
        "pit_width_max": "10 mm",
        "pit_height_max": "2.5 mm",
        "wrinkle_max": "2 mm",
        "wrinkle_share_max": "20 %",
        "delamination_max": "5 mm",
        "thickness_min": "8 mm",
        "readings_min": 4,
        "length_min": "300 mm",
        "defect_max": "20 mm",
        "edge_radius_min": "5 mm",
    },
    [
        {
            "location": "north",
            "tap_tested": True,
            "cracks": False,
            "pinholes": True,
            "uniform_colour": True,
            "pits": True,
            "pit_widths": ["10 mm", "11 mm"],
            "pit_heights": ["2 mm", "3 mm"],
            "wrinkles": True,
            "wrinkle_steps": ["1 mm", "2.5 mm"],
            "delamination": True,
            "delamination_sizes": ["4 mm", "6 mm"],
            "thickness": ["8 mm", "7 mm"],
            "length": ["299 mm"],
            "defect_size": ["21 mm"],
            "edge_radius": ["4 mm"],
        },
        {
            "cracks": True,
            "uniform_colour": False,
            "pits": False,
            "wrinkles": False,
            "delamination": False,
            "thickness": ["9 mm"],
        },
        {"remark": "wet"},
    ],
    [
        ("laminate.cracks", "does_not_conform", "no, yes", "no cracks", OURS + "free_of"),
        (
            "laminate.pinholes",
            "does_not_conform",
            "yes",
            "no pinholes deeper than the resin-rich layer",
            OURS + "free_of",
        ),
        (
            "laminate.uniform_colour",
            "does_not_conform",
            "yes, no",
            "resin of one colour",
            OURS + "confirmed",
        ),
        (
            "laminate.pit_width",
            "does_not_conform",
            "11.0 mm",
            "at most 10 mm",
            OURS + "pit_width_max",
        ),
        (
            "laminate.pit_height",
            "does_not_conform",
            "3.0 mm",
            "at most 2.5 mm",
            OURS + "pit_height_max",
        ),
        ("laminate.wrinkle", "does_not_conform", "2.5 mm", "at most 2 mm", OURS + "wrinkle_max"),
        (
            "laminate.delamination",
            "does_not_conform",
            "6.0 mm",
            "at most 5 mm",
            OURS + "delamination_max",
        ),
        ("laminate.delamination", "incomplete", "", "at most 5 mm", OURS + "delamination_max"),
        (
            "laminate.wrinkle_share",
            "does_not_conform",
            "2.5 mm",
            "at most 1.4 mm",
            OURS + "wrinkle_share_max",
        ),
        ("laminate.readings", "incomplete", "3", "at least 4", OURS + "readings_min"),
        (
            "laminate.thickness",
            "does_not_conform",
            "7.00 mm",
            "at least 8 mm",
            OURS + "thickness_min",
        ),
        ("laminate.length", "does_not_conform", "299.0 mm", "at least 300 mm", OURS + "length_min"),
        ("laminate.defect", "does_not_conform", "21.0 mm", "at most 20 mm", OURS + "defect_max"),
        (
            "laminate.edge_radius",
            "does_not_conform",
            "4.0 mm",
            "at least 5 mm",
            OURS + "edge_radius_min",
        ),
    ],
)


def test_each_finding_has_its_value_its_limit_and_its_source() -> None:
    """Calculated: 20 % of the thinnest 7 mm is 1.4 mm; limits are those of the plan."""
    criteria, readings, expected = ALL

    assert rows(judged("laminate", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("laminate", *ALL[:2])) == [
        "Reading 2",
        "Pinholes deeper than the resin-rich layer",
        "Reading 2",
        "Width of foreign matter, blister or pit, reading 1, highest of 2, 11.0 mm",
        "Height of foreign matter, blister or pit, reading 1, highest of 2, 3.0 mm",
        "Step of a wrinkle, reading 1, highest of 2, 2.5 mm",
        "Delamination away from the ends, reading 1, highest of 2, 6.0 mm",
        "Delamination away from the ends",
        "Step of a wrinkle against at most 20 % of the thickness, reading 1, highest of 2, 2.5 mm",
        "3 readings of thickness, at least 4 asked for; 1 more to take.",
        "Thickness, reading 1, lowest of 3, 7.00 mm",
        "Length of the repair, reading 1, 299.0 mm",
        "Defect of the substrate, reading 1, 21.0 mm",
        "Radius of an edge, reading 1, 4.0 mm",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("laminate", *ALL[:2])

    assert verdict["computed"] == {
        "thickness_least": "7 mm",
        "wrinkle_limit": "1.4 mm",
        "thickness_readings": 3,
    }
    assert flag_heads(verdict) == []


def test_readings_of_thickness_are_counted_also_where_none_is_limited() -> None:
    verdict = judged("laminate", {"readings_min": 2}, [{"thickness": ["8 mm"]}])

    assert rows(verdict) == [
        ("laminate.readings", "incomplete", "1", "at least 2", OURS + "readings_min")
    ]


def test_a_pit_that_was_found_has_to_be_measured() -> None:
    verdict = judged("laminate", {"pit_width_max": "10 mm"}, [{"pits": True}, {"pits": False}])

    assert rows(verdict) == [
        ("laminate.pit_width", "incomplete", "", "at most 10 mm", OURS + "pit_width_max")
    ]
    assert verdict["findings"][0]["statement"] == (
        "Reading 1: width of foreign matter, blister or pit: found, but not measured."
    )


def test_a_question_that_nobody_answered_has_its_limit_and_source() -> None:
    criteria = {"free_of": ["cracks"], "confirmed": ["uniform_colour"]}

    assert rows(judged("laminate", criteria, [{}])) == [
        ("laminate.cracks", "incomplete", "", "no cracks", OURS + "free_of"),
        ("laminate.uniform_colour", "incomplete", "", "resin of one colour", OURS + "confirmed"),
    ]


def test_sizes_of_what_is_said_not_to_be_there_are_told_by_what_they_are_of() -> None:
    pits = {"pits": False, "pit_widths": ["3 mm"]}
    wrinkles = {"wrinkles": False, "wrinkle_steps": ["1 mm"]}

    verdict = judged("laminate", {"pit_width_max": "10 mm"}, [pits, wrinkles, pits | wrinkles])

    said = [f["statement"] for f in verdict["findings"] if f["rule"] == "laminate.data"]
    assert said == [
        "Reading 1, 3: pits are measured and said not to be there.",
        "Reading 2, 3: wrinkles are measured and said not to be there.",
    ]
