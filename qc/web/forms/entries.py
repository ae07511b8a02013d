"""A form field for each kind of declared field: text in, the case format's value out.

`clean` returns what the case format stores, or None where nothing was entered; whether something
had to be entered is decided by the row the field stands in, since empty rows are left out.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from qc.engine.fields import Field, InvalidValue, Kind, parse_fields
from qc.engine.quantities import symbol_of
from qc.engine.wording import unit_beside
from qc.web.forms.boxes import Boxes
from qc.web.forms.figures import Typed, Unclear, figure_in, figures_in
from qc.web.templatetags.parts import printed

MOST_TILES = 6
"""A choice of more than these is a list to pick from."""

MOST_BOXES = 30
"""More figures than these are entered several in a box."""


@dataclass(frozen=True, kw_only=True)
class Setting:
    """What a reading is entered under: criteria, their fields, units, the clock of the site."""

    units: str
    zone: tzinfo
    criteria_fields: Sequence[Field]
    criteria: Mapping[str, Any]

    def unit_of(self, field: Field) -> str:
        """The unit printed beside `field`: that of a criterion of its kind, else the project's."""
        return unit_beside(field, self.criteria_fields, self.criteria, self.units)

    def boxes_for(self, field: Field) -> int:
        """How many values of a list there is room for at first."""
        asked = str(self.criteria.get(field.usual_by, ""))
        return min(int(asked), MOST_BOXES) if asked.isdigit() and int(asked) else field.usual


class Entry(forms.Field):
    """A form field for one declared field. `row_title` says of which reading, where of several."""

    row_title = ""

    def __init__(self, field: Field, widget: forms.Widget) -> None:
        help_text = printed(field.help)
        super().__init__(
            required=field.required,
            label=field.label,
            help_text=help_text[:1].upper() + help_text[1:],
            widget=widget,
        )
        self.declared = field

    def clean(self, value: Any) -> Any:
        """What the case format stores for what was entered; None for nothing."""
        if self.is_blank(value):
            return None
        try:
            return self.checked(self.stored(value))
        except (InvalidValue, Unclear) as refusal:
            problem = refusal.problem if isinstance(refusal, InvalidValue) else str(refusal)
            raise ValidationError(printed(problem)) from None

    def is_blank(self, value: Any) -> bool:
        """True where nothing was entered."""
        return not (value.strip() if isinstance(value, str) else value)

    def stored(self, value: Any) -> Any:
        """The value in the case format."""
        return value.strip()

    def checked(self, stored: Any) -> Any:
        """`stored`, if the engine takes it; InvalidValue else."""
        parse_fields([replace(self.declared, required=False)], {self.declared.name: stored}, "")
        return stored

    def typed(self, value: Any) -> Any:
        """What was entered, as the record keeps it beside the value."""
        return value.strip() if isinstance(value, str) else value

    def entered(self, stored: Any) -> Any:
        """What one would enter for a stored value: what a correction starts from."""
        return stored


class FigureEntry(Entry):
    """A number or a quantity."""

    def __init__(self, field: Field, setting: Setting) -> None:
        self.unit_name = setting.unit_of(field) if field.kind is Kind.QUANTITY else ""
        super().__init__(field, self._widget(field, setting))

    def _widget(self, field: Field, setting: Setting) -> forms.Widget:
        return forms.TextInput(_figure_attributes(field, self.unit_name))

    def stored(self, value: Any) -> Any:
        return self._written(figure_in(value, self.declared.dimension, self.unit_name))

    def _written(self, figure: Typed) -> str:
        return f"{figure.digits} {figure.unit or self.unit_name}".strip()

    def entered(self, stored: Any) -> Any:
        own = f" {self.unit_name}"
        is_own = self.unit_name and stored.endswith(own)
        return stored.removesuffix(own) if is_own else printed(stored)


class FiguresEntry(FigureEntry):
    """A list of numbers or quantities: a box for each, and any box takes several."""

    def _widget(self, field: Field, setting: Setting) -> forms.Widget:
        return Boxes(
            field.label, setting.boxes_for(field), _figure_attributes(field, self.unit_name)
        )

    def is_blank(self, value: Any) -> bool:
        return not self.typed(value)

    def stored(self, value: Any) -> Any:
        dimension, unit = self.declared.dimension, self.unit_name
        found = (figures_in(text, dimension, unit) for text in self.typed(value))
        return [self._written(figure) for box in found for figure in box]

    def typed(self, value: Any) -> Any:
        return [text.strip() for text in value or () if text.strip()]

    def entered(self, stored: Any) -> Any:
        items = stored if isinstance(stored, list) else [stored]
        return [super(FiguresEntry, self).entered(item) for item in items]


def _figure_attributes(field: Field, unit: str) -> dict[str, str]:
    attributes = {"autocomplete": "off"}
    if unit:
        attributes["data-unit"] = symbol_of(unit)
    if _may_be_negative(field):
        return {**attributes, "data-signed": ""}
    return {**attributes, "inputmode": "numeric" if field.kind is Kind.INTEGER else "decimal"}


