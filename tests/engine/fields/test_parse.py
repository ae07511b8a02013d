"""Fields: each kind takes what it should, and names the field in every refusal."""

from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.fields import Field, InvalidValue, Kind, Values, parse_fields, plain
from qc.engine.quantities import Dimension, Quantity

LENGTH = Field(name="x", label="X", dimension=Dimension.LENGTH, unit="mm")
GRADES = ("Sa 2", "Sa 2½", "SP 10")

json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=30)
    | st.integers(10**15, 10**5000),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=8,
)


def field(kind: Kind, **more: Any) -> Field:
    return Field(name="x", label="X", kind=kind, **more)


def parse(one: Field, raw: Any) -> Any:
    return parse_fields([one], {"x": raw}, "reading").get("x")


def refusal(one: Field, raw: Any) -> str:
    with pytest.raises(InvalidValue) as caught:
        parse(one, raw)
    assert caught.value.path.startswith("reading.x")
    return caught.value.problem


@pytest.mark.parametrize(
    ("one", "raw", "value"),
    [
        (LENGTH, "12 mil", Quantity(Decimal(12), "mil")),
        (field(Kind.NUMBER), "12.50", Decimal("12.50")),
        (field(Kind.NUMBER), 12, Decimal(12)),
        (field(Kind.INTEGER), "12", 12),
        (field(Kind.INTEGER), "12.0", 12),
        (field(Kind.INTEGER), -3, -3),
        (field(Kind.TEXT), "  elbow ", "elbow"),
        (field(Kind.BOOLEAN), False, False),
        (field(Kind.DATE), "2026-05-12", date(2026, 5, 12)),
        (field(Kind.MOMENT), "2026-05-12T08:10", datetime(2026, 5, 12, 8, 10, tzinfo=UTC)),
        (
            field(Kind.MOMENT),
            "2026-05-12T08:10+01:00",
            datetime(2026, 5, 12, 8, 10, tzinfo=timezone(timedelta(hours=1))),
        ),
        (field(Kind.CHOICE, choices=GRADES), "sa 2 1/2", "Sa 2½"),
        (field(Kind.CHOICE, choices=("1", "2")), 2, "2"),
        (
            field(Kind.CHOICE, choices=GRADES, aliases={"near white": "SP 10"}),
            "Near-White",
            "SP 10",
        ),
        (field(Kind.PAIR, choices=GRADES), ["Sa 2.5", "sp10"], ("Sa 2½", "SP 10")),
        (field(Kind.PAIR, choices=GRADES), "Sa 2½ = SP 10", ("Sa 2½", "SP 10")),
    ],
)
def test_a_value_is_read_as_its_kind(one: Field, raw: Any, value: Any) -> None:
    assert parse(one, raw) == value


@pytest.mark.parametrize(
    ("one", "raw", "problem"),
    [
        (LENGTH, 12, "12 is not a text such as '12 mm'"),
        (LENGTH, 12.5, "12.5 is not a text"),
        (LENGTH, "12", "'12' is not a number with a unit; give a number and a unit such as mm"),
        (LENGTH, "12 min", "'min' is a unit of time, not of length"),
        (field(Kind.NUMBER), 12.5, "12.5 is not a number in quotes such as '12.5'"),
        (field(Kind.NUMBER), True, "true is not a number"),
        (field(Kind.NUMBER), "1e5", "'1e5' is not a number"),
        (field(Kind.NUMBER), 10**15, "a number of more than 15 digits is not a number"),
        (field(Kind.INTEGER), "1.5", "1.5 is not a whole number"),
        (field(Kind.CHOICE, choices=GRADES), "Sa 4", "'Sa 4' is not one of: Sa 2, Sa 2½, SP 10"),
        (field(Kind.CHOICE, choices=GRADES), ["Sa 2"], "a list is not one of"),
        (field(Kind.CHOICE, choices=("true",)), True, "true is not one of"),
        (field(Kind.TEXT), 5, "5 is not a text"),
        (field(Kind.TEXT), "x" * 2001, "is longer than 2000 characters"),
        (field(Kind.BOOLEAN), "true", "'true' is neither true nor false"),
        (field(Kind.BOOLEAN), 1, "1 is neither true nor false"),
        (field(Kind.MOMENT), "2026-05-12", "'2026-05-12' is not a moment"),
        (field(Kind.MOMENT), "2026-13-12T08:10", "is not a moment such as"),
        (field(Kind.MOMENT), 0, "0 is not a moment"),
        (field(Kind.DATE), "12.05.2026", "'12.05.2026' is not a day such as 2026-05-12"),
        (field(Kind.DATE), 20260512, "is not a day"),
        (field(Kind.PAIR, choices=GRADES), ["Sa 2"], "a list is not a pair"),
        (field(Kind.PAIR, choices=GRADES), "Sa 2", "'Sa 2' is not a pair"),
        (field(Kind.PAIR, choices=GRADES), ["Sa 2", "Sa 4"], "'Sa 4' is not one of"),
        (field(Kind.PAIR, choices=GRADES), {"Sa 2": "SP 10"}, "an object is not a pair"),
        (field(Kind.GROUP, fields=(LENGTH,)), "x", "'x' is not an object of named values"),
        (field(Kind.GROUP, fields=(LENGTH,)), {"y": "1 mm"}, "unknown; known here: x"),
    ],
)  # fmt: skip
def test_anything_else_is_refused_by_name_and_value(one: Field, raw: Any, problem: str) -> None:
    assert problem in refusal(one, raw)


