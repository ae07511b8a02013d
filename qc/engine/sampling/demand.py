"""How many places a rule asks for on an area, and how many readings at each."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil

from qc.engine.characteristics.thickness.sampling import (
    iso19840_readings,
    iso19840_too_large,
    ninety_ten_readings,
    pa2_areas,
)
from qc.engine.quantities import Quantity
from qc.engine.standards.places_by_area import Prepared, places_by_area
from qc.engine.standards.tables import load_tables

_THICKNESS = load_tables("qc.engine.characteristics.thickness")


class Rule(StrEnum):
    """Where the number comes from. The characteristic that judges asks the same function."""

    ISO19840 = "iso19840"
    PA2 = "pa2"
    NINETY_TEN = "90-10"
    PROFILE = "profile"
    COMPARATOR = "comparator"
    SALTS = "salts"
    ONE_EACH = "one_each"


@dataclass(frozen=True, kw_only=True)
class Demand:
    """`places`, of which `areas` inspection areas hold equally many where the rule has them."""

    places: int
    source: str
    readings_each: int = 1
    areas: int = 0
    area_size: Quantity | None = None
    notes: tuple[str, ...] = ()


def demand(rule: Rule, area: Quantity, one_each: Quantity | None = None) -> Demand:
    """What `rule` asks for on `area`, above zero; the unit of `area` chooses the round figures.

    `one_each` is the area that Rule.ONE_EACH has one place on. ValueError where it is missing.
    """
    if rule is not Rule.ONE_EACH:
        return _DEMANDS[rule](area)
    if one_each is None:
        raise ValueError("the rule one_each needs the area that has one place")
    share = Fraction(area.magnitude_in("m2")) / Fraction(one_each.magnitude_in("m2"))
    return Demand(places=max(1, ceil(share)), source=f"one place for each {one_each}, as asked")


def _iso19840(area: Quantity) -> Demand:
    too_large = "above 1000 m² the surface is divided into several inspection areas"
    return Demand(
        places=iso19840_readings(area),
        source=_THICKNESS["iso19840"]["readings"]["source"],
        notes=(too_large,) if iso19840_too_large(area) else (),
    )


def _pa2(area: Quantity) -> Demand:
    table = _THICKNESS["pa2"]
    system = table["areas"]["us" if area.unit == "ft2" else "metric"]
    areas = pa2_areas(area)
    return Demand(
        places=areas * int(table["spots_per_area"]),
        readings_each=int(table["readings_per_spot"]),
        areas=areas,
        area_size=Quantity.parse(f"{system['one_each']} {system['unit']}"),
        source=table["source"],
    )


def _ninety_ten(area: Quantity) -> Demand:
    return Demand(
        places=ninety_ten_readings(area),
        source=_THICKNESS["ninety_ten"]["readings_source"],
        notes=("readings along edges, welds and stiffeners come on top",),
    )


def _profile(area: Quantity) -> Demand:
    return Demand(
        places=places_by_area(Prepared.PROFILE, area),
        source=Prepared.PROFILE.source,
        notes=("how many readings are taken at each place is the method's and the plan's",),
    )


def _comparator(area: Quantity) -> Demand:
    source = f"{Prepared.PROFILE.source}; one judgement at each, common practice"
    return Demand(places=places_by_area(Prepared.PROFILE, area), source=source)


def _salts(area: Quantity) -> Demand:
    return Demand(
        places=places_by_area(Prepared.SALTS, area),
        source=Prepared.SALTS.source,
        notes=("welds, pits and rusted places are prepared on top, or in place of these",),
    )


_DEMANDS: Mapping[Rule, Callable[[Quantity], Demand]] = {
    Rule.ISO19840: _iso19840,
    Rule.PA2: _pa2,
    Rule.NINETY_TEN: _ninety_ten,
    Rule.PROFILE: _profile,
    Rule.COMPARATOR: _comparator,
    Rule.SALTS: _salts,
}
