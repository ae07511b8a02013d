"""The request for a proposal as JSON: one object in, one proposal out."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from qc.engine.fields import Field, InvalidValue, Kind, Values, parse_fields
from qc.engine.quantities import Dimension
from qc.engine.rules import counted
from qc.engine.sampling.demand import Demand, Rule, demand
from qc.engine.sampling.proposal import propose
from qc.engine.sampling.strata import NoRoom
from qc.engine.sampling.surface import Surface, pipe


def _length(name: str, label: str, help: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="mm",
        us_unit="in",
        minimum=Decimal(10),
        maximum=Decimal(10_000_000),
        help=help,
    )


FIELDS = (
    Field(
        name="rule",
        label="Rule for the number",
        kind=Kind.CHOICE,
        choices=tuple(Rule),
        aliases={"90/10": "90-10", "SSPC-PA 2": "pa2"},
        required=True,
    ),
    Field(
        name="seed",
        label="Seed",
        kind=Kind.TEXT,
        required=True,
        help="such as repair and step; the same seed proposes the same places",
    ),
    _length("length", "Length", "of the rectangle, or along the pipe"),
    _length("breadth", "Breadth", "of the rectangle"),
    _length("diameter", "Outside diameter", "of the pipe"),
    Field(
        name="places_min",
        label="Places, at least",
        kind=Kind.INTEGER,
        minimum=Decimal(1),
        maximum=Decimal(1000),
        help="where the plan asks for more than the rule",
    ),
    replace(_length("spacing", "Least distance between places"), minimum=Decimal(0)),
    Field(
        name="one_each",
        label="One place for each",
        dimension=Dimension.AREA,
        unit="m2",
        us_unit="ft2",
        minimum=Decimal("0.001"),
        help="for the rule one_each",
    ),
)


def propose_case(raw: Any, path: str = "sampling") -> dict[str, Any]:
    """The proposal for a request, as JSON types. InvalidValue names the field that is wrong."""
    request = parse_fields(FIELDS, raw, path)
    surface = _surface(request, path)
    wanted = _demand(request, surface, path)
    try:
        proposal = propose(wanted, surface, request.text("seed"), request.quantity("spacing"))
    except NoRoom as reason:
        raise InvalidValue(path, str(reason)) from None
    return proposal.as_case()


def _surface(request: Values, path: str) -> Surface:
    length, breadth, diameter = (request.quantity(n) for n in ("length", "breadth", "diameter"))
    if length is None:
        raise InvalidValue(f"{path}.length", "is required")
    if breadth is not None and diameter is None:
        return Surface(length, breadth)
    if diameter is not None and breadth is None:
        return pipe(length, diameter)
    raise InvalidValue(path, "give either breadth, of a rectangle, or diameter, of a pipe")


def _demand(request: Values, surface: Surface, path: str) -> Demand:
    rule, one_each = Rule(request.text("rule")), request.quantity("one_each")
    if (rule is Rule.ONE_EACH) is (one_each is None):
        raise InvalidValue(f"{path}.one_each", "belongs to the rule one_each, and only there")
    wanted, least = demand(rule, surface.area, one_each), request.integer("places_min")
    if wanted.places >= least:
        return wanted
    if wanted.areas:
        each = wanted.places // wanted.areas
        areas = -(-least // each)
        return replace(wanted, places=areas * each, areas=areas)
    return replace(wanted, places=least, source=f"{counted(least, 'place')}, as asked")