def test_plausible_bounds_are_kept_in_any_unit() -> None:
    one = Field(
        name="x",
        label="X",
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        minimum=Decimal(-45),
        maximum=Decimal(60),
    )

    assert parse(one, "-49 degF") == Quantity(Decimal(-49), "degF")
    assert "is below -49 degF, the least allowed" in refusal(one, "-49.1 degF")
    assert "60.1 degC is above 60 degC, the most allowed" in refusal(one, "60.1 degC")
    number = field(Kind.NUMBER, minimum=Decimal(0), maximum=Decimal(1))
    assert parse(number, "1") == 1
    assert "-0.1 is below 0" in refusal(number, "-0.1")
    assert "1.1 is above 1" in refusal(number, "1.1")


@pytest.mark.parametrize("empty", [None, "", []])
@pytest.mark.parametrize("kind", Kind)
def test_an_empty_value_is_missing_and_refused_only_where_required(kind: Kind, empty: Any) -> None:
    expected = () if kind is Kind.TABLE else None

    assert parse(field(kind), empty) == expected
    assert parse(field(kind, many=True), empty) == ()
    assert refusal(field(kind, required=True), empty) == "is required"


def test_a_missing_field_is_missing() -> None:
    found = parse_fields([LENGTH], {}, "reading")

    assert "x" not in found
    assert found.quantity("x") is None


def test_a_list_may_be_given_as_its_one_value() -> None:
    many = Field(name="x", label="X", dimension=Dimension.LENGTH, unit="mm", many=True)
    pairs = field(Kind.PAIR, choices=GRADES, many=True)

    assert parse(many, "1 mm") == parse(many, ["1 mm"])
    assert parse(pairs, ["Sa 2", "SP 10"]) == (("Sa 2", "SP 10"),)
    assert parse(pairs, [["Sa 2", "SP 10"], "Sa 2½ = SP 10"]) == (
        ("Sa 2", "SP 10"),
        ("Sa 2½", "SP 10"),
    )
    assert parse(pairs, ["Sa 2 = SP 10", "Sa 2½ = SP 10"]) == (
        ("Sa 2", "SP 10"),
        ("Sa 2½", "SP 10"),
    )


def test_a_refusal_in_a_list_names_its_place() -> None:
    many = Field(name="x", label="X", dimension=Dimension.LENGTH, unit="mm", many=True)

    with pytest.raises(InvalidValue, match=r"^reading\.x\[1\]: 'thick'"):
        parse(many, ["1 mm", "thick"])
    with pytest.raises(InvalidValue, match="are more than 20000"):
        parse(many, ["1 mm"] * 20_001)


def test_an_unknown_name_is_refused_with_the_known_ones() -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.y: unknown; known here: x$"):
        parse_fields([LENGTH], {"y": "1 mm"}, "criteria")
    with pytest.raises(InvalidValue, match="^criteria: a list is not an object"):
        parse_fields([LENGTH], [], "criteria")


TABLE = Field(name="x", label="X", kind=Kind.TABLE, dimension=Dimension.TEMPERATURE, unit="degC")


def test_a_table_is_sorted_by_temperature_and_keeps_its_units() -> None:
    rows = {"86 degF": "1 hour", "20 degC": "120 min", "283.15 K": "4 hour"}

    found = parse(TABLE, rows)

    assert [str(temperature) for temperature, _ in found] == ["283.15 K", "20 degC", "86 degF"]
    assert [str(time) for _, time in found] == ["4 hour", "120 min", "1 hour"]
    assert parse(TABLE, list(rows.items())) == found


@pytest.mark.parametrize(
    "raw",
    [
        "20 degC",
        ["20 degC"],
        {"20 degC": "60"},
        {"20": "60 min"},
        {"20 degC": "-1 min"},
        {"20 degC": "1 hour", "68 degF": "2 hour"},
        {"20 degC": ["1 hour"]},
    ],
)
def test_a_table_of_anything_else_is_refused(raw: Any) -> None:
    refusal(TABLE, raw)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Sa 2½", "SA 2 1/2"),
        ("Sa 2½", "sa2.5"),
        ("SP 10", "sp-10"),
        ("WJ-1", "wj 1"),
        ("does_not_conform", "Does not conform"),
    ],
)
def test_spellings_of_one_choice_are_one(one: str, other: str) -> None:
    assert plain(one) == plain(other)


def test_different_choices_stay_different() -> None:
    names = ["Sa 2", "Sa 2½", "P Sa 2", "SP 2", "SP 1", "SP 10", "SP 11", "P1", "WJ-1"]

    assert len({plain(name) for name in names}) == len(names)


@given(st.sampled_from(Kind), st.booleans(), json_values)
def test_junk_raises_nothing_but_the_refusal(kind: Kind, many: bool, raw: Any) -> None:
    one = field(kind, many=many, choices=GRADES, fields=(LENGTH,), dimension=Dimension.LENGTH)

    try:
        parse_fields([one], {"x": raw}, "reading")
    except InvalidValue as caught:
        assert caught.path.startswith("reading.x")


@given(json_values)
def test_junk_for_the_whole_is_refused_too(raw: Any) -> None:
    try:
        assert isinstance(parse_fields([LENGTH], raw, "reading"), Values)
    except InvalidValue as caught:
        assert caught.path.startswith("reading")
