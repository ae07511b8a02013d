"""Profile: each finding whole, by depth, comparator and tape, with limit and source."""

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
        "min": "55 um",
        "max": "85 um",
        "method": "depth_micrometer",
        "standard": "astm-d4417",
        "edition": "2021",
        "locations_min": 4,
        "readings_min": 3,
    },
    [
        {"location": "A", "values": ["50 um", "60 um", "56 um"]},
        {"location": "B", "values": ["90 um", "85 um", "86 um"]},
        {"location": "C", "values": ["60 um", "61 um"]},
    ],
    [
        ("profile.locations", "incomplete", "3", "at least 4", OURS + "locations_min"),
        ("profile.readings", "incomplete", "2", "at least 3", OURS + "readings_min"),
        ("profile.min", "conforms", "55.3 µm", "at least 55 µm", OURS + "min"),
        ("profile.max", "does_not_conform", "87.0 µm", "at most 85 µm", OURS + "max"),
    ],
)
BARE: Case = (
    {
        "method": "comparator",
        "standard": "iso8503-2",
        "grade": "medium",
        "comparator": "grit",
        "locations_min": 2,
    },
    [
        {"location": "A", "grade": "medium", "comparator": "grit"},
        {"location": "B", "grade": "fine", "comparator": "shot"},
        {"location": "C"},
    ],
    [
        ("profile.locations", "conforms", "3", "at least 2", OURS + "locations_min"),
        ("profile.readings", "incomplete", "0", "at least 1", "the plan states no number"),
        ("profile.data", "cannot_be_judged", "", "", ""),
        ("profile.data", "cannot_be_judged", "", "", ""),
        (
            "profile.grade",
            "conforms",
            "A medium",
            "medium",
            OURS + "grade; ISO 8503-1 and 8503-2, read second-hand",
        ),
    ],
)
OTHER: Case = (
    {"min": "2 mil", "max": "3 mil", "method": "replica_tape", "area": "1500 ft2"},
    [
        {
            "location": "A",
            "values": ["4.5 mil", "4.4 mil"],
            "film_included": True,
            "tape_grades": ["coarse"],
        },
        {"location": "B", "values": ["3.1 mil"], "film_included": False},
    ],
    [
        (
            "profile.locations",
            "incomplete",
            "2",
            "at least 6",
            "UFGS 09970 to 09973, profile tests by area, read second-hand",
        ),
        ("profile.readings", "conforms", "1", "at least 1", "the plan states no number"),
        ("profile.overlap", "incomplete", "2.5 mil, 2.4 mil", "", ""),
        ("profile.min", "conforms", "3.1 mil", "at least 2 mil", OURS + "min"),
        ("profile.max", "does_not_conform", "3.1 mil", "at most 3 mil", OURS + "max"),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Calculated: 166/3 = 55.33 and 261/3 = 87; the film of a replica tape is 2 mil."""
    criteria, readings, expected = case

    assert rows(judged("profile", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("profile", *ALL[:2])) == [
        "3 locations, at least 4 asked for; 1 more to take.",
        "2 readings at C, which has the fewest, at least 3 asked for; 1 more to take.",
        "Profile, A, lowest of 3, 55.3 µm",
        "Profile, B, highest of 3, 87.0 µm",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("profile", *ALL[:2])

    assert verdict["computed"] == {
        "location_values": ["55.333333 um", "87 um", "60.5 um"],
        "mean": "67.611111 um",
        "grades": None,
    }
    assert flag_heads(verdict) == ["profile.mapping: map B"]


def test_segments_beyond_their_limit_are_counted_by_location() -> None:
    criteria = {
        "method": "comparator",
        "standard": "iso8503-2",
        "segment_min": 2,
        "segment_max": 3,
        "comparator": "grit",
    }
    seen = {"A": 1, "B": 4}
    places = [{"location": name, "segment": n, "comparator": "grit"} for name, n in seen.items()]

    verdict = judged("profile", criteria, places)

    found = {f["rule"]: f for f in verdict["findings"]}
    least, most = found["profile.segment_min"], found["profile.segment_max"]
    assert (least["observed"], least["limit"], least["source"]) == (
        "1",
        "at least 2",
        OURS + "segment_min",
    )
    assert least["statement"].endswith(" 1 of 2 locations fails: A.")
    assert (most["observed"], most["limit"]) == ("4", "at most 3")
    assert most["statement"].endswith(" 1 of 2 locations fails: B.")


def test_the_extent_of_a_failing_location_is_mapped_around_it() -> None:
    places: list[dict[str, Any]] = [
        {"location": "A", "values": ["60 um"]},
        {"location": "B", "values": ["50 um"]},
        {"maps": "B", "direction": "up", "values": ["50 um"]},
        {"maps": "B", "direction": "up", "values": ["60 um"], "surface_ends": True},
    ]

    verdict = judged("profile", {"min": "55 um", "method": "depth_micrometer"}, places)

    (found,) = [f for f in verdict["findings"] if f["rule"] == "profile.mapping"]
    assert found["statement"].startswith("1 of 4 directions mapped around B;")
    assert found["statement"].endswith("belong to the nonconforming area: up 1.")
    assert found["source"] == "SSPC-PA 17, read second-hand"
    assert verdict["flags"] == []
