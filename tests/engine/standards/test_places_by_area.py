"""How many tests an area asks for: UFGS 09970 to 09973."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.quantities import Quantity
from qc.engine.standards.places_by_area import Prepared, places_by_area


def count(prepared: Prepared, area: str, failing: int = 0) -> int:
    return places_by_area(prepared, Quantity.parse(area), failing)


@pytest.mark.parametrize(
    ("area", "profile", "salts"),
    [
        ("0 m2", 3, 3),
        ("20 m2", 3, 3),
        ("100 m2", 3, 3),
        ("100.1 m2", 4, 4),
        ("200 m2", 4, 4),
        ("200.1 m2", 5, 4),
        ("250 m2", 5, 4),
        ("300 m2", 5, 4),
        ("300.1 m2", 6, 5),
        ("1000 m2", 12, 8),
        ("1000 ft2", 3, 3),
        ("1001 ft2", 4, 4),
        ("3000 ft2", 5, 4),
        ("3001 ft2", 6, 5),
    ],
)
def test_the_number_of_tests_follows_the_area(area: str, profile: int, salts: int) -> None:
    """UFGS formula; counts calculated: 3, and one for each further 100 m2, or 200 m2 for salts."""
    assert (count(Prepared.PROFILE, area), count(Prepared.SALTS, area)) == (profile, salts)


def test_each_failing_profile_test_asks_for_two_more() -> None:
    """UFGS, calculated: one failing test at 250 m2 makes 5 + 2 = 7; for salts nothing is added."""
    assert [count(Prepared.PROFILE, "250 m2", failing) for failing in (0, 1, 2)] == [5, 7, 9]
    assert count(Prepared.SALTS, "250 m2", 1) == 4


@pytest.mark.parametrize("prepared", Prepared)
def test_the_count_names_its_source(prepared: Prepared) -> None:
    assert prepared.source.startswith("UFGS 09970 to 09973")


@given(
    st.sampled_from(Prepared),
    st.decimals(0, 5000, places=1),
    st.decimals(0, 100, places=1),
    st.sampled_from(["m2", "ft2"]),
)
def test_a_larger_area_never_asks_for_fewer(
    prepared: Prepared, area: object, more: object, unit: str
) -> None:
    smaller, larger = f"{area} {unit}", f"{area + more} {unit}"  # type: ignore[operator]

    assert 3 <= count(prepared, smaller) <= count(prepared, larger)
