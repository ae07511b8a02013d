"""The page that proposes where to measure a step."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.urls import reverse

from qc.engine.formulas.circle import circumference
from qc.engine.quantities import Quantity, decimal_text, shown, symbol_of
from qc.engine.sampling import Rule
from qc.engine.wording import quantity_text
from qc.records.models import PlanStep
from qc.web.forms.where import FLAT, RULE_WORDS, WhereForm, rules_of
from qc.web.loading import RepairInHand
from qc.web.pages.places import crumbs, party_line, step_url

_ROUGHLY = 3


def where_url(hand: RepairInHand, step: PlanStep) -> str:
    """The address of the page; "" where a step is not read at places."""
    if rules_of(step) is None:
        return ""
    return reverse("where_to_measure", args=[hand.repair.pk, step.position])


def where_page(hand: RepairInHand, step: PlanStep, form: WhereForm) -> dict[str, Any]:
    """Everything the template writes."""
    further = (f"Step {step.position}", step_url(hand, step.position)), ("Where to measure", "")
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "step": step,
        "crumbs": crumbs(hand, *further),
        "step_url": step_url(hand, step.position),
        "cautions": [*step.cautions, *step.checks.cautions],
        "counted": _counted(step, form.rules.stated),
        "form": form,
        "proposal": _proposal(step, form) if form.answer else None,
    }


def _counted(step: PlanStep, stated: Rule | None) -> str:
    """What the number of places follows from, where the inspector has no choice of rule."""
    if stated is None:
        return ""
    if stated is Rule.ONE_EACH:
        name = step.checks.title.lower()
        return f"No rule known here counts places of {name} by area: say how large an area has one."
    return f"Rule for the number, by what the plan asks: {RULE_WORDS[stated]}."


def _proposal(step: PlanStep, form: WhereForm) -> dict[str, Any]:
    """What was proposed, in the unit in which the length was typed."""
    found, given = form.answer or {}, form.given()
    sides = _sides(given)
    unit, is_pipe = sides[0].unit, given["surface"] != FLAT
    places = [_place(place, unit) for place in found["places"]]
    return {
        "facts": _facts(found, sides, is_pipe),
        "source": found["source"],
        "rule": RULE_WORDS[form.rules.stated or given["rule"]],
        "notes": [*found["notes"], *_area_note(step, found["area"])],
        "seed": found["seed"],
        "is_pipe": is_pipe,
        "has_areas": any("area" in place for place in found["places"]),
        "unit": symbol_of(unit),
        "places": places,
        "picture": {
            "length": _figure(sides[0]),
            "breadth": _figure(sides[1]),
            "unit": symbol_of(unit),
            "is_pipe": is_pipe,
            "places": places,
        },
    }


def _sides(given: Mapping[str, Any]) -> tuple[Quantity, Quantity]:
    """Length and breadth, or girth, both in the unit of the length."""
    length = Quantity.parse(given["length"])
    if given["surface"] == FLAT:
        return length, Quantity.parse(given["breadth"]).to(length.unit)
    return length, circumference(Quantity.parse(given["diameter"])).to(length.unit)


def _figure(side: Quantity) -> str:
    return decimal_text(Fraction(side.magnitude), 2)


def _place(place: Mapping[str, Any], unit: str) -> dict[str, Any]:
    """A place of the engine's in plain figures of `unit`: its grid is exact in each."""
    distances = {
        name: decimal_text(Quantity.parse(place[name]).to(unit).magnitude)
        for name in ("along", "across")
    }
    return {**place, **distances}


def _facts(
    found: Mapping[str, Any], sides: tuple[Quantity, Quantity], is_pipe: bool
) -> list[dict[str, str]]:
    area, count, each = _area(found["area"]), len(found["places"]), found["readings_each"]
    unit = symbol_of(sides[0].unit)
    across = f"{_figure(sides[1])} {unit} {'round' if is_pipe else 'across'}"
    facts = [
        {"label": "Places", "value": str(count)},
        {"label": "Readings at each", "value": str(each) if each > 1 else ""},
        {"label": "Readings", "value": str(each * count) if each > 1 else ""},
        {"label": "Surface", "value": area, "note": f"{_figure(sides[0])} {unit} by {across}"},
    ]
    return [fact for fact in facts if fact["value"]]


def _area(stored: str) -> str:
    area = Quantity.parse(stored)
    figure = Decimal(shown(area.magnitude, _ROUGHLY)).normalize()
    return f"{figure:f} {symbol_of(area.unit)}"


def _area_note(step: PlanStep, area: str) -> list[str]:
    """The plan's own area counts when the readings are judged, whatever was typed here."""
    stated = step.criteria.get("area")
    if not stated or Quantity.parse(stated) == Quantity.parse(area):
        return []
    return [
        f"the plan states an area of {quantity_text(stated)}, and the number of readings is "
        f"judged by that; the sides given here make {_area(area)}"
    ]
