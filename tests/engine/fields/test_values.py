"""Typed values: read by name, missing ones as None or nothing."""

from datetime import UTC, date, datetime
from decimal import Decimal

from qc.engine.fields import Field, Kind, Values
from qc.engine.quantities import Dimension, Quantity

LENGTH = Quantity(Decimal(1), "mm")
NOW = datetime(2026, 5, 12, 8, 10, tzinfo=UTC)
PAIR = ("Sa 2½", "SP 10")

FULL = Values(
    {
        "quantity": LENGTH,
        "quantities": (LENGTH,),
        "number": Decimal("1.5"),
        "numbers": (Decimal("1.5"),),
        "integer": 3,
        "text": "elbow",
        "texts": ("elbow",),
        "flag": False,
        "moment": NOW,
        "day": date(2026, 5, 12),
        "table": ((LENGTH, LENGTH),),
        "pairs": (PAIR,),
        "nothing": None,
        "empty": (),
    }
)


def test_a_value_is_read_by_name_and_kind() -> None:
    assert FULL.quantity("quantity") == LENGTH
    assert FULL.quantities("quantities") == (LENGTH,)
    assert FULL.number("number") == Decimal("1.5")
    assert FULL.numbers("numbers") == (Decimal("1.5"),)
    assert FULL.integer("integer") == 3
    assert FULL.text("text") == "elbow"
    assert FULL.texts("texts") == ("elbow",)
    assert FULL.flag("flag") is False
    assert FULL.moment("moment") == NOW
    assert FULL.day("day") == date(2026, 5, 12)
    assert FULL.table("table") == ((LENGTH, LENGTH),)
    assert FULL.pairs("pairs") == (PAIR,)


def test_a_missing_value_is_none_nothing_or_the_default() -> None:
    assert FULL.quantity("nothing") is None
    assert FULL.number("absent") is None
    assert FULL.integer("nothing", 7) == 7
    assert FULL.text("nothing", "mean") == "mean"
    assert FULL.flag("nothing") is None
    assert FULL.moment("nothing") is FULL.day("nothing") is None
    for many in (FULL.quantities, FULL.numbers, FULL.texts, FULL.table, FULL.pairs, FULL.groups):
        assert many("nothing") == ()


def test_zero_and_false_are_values() -> None:
    given = Values({"zero": Decimal(0), "no": False, "none": None, "empty": ()})

    assert "zero" in given
    assert "no" in given
    assert "none" not in given
    assert "empty" not in given
    assert "absent" not in given


def test_a_value_of_another_kind_is_no_value() -> None:
    assert FULL.number("quantity") is None
    assert FULL.quantity("number") is None


def test_a_form_offers_the_unit_of_its_system() -> None:
    field = Field(name="x", label="X", dimension=Dimension.LENGTH, unit="um", us_unit="mil")
    share = Field(name="x", label="X", dimension=Dimension.SHARE, unit="%")

    assert (field.unit_in("metric"), field.unit_in("us")) == ("um", "mil")
    assert share.unit_in("us") == "%"


def test_a_choice_reads_as_labelled_or_as_words() -> None:
    field = Field(
        name="x", label="X", kind=Kind.CHOICE, choices=("a_b", "L"), labels={"L": "light"}
    )

    assert [field.label_of(choice) for choice in field.choices] == ["a b", "light"]
