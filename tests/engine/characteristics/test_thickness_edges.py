"""Thickness: each rule's findings whole, with limit and source."""

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
        "rule": "iso19840",
        "nominal": "300 um",
        "max": "600 um",
        "area": "2 m2",
        "surface_profile": "medium",
        "readings_min": 6,
    },
    [
        {"values": ["320 um", "330 um", "310 um"], "zone": "a"},
        {"values": ["700 um", "250 um", "239 um"]},
    ],
    [
        (
            "thickness.iso19840.readings",
            "incomplete",
            "6",
            "at least 10",
            "ISO 19840, readings by inspection area, read second-hand; 5 up to 1 m2 to be "
            "confirmed against the licensed text",
        ),
        (
            "thickness.iso19840.mean",
            "conforms",
            "333.2 µm",
            "at least 300 µm",
            OURS + "nominal; ISO 19840:2005, acceptance, read second-hand",
        ),
        (
            "thickness.iso19840.least",
            "does_not_conform",
            "214.0 µm",
            "at least 240 µm",
            OURS + "nominal; ISO 19840:2005, acceptance, read second-hand",
        ),
        (
            "thickness.iso19840.share",
            "does_not_conform",
            "66.7 %",
            "below 20 %",
            "ISO 19840:2005, acceptance, read second-hand",
        ),
        ("thickness.iso19840.max", "does_not_conform", "675.0 µm", "at most 600 µm", OURS + "max"),
    ],
)
BARE: Case = (
    {"rule": "pa2", "min": "200 um", "max": "300 um", "level": 3, "area": "25 m2"},
    [
        {"values": ["210 um", "205 um", "200 um"]},
        {"values": ["150 um", "160 um", "155 um"]},
        {"values": ["310 um", "305 um", "300 um"]},
        {"values": ["365 um", "360 um", "370 um"]},
        {"values": ["250 um", "250 um", "250 um"]},
    ],
    [
        ("thickness.pa2.readings", "conforms", "3", "at least 3", "SSPC-PA 2, read second-hand"),
        ("thickness.pa2.spots", "incomplete", "5", "at least 15", "SSPC-PA 2, read second-hand"),
        (
            "thickness.pa2.spot_min",
            "does_not_conform",
            "155.0 µm",
            "at least 160 µm",
            OURS + "min; SSPC-PA 2, read second-hand",
        ),
        (
            "thickness.pa2.spot_max",
            "does_not_conform",
            "365.0 µm",
            "at most 360 µm",
            OURS + "max; SSPC-PA 2, read second-hand",
        ),
        (
            "thickness.pa2.area_min",
            "conforms",
            "256.0 µm",
            "at least 200 µm",
            OURS + "min; SSPC-PA 2, read second-hand",
        ),
        (
            "thickness.pa2.area_max",
            "conforms",
            "256.0 µm",
            "at most 300 µm",
            OURS + "max; SSPC-PA 2, read second-hand",
        ),
    ],
)
OTHER: Case = (
    {"rule": "90-10", "nominal": "320 um", "max": "640 um", "area": "20 m2"},
    [{"values": ["320 um", "320 um", "300 um", "287 um"]}],
    [
        (
            "thickness.90-10.readings",
            "conforms",
            "4",
            "at least 4",
            "IMO performance standard for protective coatings, one reading for each 5 m2 of flat "
            "area",
        ),
        (
            "thickness.90-10.least",
            "does_not_conform",
            "287.0 µm",
            "at least 288 µm",
            OURS + "nominal; 90/10 rule of the IMO performance standard for protective coatings, "
            "read second-hand",
        ),
        (
            "thickness.90-10.share",
            "does_not_conform",
            "50.0 %",
            "at most 10 %",
            "90/10 rule of the IMO performance standard for protective coatings, read second-hand",
        ),
        ("thickness.90-10.max", "conforms", "320.0 µm", "at most 640 µm", OURS + "max"),
    ],
)
MORE: Case = (
    {
        "rule": "minimum",
        "min": "3 mm",
        "mean_min": "3.1 mm",
        "zones": [{"zone": "weld", "min": "4 mm", "readings_min": 3}],
        "flushness_max": "1 mm",
    },
    [
        {"zone": "weld", "values": ["4 mm", "3.9 mm"], "flushness": ["0.9 mm", "1.1 mm"]},
        {
            "values": ["3 mm", "2.9 mm", "3.2 mm"],
            "gauge": "caliper",
            "datum_before": ["1 mm"],
            "datum_after": ["1.2 mm"],
        },
    ],
    [
        ("thickness.data", "cannot_be_judged", "", "", ""),
        ("thickness.minimum.readings", "conforms", "2", "at least 1", "the plan states no number"),
        (
            "thickness.minimum.zone_min",
            "does_not_conform",
            "3.90 mm",
            "at least 4 mm",
            OURS + "zones",
        ),
        ("thickness.minimum.zone_readings", "incomplete", "2", "at least 3", OURS + "zones"),
        ("thickness.minimum.mean_min", "conforms", "3.95 mm", "at least 3.1 mm", OURS + "mean_min"),
        (
            "thickness.flushness",
            "does_not_conform",
            "1.10 mm",
            "at most 1 mm",
            OURS + "flushness_max",
        ),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER, MORE])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Calculated: 25 um less on a medium profile, 80 % of 200 and 120 % of 300 um, 90 % of 320."""
    criteria, readings, expected = case

    assert rows(judged("thickness", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("thickness", *ALL[:2])) == [
        "6 readings, at least 10 asked for; 4 more to take.",
        "Thickness, mean of 6, 333.2 µm",
        "Thickness against 80 % of nominal, reading 2 value 3, lowest of 6, 214.0 µm",
        "Share of values below nominal 66.7 %",
        "Thickness, reading 2 value 1, highest of 6, 675.0 µm",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("thickness", *ALL[:2])

    assert verdict["computed"] == {
        "corrected": ["295 um", "305 um", "285 um", "675 um", "225 um", "214 um"],
        "share_below_nominal": "66.666667 %",
        "lowest": "214 um",
        "mean": "333.166667 um",
    }
    assert flag_heads(verdict) == []


def test_a_wet_film_without_a_limit_is_not_judged() -> None:
    verdict = judged("thickness", {"rule": "wet_film"}, [{"values": ["100 um"]}])

    assert [row[:2] for row in rows(verdict)] == [
        ("thickness.wet_film.readings", "conforms"),
        ("thickness.wet_film.range", "cannot_be_judged"),
    ]


@pytest.mark.parametrize(
    ("of", "spot", "area"),
    [
        ("single", "at least 160 µm, guarded by 10 µm", "at least 200 µm"),
        ("mean", "at least 160 µm", "at least 200 µm, guarded by 10 µm"),
    ],
)
def test_an_uncertainty_guards_the_statistic_that_it_is_of(of: str, spot: str, area: str) -> None:
    criteria = {
        "rule": "pa2",
        "min": "200 um",
        "decision": "guarded",
        "expanded_uncertainty": "10 um",
        "uncertainty_of": of,
    }

    found = rows(judged("thickness", criteria, [{"values": ["250 um"] * 3}] * 5))

    limits = {row[0]: row[3] for row in found}
    assert limits["thickness.pa2.spot_min"] == spot
    assert limits["thickness.pa2.area_min"] == area


def test_a_zone_without_a_reading_has_the_source_of_the_zones() -> None:
    criteria = {"rule": "minimum", "min": "3 mm", "zones": [{"zone": "weld", "min": "4 mm"}]}

    found = rows(judged("thickness", criteria, [{"values": ["3 mm"], "zone": "bend"}]))

    assert ("thickness.minimum.zone", "incomplete", "0", "at least 1", OURS + "zones") in found


def test_a_direction_mapped_to_the_end_of_the_surface_is_closed() -> None:
    """SSPC-PA 2, second-hand: two spots in a row, or the end of the surface."""
    thin, whole = {"values": ["150 um"] * 3}, {"values": ["210 um"] * 3, "maps": "spot 1"}
    ends = whole | {"direction": "up", "surface_ends": True}

    verdict = judged(
        "thickness",
        {"rule": "pa2", "min": "200 um"},
        [thin] * 5 + [ends, whole | {"direction": "left"}],
    )

    (found,) = [f for f in verdict["findings"] if f["rule"] == "thickness.pa2.mapping"]
    assert (found["outcome"], found["observed"]) == ("incomplete", "2")
    assert found["statement"] == ("2 of 8 directions mapped around spot 1; go on towards left.")


def test_each_rule_has_a_flag_of_its_own() -> None:
    pa2 = judged("thickness", {"rule": "pa2", "min": "200 um"}, [{"values": ["250 um"] * 3}])
    wet = judged("thickness", {"rule": "wet_film", "min": "200 um"}, [{"values": ["250 um"]}])

    assert [flag.split(":")[0] for flag in pa2["flags"]] == ["thickness.pa2.spots"]
    assert [flag.split(":")[0] for flag in wet["flags"]] == ["thickness.wet_film"]
