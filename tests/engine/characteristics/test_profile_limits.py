"""Profile: the requirements of published specifications, on each limit and beyond it."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue


def judge(criteria: dict[str, Any], *values: str, **more: Any) -> dict[str, Any]:
    reading = {"location": "A", "values": list(values), **more}
    return judge_case({"characteristic": "profile", "criteria": criteria, "readings": [reading]})


@pytest.mark.parametrize(
    ("least", "most"),
    [
        # UFGS 09972 and 09973, tanks: 50 to 75 um, rejected above 75.
        ("50 um", "75 um"),
        # From memory of the IMO performance standard for protective coatings.
        ("30 um", "75 um"),
        # From memory of NORSOK M-501, medium by the grit comparator.
        ("50 um", "85 um"),
        # Linings, a contractor's page: 38 to 115 um, printed also as 1.5 to 4.5 mil.
        ("38 um", "115 um"),
        ("1.5 mil", "4.5 mil"),
        # From memory: high-build epoxy.
        ("50 um", "100 um"),
    ],
)
def test_a_published_range_holds_its_ends_and_nothing_beyond(least: str, most: str) -> None:
    criteria = {"min": least, "max": most}
    unit = least.split()[1]
    low, high = (float(text.split()[0]) for text in (least, most))

    assert judge(criteria, least)["outcome"] == "conforms"
    assert judge(criteria, most)["outcome"] == "conforms"
    assert judge(criteria, f"{low - 0.01:.2f} {unit}")["outcome"] == "does_not_conform"
    assert judge(criteria, f"{high + 0.01:.2f} {unit}")["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("least", "on", "below"),
    [("25 um", "25 um", "24.99 um"), ("1 mil", "25.4 um", "25.39 um"), ("60 um", "60 um", "59 um")],
)
def test_a_least_profile_is_compared_in_its_own_unit(least: str, on: str, below: str) -> None:
    """SSPC-SP 11 and SP 15: 25 um, printed also as 1 mil, which is a little more; composite
    wraps, a repair contractor's page: 60 um."""
    assert judge({"min": least}, on)["outcome"] == "conforms"
    assert judge({"min": least}, below)["outcome"] == "does_not_conform"


def test_a_single_peak_above_the_range_is_no_failure_where_the_mean_counts() -> None:
    """ASTM D4417 Method B, calculated: the mean of ten is 54.2, the highest 63."""
    ten = [f"{value} um" for value in (48, 52, 55, 61, 44, 58, 63, 50, 57, 54)]
    criteria = {"min": "50 um", "max": "60 um", "readings_min": 10}

    assert judge(criteria, *ten)["outcome"] == "conforms"
    assert judge(criteria | {"statistic": "max"}, *ten)["outcome"] == "does_not_conform"
    assert judge(criteria, *ten[:9])["outcome"] == "incomplete"


def test_five_stylus_traces_may_be_asked_for() -> None:
    """ASTM D4417-21 Method D, from memory: five traces, their mean."""
    criteria = {"method": "stylus", "min": "50 um", "readings_min": 5, "standard": "astm-d4417"}

    traces = ["48 um", "52 um", "50 um", "49 um", "51 um"]
    assert judge(criteria, *traces)["outcome"] == "conforms"
    assert judge(criteria, *traces[1:])["outcome"] == "incomplete"


def test_demands_on_a_comparator_and_on_another_method_do_not_mix() -> None:
    """ASTM D7127: values of different methods are not compared as numbers."""
    for method in ("stylus", "replica_tape", "depth_micrometer"):
        with pytest.raises(InvalidValue, match=r"^criteria\.grade"):
            judge({"method": method, "grade": "medium"}, "60 um")


DESCRIBED = {
    "comparator": {"iso8503-2", "astm-d4417"},
    "depth_micrometer": {"astm-d4417"},
    "replica_tape": {"iso8503-5", "astm-d4417", "sp0287"},
    "stylus": {"iso8503-4", "astm-d4417", "astm-d7127"},
}


@pytest.mark.parametrize("method", DESCRIBED)
def test_a_standard_belongs_to_the_methods_that_it_describes(method: str) -> None:
    """Titles of the parts of ISO 8503, ASTM D7127 and NACE SP0287; methods of ASTM D4417."""
    for standard in set().union(*DESCRIBED.values()):
        criteria = {"min": "50 um", "standard": standard}
        assert judge(criteria, "60 um")["outcome"] == "conforms"
        if standard in DESCRIBED[method]:
            judge(criteria | {"method": method}, "60 um")
        else:
            with pytest.raises(InvalidValue, match=r"^criteria\.standard: .* does not describe a"):
                judge(criteria | {"method": method}, "60 um")
