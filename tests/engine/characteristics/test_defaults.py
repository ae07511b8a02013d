"""What plans are offered: every default is sound, sourced, and judges nothing by itself."""

import json
import re

import pytest

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import ALL
from qc.engine.fields import Field

OFFERING = [c for c in ALL if any(f.default is not None for f in c.criteria)]


def offered(characteristic: Characteristic) -> list[Field]:
    return [field for field in characteristic.criteria if field.default is not None]


def test_some_characteristics_offer_defaults() -> None:
    keys = {"salts", "dust", "oil_grease", "blast_air", "wrap", "laminate"}

    assert keys <= {characteristic.key for characteristic in OFFERING}


@pytest.mark.parametrize("characteristic", ALL, ids=lambda c: c.key)
def test_defaults_are_those_of_criteria_and_never_without_source(
    characteristic: Characteristic,
) -> None:
    for field in characteristic.criteria:
        assert bool(field.default_source) is (field.default is not None), field.name
    for field in (*characteristic.reading, *characteristic.computed):
        assert field.default is None, field.name


@pytest.mark.parametrize("characteristic", OFFERING, ids=lambda c: c.key)
def test_all_defaults_together_make_criteria_in_the_case_format(
    characteristic: Characteristic,
) -> None:
    values = {field.name: field.default for field in offered(characteristic)}

    assert json.loads(json.dumps(values)) == values
    criteria = characteristic.parse_criteria(values)
    assert {field.name for field in offered(characteristic)} == set(criteria.given)


@pytest.mark.parametrize("characteristic", OFFERING, ids=lambda c: c.key)
def test_a_default_from_memory_says_so(characteristic: Characteristic) -> None:
    for field in offered(characteristic):
        source = field.default_source
        assert re.search(r"common practice|read|to be confirmed against the licensed text", source)


def test_the_figures_that_are_offered_for_a_laminate_are_to_be_confirmed() -> None:
    (laminate,) = (c for c in ALL if c.key == "laminate")

    assert {f.name: f.default for f in offered(laminate) if isinstance(f.default, str)} == {
        "pit_width_max": "10 mm",
        "pit_height_max": "2.5 mm",
        "wrinkle_max": "2.5 mm",
        "wrinkle_share_max": "20 %",
        "edge_radius_min": "5 mm",
    }
    assert {f.default_source for f in offered(laminate)} == {
        "to be confirmed against the licensed text"
    }
