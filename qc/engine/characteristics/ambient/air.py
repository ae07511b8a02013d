"""What each reading says of the air and the steel, or why it says nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from qc.engine.fields import Values
from qc.engine.formulas.psychrometer import standard_pressure
from qc.engine.formulas.psychrometrics import (
    Formula,
    ImpossibleAir,
    MoistAir,
    air_from_humidity,
    air_from_wet_bulb,
)
from qc.engine.quantities import Quantity

ICE_POINT = Quantity(Decimal(0), "degC")


class _Missing(Exception):
    """An input that the air needs was not given; the message says which."""


@dataclass(frozen=True, kw_only=True)
class Convention:
    """By which formula, and whether the frost point counts where it is the higher."""

    formula: Formula = Formula.WMO_2008
    frost_counts: bool = True


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One reading with what follows from it: `number` counts from 1.

    `point` is the temperature, exact in degC, at which steel takes on dew or frost. `impossible`
    says why the reading is a data error; `missing` what it lacks for a dew point.
    """

    number: int
    given: Values
    air: MoistAir | None = None
    point: Fraction | None = None
    impossible: str = ""
    missing: str = ""

    @cached_property
    def coldest(self) -> Quantity | None:
        """The coldest spot of the steel."""
        return min(self.given.quantities("steel"), default=None)

    @cached_property
    def warmest(self) -> Quantity | None:
        """The warmest spot of the steel."""
        return max(self.given.quantities("steel"), default=None)

    @property
    def humidity(self) -> Quantity | None:
        """Relative humidity as read, or as the wet bulb gives it."""
        if self.air is None:
            return None
        return self.given.quantity("humidity") or Quantity(exact(self.air.humidity), "%")

    @cached_property
    def margin(self) -> Quantity | None:
        """Coldest steel less the dew or frost point that counts, unrounded."""
        if self.point is None or self.coldest is None:
            return None
        return Quantity(Fraction(self.coldest.magnitude_in("degC")) - self.point, "delta_degC")

    @property
    def by_frost(self) -> bool:
        """True where the margin is taken from the frost point."""
        return self.air is not None and self.point != _exact_dew_point(self.given, self.air)


def read_air(readings: Sequence[Values], convention: Convention) -> tuple[Reading, ...]:
    """Every reading with its dew point, in the given order."""
    return tuple(_read(n, given, convention) for n, given in enumerate(readings, start=1))


def _read(number: int, given: Values, convention: Convention) -> Reading:
    try:
        air = _air(given, convention.formula)
    except ImpossibleAir as reason:
        return Reading(number=number, given=given, impossible=str(reason))
    except _Missing as reason:
        return Reading(number=number, given=given, missing=str(reason))
    return Reading(number=number, given=given, air=air, point=_point(given, air, convention))


def _point(given: Values, air: MoistAir, convention: Convention) -> Fraction:
    dew = _exact_dew_point(given, air)
    if air.frost_point is None or not convention.frost_counts:
        return dew
    return max(dew, Fraction(exact(air.frost_point)))


def _exact_dew_point(given: Values, air: MoistAir) -> Fraction:
    """Exactly the air temperature where that is the dew point, so that a limit can be met."""
    dry = given.quantity("air")
    if dry is not None and air.dew_point == celsius(dry):
        return Fraction(dry.magnitude_in("degC"))
    return Fraction(exact(air.dew_point))


def _air(given: Values, formula: Formula) -> MoistAir:
    dry, humidity, wet = (given.quantity(name) for name in ("air", "humidity", "wet_bulb"))
    if humidity is not None and humidity > Quantity(Decimal(100), "%"):
        raise ImpossibleAir("the relative humidity is above 100 %")
    if humidity is not None and wet is not None:
        raise ImpossibleAir("both humidity and wet bulb are given; give one, or two readings")
    if dry is None:
        raise _Missing("the air temperature")
    if humidity is not None:
        return air_from_humidity(formula, celsius(dry), float(humidity.magnitude_in("%")))
    return air_from_wet_bulb(formula, *bulbs(given))


def bulbs(given: Values) -> tuple[float, float, float, bool]:
    """Dry bulb, wet bulb, pressure and ice of a psychrometer reading, as the formulas take them."""
    dry, wet = given.quantity("air"), given.quantity("wet_bulb")
    if dry is None or wet is None:
        raise _Missing("the relative humidity or the wet bulb")
    if wet > dry:
        raise ImpossibleAir(f"the wet bulb, {wet}, is above the dry bulb, {dry}")
    stated = given.text("bulb")
    iced = stated == "ice" if stated else wet < ICE_POINT
    return celsius(dry), celsius(wet), _pressure_hpa(given), iced


def _pressure_hpa(given: Values) -> float:
    pressure, altitude = given.quantity("pressure"), given.quantity("altitude")
    if pressure is not None:
        return float(pressure.magnitude_in("hPa"))
    if altitude is not None:
        return standard_pressure(float(altitude.magnitude_in("m")))
    raise _Missing("the air pressure or the altitude that a wet bulb needs")


def celsius(temperature: Quantity) -> float:
    """A temperature as the formulas take it."""
    return float(temperature.magnitude_in("degC"))


def exact(value: float) -> Decimal:
    """A formula's result as the decimal that stands for it, unrounded."""
    return Decimal(repr(value))
