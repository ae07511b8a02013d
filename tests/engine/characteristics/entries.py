"""Entries made at random from a declaration: plausible ones, and junk among them."""

from typing import Any

from hypothesis import strategies as st

from qc.engine.characteristic import Characteristic
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension, units_of

JUNK = st.sampled_from(
    [None, "", [], {}, 0, -1, 1.5, True, "x", "-5 %", "1e9 mm", "9" * 30, ["x", 1], {"a": [None]}]
)
_MAGNITUDES = st.decimals(-20, 400, places=2) | st.sampled_from(["0", "1", "3", "25"])


def quantities(dimension: Dimension | None, unit: str = "mm") -> st.SearchStrategy[str]:
    """A number in one of the units of its kind, or in `unit` where several kinds are taken."""
    units = st.sampled_from(units_of(dimension) if dimension else (unit,))
    return st.builds(lambda magnitude, unit: f"{magnitude} {unit}", _MAGNITUDES, units)


def plausible(field: Field) -> st.SearchStrategy[Any]:
    """What an inspector might enter; often, but not always, within the field's bounds."""
    one = _one(field)
    return st.lists(one, max_size=4) if field.many else one


def _one(field: Field) -> st.SearchStrategy[Any]:
    match field.kind:
        case Kind.QUANTITY:
            return quantities(field.dimension, field.unit)
        case Kind.NUMBER:
            return st.decimals(0, 100, places=1).map(str)
        case Kind.INTEGER:
            return st.integers(0, 12)
        case Kind.CHOICE:
            return st.sampled_from(field.choices)
        case Kind.PAIR:
            return st.lists(st.sampled_from(field.choices), min_size=2, max_size=2)
        case Kind.TABLE:
            return st.dictionaries(
                quantities(field.dimension), quantities(Dimension.TIME), max_size=4
            )
        case Kind.GROUP:
            return entries(field.fields)
        case _:
            return _PLAIN[field.kind]


_PLAIN: dict[Kind, st.SearchStrategy[Any]] = {
    Kind.TEXT: st.sampled_from(["north", "south", "1"]),
    Kind.BOOLEAN: st.booleans(),
    Kind.DATE: st.sampled_from(["2026-05-11", "2026-05-12"]),
    Kind.MOMENT: st.builds(
        "2026-05-12T{:02}:{:02}Z".format, st.integers(0, 23), st.integers(0, 59)
    ),
}


def entries(
    fields: tuple[Field, ...], junk: st.SearchStrategy[Any] | None = None
) -> st.SearchStrategy[dict[str, Any]]:
    """An object with all required and some of the other fields, one in some holding `junk`."""

    def strategy(field: Field) -> st.SearchStrategy[Any]:
        return plausible(field) if junk is None else plausible(field) | junk

    return st.fixed_dictionaries(
        {field.name: strategy(field) for field in fields if field.required},
        optional={field.name: strategy(field) for field in fields if not field.required},
    )


def cases(
    characteristic: Characteristic, junk: st.SearchStrategy[Any] | None = None
) -> st.SearchStrategy[dict[str, Any]]:
    """A case of `characteristic` with up to four readings."""
    return st.fixed_dictionaries(
        {
            "characteristic": st.just(characteristic.key),
            "criteria": entries(characteristic.criteria, junk),
            "readings": st.lists(entries(characteristic.reading, junk), max_size=4),
        }
    )
