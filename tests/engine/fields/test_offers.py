"""Defaults offered to whoever writes a plan."""

import pytest

from qc.engine.fields import Field, object_schema, parse_fields, with_defaults

FIELDS = (Field(name="min", label="Least", unit="mm"), Field(name="max", label="Most", unit="mm"))
OFFERS = {"max": {"value": "2.5 mm", "source": "to be confirmed against the licensed text"}}


def test_an_offer_goes_to_the_field_of_its_name() -> None:
    least, most = with_defaults(FIELDS, OFFERS)

    assert least == FIELDS[0]
    assert (most.default, most.default_source) == (
        "2.5 mm",
        "to be confirmed against the licensed text",
    )
    assert (most.label, most.unit) == ("Most", "mm")


def test_a_default_is_offered_and_never_assumed() -> None:
    offered = with_defaults(FIELDS, OFFERS)

    assert parse_fields(offered, {}, "criteria").get("max") is None
    assert object_schema(offered) == object_schema(FIELDS)


@pytest.mark.parametrize(
    "offers", [{"mean": OFFERS["max"]}, {"max": {"value": "1 mm"}}, {"max": {"source": "here"}}]
)
def test_an_offer_for_no_field_or_without_value_or_source_is_refused(
    offers: dict[str, dict[str, str]],
) -> None:
    with pytest.raises(KeyError):
        with_defaults(FIELDS, offers)
