"""Typed values, read by the name of their field."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar

from qc.engine.quantities import Quantity

T = TypeVar("T")


class Values:
    """Typed values of a field list, read by name; a missing value is None or an empty tuple.

    `given` are the names of those that are not missing.
    """

    def __init__(self, values: Mapping[str, Any]) -> None:
        self._values = dict(values)
        self.given = frozenset(
            name for name, value in self._values.items() if value is not None and value != ()
        )

    def __contains__(self, name: str) -> bool:
        return name in self.given

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def get(self, name: str) -> Any:
        """The value as parsed, or None."""
        return self._values.get(name)

    def quantity(self, name: str) -> Quantity | None:
        """A quantity, or None."""
        return _typed(self._values.get(name), Quantity)

    def quantities(self, name: str) -> tuple[Quantity, ...]:
        """A list of quantities, perhaps empty."""
        return tuple(self._values.get(name) or ())

    def number(self, name: str) -> Decimal | None:
        """An exact number, or None."""
        return _typed(self._values.get(name), Decimal)

    def numbers(self, name: str) -> tuple[Decimal, ...]:
        """A list of numbers, perhaps empty."""
        return tuple(self._values.get(name) or ())

    def integer(self, name: str, default: int = 0) -> int:
        """A whole number, or `default`."""
        found = _typed(self._values.get(name), int)
        return default if found is None else found

    def text(self, name: str, default: str = "") -> str:
        """A text or a choice, or `default`."""
        return _typed(self._values.get(name), str) or default

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of texts, perhaps empty."""
        return tuple(self._values.get(name) or ())

    def flag(self, name: str) -> bool | None:
        """True, False, or None where it was not answered."""
        return _typed(self._values.get(name), bool)

    def moment(self, name: str) -> datetime | None:
        """An instant with its offset, or None."""
        return _typed(self._values.get(name), datetime)

    def day(self, name: str) -> date | None:
        """A calendar day, or None."""
        return _typed(self._values.get(name), date)

    def table(self, name: str) -> tuple[tuple[Quantity, Quantity], ...]:
        """Rows (temperature, time) by rising temperature, perhaps empty."""
        return tuple(self._values.get(name) or ())

    def pairs(self, name: str) -> tuple[tuple[str, str], ...]:
        """A list of pairs of choices, perhaps empty."""
        return tuple(self._values.get(name) or ())

    def groups(self, name: str) -> tuple[Values, ...]:
        """A list of groups, perhaps empty."""
        return tuple(self._values.get(name) or ())


def _typed(value: Any, kind: type[T]) -> T | None:
    return value if isinstance(value, kind) else None
