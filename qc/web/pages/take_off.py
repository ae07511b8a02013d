"""The page of take-offs: what to bring for a repair, an estimate and no part of its record."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import Field
from qc.engine.quantities import Quantity, shown, symbol_of
from qc.engine.wording import value_text
from qc.web.forms.take_off import ESTIMATES, TakeOffForm
from qc.web.loading import RepairInHand
from qc.web.pages.places import crumbs, party_line

OF = "of"
"""In the address, the estimate that is asked for."""

_METRIC_TO_US = {"um": "mil", "mm": "in", "m": "ft", "l": "gal", "kg": "lb"}
_SWAPPED = {"us": _METRIC_TO_US, "metric": {us: unit for unit, us in _METRIC_TO_US.items()}}
_MOST_PLACES = 6
_MIXING = CHARACTERISTICS["mixing"].cautions
_TO_MIX = ("mass", "volume")
"""Results that are an amount to mix, the one that is weighed out first."""


def take_off_page(hand: RepairInHand, form: TakeOffForm) -> dict[str, Any]:
    """Everything the template writes."""
    here = reverse("take_off", args=[hand.repair.pk])
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Take-off", "")),
        "estimate": form.estimate,
        "estimates": [
            {
                "title": each.title,
                "url": f"{here}?{urlencode({OF: each.key})}",
                "is_current": each is form.estimate,
            }
            for each in ESTIMATES.values()
        ],
        "form": form,
        "cautions": _MIXING if form.estimate.key == "mixes" else (),
        "found": _found(hand, form, here) if form.answer else None,
    }


def _found(hand: RepairInHand, form: TakeOffForm, here: str) -> dict[str, Any]:
    answer = form.answer or {}
    results = answer["results"]
    return {
        "results": list(_results(form.estimate.of.results, results, hand.repair.units)),
        "given": [
            {"term": field.label, "definition": value_text(field, given, hand.zone)}
            for field in form.declared
            if (given := form.given().get(field.name)) is not None
        ],
        "basis": answer["basis"],
        "caution": answer["caution"],
        "mixes_url": _mixes_url(results, here),
    }


def _results(
    fields: tuple[Field, ...], results: Mapping[str, Any], units: str
) -> Iterator[dict[str, str]]:
    for field in fields:
        value = results[field.name]
        if isinstance(value, bool):
            yield {"label": field.label, "figure": "yes" if value else "no", "unit": ""}
        elif isinstance(value, int):
            yield {"label": field.label, "figure": str(value), "unit": ""}
        elif value is not None:
            yield {"label": field.label, **_figure(Quantity.parse(value), field, units)}


def _figure(quantity: Quantity, field: Field, units: str) -> dict[str, str]:
    """In the units of the repair, whichever were typed; a small one with three digits or more."""
    found = quantity.to(_SWAPPED[units].get(quantity.unit, quantity.unit))
    places = range(field.places, _MOST_PLACES)
    enough = (n for n in places if abs(Fraction(found.magnitude)) >= Fraction(10) ** (2 - n))
    figure = Decimal(shown(found.magnitude, next(enough, _MOST_PLACES))).normalize()
    return {"figure": f"{figure:f}", "unit": symbol_of(found.unit)}


def _mixes_url(results: Mapping[str, Any], here: str) -> str:
    """On to the mixes of what was reckoned; "" where it is no amount to mix."""
    amount = next((results[name] for name in _TO_MIX if results.get(name)), None)
    return f"{here}?{urlencode({OF: 'mixes', 'amount': amount})}" if amount else ""
