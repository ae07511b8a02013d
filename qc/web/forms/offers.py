"""Values offered to whoever writes a plan: those of data sheets, and those declared."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from qc.engine.fields import Field
from qc.engine.wording import value_text
from qc.records.data_sheets import figures_for
from qc.records.models import DataSheet
from qc.records.templates import StepTemplate
from qc.web.forms.entries import Entry

EVERY_OFFER = "*"
"""What is sent to take over all that is offered at once."""


@dataclass(frozen=True)
class Offer:
    """A value offered for a criterion: as it is typed, as it reads, and where it comes from.

    `key` is what is sent to take it over; `of_sheet` is True for that of a data sheet.
    """

    key: str
    typed: str
    text: str
    source: str
    of_sheet: bool


def is_offered(criterion: Field, step: StepTemplate, sheets: Sequence[DataSheet]) -> bool:
    """Whether something is offered for a criterion that the step does not state."""
    return criterion.name not in step.criteria and any(_values(criterion, step, sheets))


def offers_of(
    criterion: Field, entry: Entry, step: StepTemplate, sheets: Sequence[DataSheet], zone: ZoneInfo
) -> list[Offer]:
    """What is offered for a criterion, the figures of data sheets first.

    Where the step states a limit, only what a data sheet says instead.
    """
    stated = step.criteria.get(criterion.name)
    found = [
        (value, source, of_sheet)
        for value, source, of_sheet in _values(criterion, step, sheets)
        if stated in (None, "", []) or (of_sheet and value != stated)
    ]
    return [
        Offer(
            key=f"{criterion.name}.{number}" if number else criterion.name,
            typed=str(entry.entered(value)),
            text=value_text(criterion, value, zone),
            source=source,
            of_sheet=of_sheet,
        )
        for number, (value, source, of_sheet) in enumerate(found)
    ]


def _values(
    criterion: Field, step: StepTemplate, sheets: Sequence[DataSheet]
) -> Iterator[tuple[Any, str, bool]]:
    for value, source in figures_for(sheets, step.characteristic, criterion.name):
        yield value, source, True
    if criterion.default is not None:
        yield criterion.default, criterion.default_source, False


def taken_over(offers: Mapping[str, Sequence[Offer]], asked: str) -> Iterator[tuple[str, Offer]]:
    """The offers that `asked` names; all at once leave out what two data sheets differ on."""
    for name, held in offers.items():
        for offer in held:
            if offer.key == asked:
                yield name, offer
        if asked == EVERY_OFFER and len([o for o in held if o.of_sheet]) < 2:
            yield from ((name, offer) for offer in held[:1])
