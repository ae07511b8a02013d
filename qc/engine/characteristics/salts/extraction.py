"""One test: what it gives, why it may be void, and what it lacks."""

from dataclasses import dataclass
from decimal import Decimal

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.salts.criteria import constant_of
from qc.engine.fields import Values
from qc.engine.formulas.soluble_salts import as_sodium_chloride, rise_for, surface_density
from qc.engine.formulas.statistics import difference
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, counted

_ONE = Quantity(Decimal(1), "uS/cm")
_VALIDITY = (
    ("blank_max", "blank", "the conductivity of the blank", Bound.AT_MOST),
    ("contact_min", "contact", "the time of contact", Bound.AT_LEAST),
)


@dataclass(frozen=True)
class Extraction:
    """A test by its number in the record. What it does not give is None.

    `void` says why the test does not count, `problem` what is missing or impossible.
    """

    number: int
    reading: Values
    rise: Quantity | None
    density: Quantity | None
    factor: Quantity | None
    rise_at_limit: Quantity | None
    void: str
    problem: str

    @property
    def chloride(self) -> Quantity | None:
        """The chloride found by an ion-specific test."""
        return self.reading.quantity("chloride")

    @property
    def chloride_as_nacl(self) -> Quantity | None:
        """The sodium chloride that holds so much chloride, for the reader: nothing judges it."""
        return as_sodium_chloride(self.chloride) if self.chloride else None

    @property
    def name(self) -> str:
        """What the test is called."""
        return f"reading {self.number}"


def extraction(criteria: Criteria, number: int, reading: Values) -> Extraction:
    """The test of `reading`, judged by nothing yet."""
    rise, cell = _rise(criteria, reading), _cell(criteria, reading)
    most = criteria.quantity("max")
    return Extraction(
        number=number,
        reading=reading,
        rise=rise,
        density=surface_density(*cell, rise) if cell and rise else None,
        factor=surface_density(*cell, _ONE) if cell else None,
        rise_at_limit=rise_for(*cell, most) if cell and most else None,
        void=_void(criteria, reading),
        problem=_problem(criteria, reading),
    )


def _rise(criteria: Criteria, reading: Values) -> Quantity | None:
    after, blank = reading.quantity("conductivity"), reading.quantity("blank")
    if after is None or criteria.flag("subtract_blank") is False:
        return after
    return difference(after, blank) if blank and blank <= after else None


def _cell(criteria: Criteria, reading: Values) -> tuple[Decimal, Quantity, Quantity] | None:
    """(constant, volume, patch area), what the reading states before what the plan does."""
    constant = constant_of(criteria)
    volume = reading.quantity("volume") or criteria.quantity("volume")
    patch = reading.quantity("patch_area") or criteria.quantity("patch_area")
    return (constant[0], volume, patch) if constant and volume and patch else None


def _void(criteria: Criteria, reading: Values) -> str:
    """Why the test has to be taken again; "" if it counts."""
    if reading.flag("solution_lost"):
        return "water was lost"
    for criterion, name, label, bound in _VALIDITY:
        limit, given = criteria.quantity(criterion), reading.quantity(name)
        if limit is None or given is None:
            continue
        if (given < limit) if bound.is_lower else (given > limit):
            return f"{label}, {given.printed}, is not {bound} {limit.printed}"
    cycles = criteria.integer("pump_cycles_min")
    if "pump_cycles" in reading and reading.integer("pump_cycles") < cycles:
        return f"moved to and fro {reading.integer('pump_cycles')} of {counted(cycles, 'time')}"
    return ""


def _problem(criteria: Criteria, reading: Values) -> str:
    """What keeps the test from being judged by what the plan asks; "" if nothing does."""
    if "conductivity" not in reading and "chloride" not in reading:
        return "neither conductivity nor chloride is recorded"
    return _unrecorded(criteria, reading) or _no_density(criteria, reading)


def _unrecorded(criteria: Criteria, reading: Values) -> str:
    for criterion, name, label, _ in _VALIDITY:
        if criterion in criteria and name not in reading:
            return f"{label} is not recorded"
    if "pump_cycles_min" in criteria and "pump_cycles" not in reading:
        return "how often the water was moved to and fro is not recorded"
    return ""


def _no_density(criteria: Criteria, reading: Values) -> str:
    after, blank = reading.quantity("conductivity"), reading.quantity("blank")
    if after is None or not ("max" in criteria or "conductivity_max" in criteria):
        return ""
    if criteria.flag("subtract_blank") is not False:
        if blank is None:
            return "the conductivity of the blank is not recorded"
        if blank > after:
            return f"the conductivity, {after.printed}, is below that of the blank, {blank.printed}"
    if "max" in criteria and _cell(criteria, reading) is None:
        return "volume of water and area of the patch are not both stated"
    return ""
