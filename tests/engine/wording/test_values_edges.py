"""Several values of one field, and groups of them, each with its own separator."""

from zoneinfo import ZoneInfo

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import Field
from qc.engine.wording.values import value_text

SITE = ZoneInfo("Europe/Dublin")


def field(key: str, name: str) -> Field:
    characteristic = CHARACTERISTICS[key]
    fields = (*characteristic.criteria, *characteristic.reading)
    return next(found for found in fields if found.name == name)


def test_groups_are_parted_by_semicolons_and_values_by_commas() -> None:
    fracture = [{"nature": "cohesive", "share": "60 %"}, {"nature": "glue", "share": "40 %"}]

    groups = value_text(field("adhesion", "fracture"), fracture, SITE)
    values = value_text(field("ambient", "steel"), ["24.3 degC", "25 degC"], SITE)

    assert groups.count("; ") == 1
    assert "60 %" in groups.split("; ")[0]
    assert "40 %" in groups.split("; ")[1]
    assert values == "24.3 °C, 25 °C"


def test_a_single_value_of_a_list_stands_alone_and_none_is_empty() -> None:
    steel = field("ambient", "steel")

    assert value_text(steel, "24.3 degC", SITE) == "24.3 °C"
    assert value_text(steel, [], SITE) == value_text(steel, None, SITE) == ""
    assert value_text(field("ambient", "air"), "", SITE) == ""