def _may_be_negative(field: Field) -> bool:
    if field.minimum is not None:
        return field.minimum < 0
    return field.dimension is not None or field.kind is not Kind.QUANTITY


class TextEntry(Entry):
    """A line of text."""

    def __init__(self, field: Field, setting: Setting) -> None:
        super().__init__(field, forms.TextInput())


class ChoiceEntry(Entry):
    """One of several: tiles while they are few, else a list."""

    def __init__(self, field: Field, setting: Setting) -> None:
        choices = [(choice, field.label_of(choice)) for choice in field.choices]
        if field.required and len(choices) <= MOST_TILES:
            super().__init__(field, forms.RadioSelect(choices=choices))
        else:
            blank = "Choose" if field.required else "Not recorded"
            super().__init__(field, forms.Select(choices=[("", blank), *choices]))

    def entered(self, stored: Any) -> Any:
        parsed = parse_fields([self.declared], {self.declared.name: stored}, "")
        return parsed.text(self.declared.name)


class ChoicesEntry(Entry):
    """Several choices in an order of their own, written one after the other."""

    def __init__(self, field: Field, setting: Setting) -> None:
        super().__init__(field, forms.TextInput(attrs={"data-figure": ""}))
        aliases = {choice: alias for alias, choice in (field.aliases or {}).items()}
        written = [aliases.get(choice, choice) for choice in field.choices]
        self.help_text = f"In the order of the readings, with spaces between: {', '.join(written)}"

    def stored(self, value: str) -> list[str]:
        return [word for word in re.split(r"[\s;,]+", value) if word]

    def entered(self, stored: Any) -> str:
        return " ".join(stored if isinstance(stored, list) else [stored])


class YesNoEntry(Entry):
    """Yes or no, without a default."""

    def __init__(self, field: Field, setting: Setting) -> None:
        blank = [] if field.required else [("", "Not recorded")]
        choices = [("yes", "Yes"), ("no", "No"), *blank]
        super().__init__(field, forms.RadioSelect(choices=choices))

    def stored(self, value: str) -> bool:
        if value not in ("yes", "no"):
            raise Unclear("Choose yes or no")
        return value == "yes"

    def entered(self, stored: Any) -> str:
        return "yes" if stored else "no"


class MomentEntry(Entry):
    """Day and time by the clock of the site."""

    def __init__(self, field: Field, setting: Setting) -> None:
        widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        super().__init__(field, widget)
        self.zone = setting.zone

    def stored(self, value: str) -> str:
        try:
            local = datetime.fromisoformat(value.strip())
        except ValueError:
            raise Unclear(f"{value.strip()[:40]} is not a day and time: {_EXAMPLE}") from None
        if len(value.strip()) <= len("2026-05-12"):
            raise Unclear(f"{value.strip()} has no time: {_EXAMPLE}")
        zoned = local if local.tzinfo else local.replace(tzinfo=self.zone)
        return zoned.isoformat(timespec="minutes" if not zoned.second else "seconds")

    def entered(self, stored: Any) -> datetime:
        return datetime.fromisoformat(stored).astimezone(self.zone).replace(tzinfo=None)


_EXAMPLE = "type it as 2026-05-12 09:30"


class DayEntry(Entry):
    """A calendar day."""

    def __init__(self, field: Field, setting: Setting) -> None:
        super().__init__(field, forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))

    def stored(self, value: str) -> str:
        try:
            return date.fromisoformat(value.strip()).isoformat()
        except ValueError:
            raise Unclear(f"{value.strip()[:40]} is not a day: type it as 2026-05-12") from None


def entry_for(field: Field, setting: Setting) -> Entry:
    """The form field for a declared field that holds values of its own (not a group).

    A field that is `required` is marked so; whether it was left out is for its row to say.
    Raises LookupError for a kind that no reading has: pairs and tables belong to criteria.
    """
    kinds = _LISTS if field.many else _SINGLES
    if field.kind not in kinds:
        many = "list of " if field.many else ""
        raise LookupError(f"{field.name}: a {many}{field.kind} cannot be entered as a reading")
    return kinds[field.kind](field, setting)


_SINGLES: Mapping[Kind, Callable[[Field, Setting], Entry]] = {
    Kind.QUANTITY: FigureEntry,
    Kind.NUMBER: FigureEntry,
    Kind.INTEGER: FigureEntry,
    Kind.CHOICE: ChoiceEntry,
    Kind.TEXT: TextEntry,
    Kind.BOOLEAN: YesNoEntry,
    Kind.MOMENT: MomentEntry,
    Kind.DATE: DayEntry,
}
_LISTS: Mapping[Kind, Callable[[Field, Setting], Entry]] = {
    Kind.QUANTITY: FiguresEntry,
    Kind.NUMBER: FiguresEntry,
    Kind.INTEGER: FiguresEntry,
    Kind.CHOICE: ChoicesEntry,
}
