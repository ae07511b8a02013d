"""Fields: what a criterion or a reading consists of, and how its text becomes a typed value.

A field is declared once; the entry form, the case format, its JSON Schema, the tables and the
certificate all follow from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from qc.engine.quantities import Dimension


class Kind(StrEnum):
    """The kinds of value a field can hold."""

    QUANTITY = "quantity"
    NUMBER = "number"
    INTEGER = "integer"
    CHOICE = "choice"
    TEXT = "text"
    BOOLEAN = "boolean"
    MOMENT = "moment"
    DATE = "date"
    TABLE = "table"
    GROUP = "group"
    PAIR = "pair"


class InvalidValue(ValueError):
    """A value is not what its field allows. `path` names the field, as `readings[0].air`."""

    def __init__(self, path: str, problem: str) -> None:
        super().__init__(f"{path}: {problem}")
        self.path = path
        self.problem = problem


@dataclass(frozen=True, kw_only=True)
class Field:
    """One named value.

    `dimension` is the kind of quantity; `unit` and `us_unit` are what a form offers in a metric
    and in a US project. `many` makes it a list. `minimum` and `maximum` bound what is plausible,
    in `unit`; outside them the entry is refused as a mistake, not judged. A TABLE maps quantities
    of `dimension` to quantities of time. A CHOICE with a `dimension` also takes a quantity of it.
    A GROUP has `fields` of its own. A PAIR is two of the `choices`. `aliases` are other ways to
    write a choice. `places` are the digits shown on a page; a computed value that is `per_reading`
    has one entry for each reading.

    For the page where a reading is entered: `asked_by` names the criteria for which the field
    matters, as `margin_min` or, with a value that it is or holds (in a pair, too),
    `method=replica_tape` (None: it matters always);
    `only_where` is the choice of the same reading to which the field belongs, as `part=roll`;
    `usual` is how many values a list usually has, and `usual_by` the criterion that says so.

    For the page where a plan is written: `default` is offered as a criterion's value, in the case
    format, with `default_source`. An offer binds nobody: what a plan leaves out is not judged.
    """

    name: str
    label: str
    kind: Kind = Kind.QUANTITY
    dimension: Dimension | None = None
    unit: str = ""
    us_unit: str = ""
    many: bool = False
    required: bool = False
    choices: tuple[str, ...] = ()
    labels: Mapping[str, str] | None = None
    aliases: Mapping[str, str] | None = None
    minimum: Decimal | None = None
    maximum: Decimal | None = None
    fields: tuple[Field, ...] = ()
    help: str = ""
    places: int = 1
    per_reading: bool = False
    asked_by: tuple[str, ...] | None = None
    only_where: str = ""
    usual: int = 3
    usual_by: str = ""
    default: object = None
    default_source: str = ""

    def unit_in(self, system: str) -> str:
        """The unit a form offers in the unit `system`, "metric" or "us"."""
        return self.us_unit if system == "us" and self.us_unit else self.unit

    def label_of(self, choice: str) -> str:
        """How a choice reads on a page."""
        return (self.labels or {}).get(choice, choice.replace("_", " "))

    def matters_for(self, criteria: Mapping[str, object]) -> bool:
        """Whether a reading judged by these values of criteria, by name, needs this field.

        Choices are spelled as declared, so the criteria have been parsed.
        """
        if self.required or self.asked_by is None:
            return True
        return any(_is_asked(asked, criteria) for asked in self.asked_by)


def _is_asked(asked: str, criteria: Mapping[str, object]) -> bool:
    name, _, value = asked.partition("=")
    given = criteria.get(name)
    if not value:
        return given not in (None, "", [], ())
    if not isinstance(given, list | tuple):
        return given == value
    return any(value in one if isinstance(one, tuple) else value == one for one in given)
