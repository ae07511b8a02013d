"""No characteristic takes a limit that makes no sense: the page names the field and says why."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import zip_longest

import pytest

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import ALL, CHARACTERISTICS
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension, dimension_of
from qc.engine.quantities.units import UNITS
from qc.workflow.plan_markup import markup_of, steps_marked_up
from tests.factories import planned_repair
from tests.people import People
from tests.web.entering import step_of
from tests.web.visitor import sent, signed_in

every = pytest.mark.parametrize("characteristic", ALL, ids=lambda c: c.key)

NOT_OF_ITS_KIND = {
    Kind.QUANTITY: ("thick", "1 2", "5,000", "1e3"),
    Kind.NUMBER: ("many", "1 2", "5 mm", "½"),
    Kind.INTEGER: ("many", "2.5", "-1", "3 mm"),
    Kind.CHOICE: ("no such grade", "99 furlong"),
    Kind.TEXT: ("x" * 2001,),
    Kind.BOOLEAN: ("perhaps",),
    Kind.MOMENT: ("soon", "2026-05-12", "2026-02-30T10:00"),
    Kind.DATE: ("soon", "2026-02-30"),
    Kind.TABLE: ("20 °C", "20 °C = soon", "20 = 60 min", "20 mm = 60 min", "20 °C = -5 min"),
    Kind.GROUP: ("no sign between", "a = b | No such member: 3"),
    Kind.PAIR: ("no such grade = no other", "no sign between"),
}
"""What is no value of a kind at all."""


def senseless(field: Field) -> Iterator[str]:
    """What nobody can mean by this field: no value of its kind, unit or range."""
    yield from NOT_OF_ITS_KIND[field.kind]
    if field.unit and field.kind is not Kind.TABLE:
        yield f"5 {unit_of_another_kind(dimension_of(field.unit))}"
    for bound, step in ((field.minimum, -1), (field.maximum, 1)):
        if bound is not None:
            yield f"{bound + step} {field.unit}".strip()


def unit_of_another_kind(dimension: Dimension) -> str:
    """A unit that measures something else, and is not typed like one that does not."""
    signs = {unit.symbol for unit in UNITS.values() if unit.dimension is dimension}
    return next(u.name for u in UNITS.values() if u.symbol not in signs and u.name not in signs)


class PlanPage:
    """The page of the limits of a characteristic, and what it says to what is typed."""

    def __init__(self, people: People, characteristic: Characteristic) -> None:
        self.repair = planned_repair(people, [step_of(characteristic.key)])
        self.client = signed_in(people.carl)
        key = steps_marked_up(self.repair)[0].key
        self.there = f"/repairs/{self.repair.pk}/plan/edit/steps/{key}/limits/"
        self.data = sent(self.client.get(self.there).context["form"])

    def says(self, typed: Mapping[str, str]) -> dict[str, str]:
        """By criterion, what stands at its field after `typed` was sent; nothing if it is taken."""
        limits = {f"c-{name}": text for name, text in typed.items()}
        sources = {f"s-{name}": "common practice" for name in typed}
        page = self.client.post(self.there, self.data | limits | sources)
        if page.status_code == 302:
            return {}
        errors = page.context["form"].errors
        return {name: " ".join(errors.get(f"c-{name}", ())) for name in typed}

    @property
    def editions(self) -> int:
        """How often the plan was marked up."""
        markup = markup_of(self.repair)
        return markup.edition if markup else 0


def is_sentence(said: str) -> bool:
    return len(said.split()) > 2


@every
def test_a_senseless_limit_is_refused_at_its_field_with_a_sentence(
    people: People, characteristic: Characteristic
) -> None:
    """All at once where each is seen by itself; alone where the engine sees it in the whole."""
    page = PlanPage(people, characteristic)
    before = page.editions
    columns = [[(f.name, text) for text in senseless(f)] for f in characteristic.criteria]
    for row in zip_longest(*columns):
        typed = dict(pair for pair in row if pair)
        said = page.says(typed)
        for name in [name for name in typed if not is_sentence(said.get(name, ""))]:
            alone = page.says({name: typed[name]}).get(name, "")
            assert is_sentence(alone), (name, typed[name], alone)
    assert page.editions == before


def pairs_of(characteristic: Characteristic) -> list[tuple[str, str]]:
    """The criteria of which the first may not exceed the second, declared so or named so."""
    names = [field.name for field in characteristic.criteria]
    named = [(n, f"{n[:-3]}max") for n in names if n.endswith("min")]
    return sorted({*characteristic.ordered, *(pair for pair in named if pair[1] in names)})


def above_and_below(field: Field) -> tuple[str, str]:
    """Two values that the field takes, the greater first."""
    if field.kind is Kind.TABLE:
        return "20 °C = 5 h", "20 °C = 1 h"
    if field.kind is Kind.MOMENT:
        return "2026-05-12T10:00", "2026-05-12T09:00"
    least = max(field.minimum or Decimal(0), Decimal(1))
    return f"{least + 2} {field.unit}".strip(), f"{least + 1} {field.unit}".strip()


PAIRS = [(c, low, high) for c in ALL for low, high in pairs_of(c)]


@pytest.mark.parametrize(
    ("characteristic", "low", "high"), PAIRS, ids=[f"{c.key}-{low}" for c, low, _ in PAIRS]
)
def test_a_minimum_above_its_maximum_is_refused_and_both_are_named(
    people: People, characteristic: Characteristic, low: str, high: str
) -> None:
    fields = {field.name: field for field in characteristic.criteria}
    more, less = above_and_below(fields[low])
    page = PlanPage(people, characteristic)
    page.data |= {f"c-{name}": "" for name, field in fields.items() if not field.required}
    before = page.editions
    said = page.says({low: more, high: less})
    assert is_sentence(said[low])
    assert fields[high].label in said[low]
    assert page.editions == before
    assert page.says({low: less, high: more}) == {}


@pytest.mark.parametrize(
    ("key", "typed", "at"),
    [
        ("thickness", {"max": "9 mm", "zones": "over the leak = 12 mm"}, "zones"),
        ("visual", {"items": "Pad = dry | Least: 9 mm | Most: 5 mm"}, "items"),
        ("cleanliness", {"required": "Sa 3", "equivalents": "Sa 3 = Sa 2"}, "equivalents"),
        ("cure", {"table": "20 °C = 1 h\n30 °C = 5 h"}, "table"),
        ("mixing", {"pot_life": "20 °C = 10 min\n30 °C = 50 min"}, "pot_life"),
        ("mixing", {"ratio": "two to one"}, "ratio"),
        ("mixing", {"batch_max": "3 mm"}, "batch_max"),
        ("mixing", {"batch_max": "1 kg", "kit_amount": "1 l"}, "kit_amount"),
        ("thickness", {"rule": "iso19840", "nominal": "300 um", "min": "301 um"}, "min"),
        ("profile", {"method": "stylus", "standard": "iso8503-5"}, "standard"),
        ("wrap", {"diameter": "100 mm", "wall": "51 mm"}, "wall"),
        ("hardness", {"scale": "pencil", "min": "70"}, "min"),
        ("continuity", {"method": "low_voltage", "voltage": "9 kV"}, "voltage"),
        (
            "pressure_test",
            {"design_pressure": "10 bar", "pressure_max": "5 bar"},
            "design_pressure",
        ),
    ],
)
def test_limits_that_contradict_each_other_are_refused_at_the_field(
    people: People, key: str, typed: dict[str, str], at: str
) -> None:
    page = PlanPage(people, CHARACTERISTICS[key])
    before = page.editions
    assert is_sentence(page.says(typed)[at])
    assert page.editions == before
