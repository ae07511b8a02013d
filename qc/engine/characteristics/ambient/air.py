"""What each reading says of the air and the steel, or why it says nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

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
class Reading:
    """One reading with what follows from it: `number` counts from 1.

    `impossible` says why the reading is a data error; `missing` what it lacks for a dew point.
    """

    number: int
    given: Values
    air: MoistAir | None = None
    impossible: str = ""
    missing: str = ""
    flags: tuple[str, ...] = ()

    @property
    def coldest(self) -> Quantity | None:
        """The coldest spot of the steel."""
        return min(self.given.quantities("steel"), default=None)

    @property
    def warmest(self) -> Quantity | None:
        """The warmest spot of the steel."""
        return max(self.given.quantities("steel"), default=None)

    @property
    def humidity(self) -> Quantity | None:
        """Relative humidity as read, or as the wet bulb gives it."""
        if self.air is None:
            return None
        return self.given.quantity("humidity") or Quantity(exact(self.air.humidity), "%")

    @property
    def margin(self) -> Quantity | None:
        """Coldest steel less the higher of dew and frost point, unrounded."""
        if self.air is None or self.coldest is None:
            return None
        steel = Fraction(self.coldest.magnitude_in("degC"))
        return Quantity(steel - self._condensation_point(self.air), "delta_degC")

    def _condensation_point(self, air: MoistAir) -> Fraction:
        """Exactly the air temperature where that is the dew point, so that a limit can be met."""
        dry = self.given.quantity("air")
        if dry is not None and air.condensation_point == celsius(dry):
            return Fraction(dry.magnitude_in("degC"))
        return Fraction(exact(air.condensation_point))


def read_air(readings: Sequence[Values], formula: Formula) -> tuple[Reading, ...]:
    """Every reading with its dew point by `formula`, in the given order."""
    return tuple(_read(n, given, formula) for n, given in enumerate(readings, start=1))


def _read(number: int, given: Values, formula: Formula) -> Reading:
    flags = _flags(given)
    try:
        air = _air(given, formula)
    except ImpossibleAir as reason:
        return Reading(number=number, given=given, impossible=str(reason), flags=flags)
    except _Missing as reason:
        return Reading(number=number, given=given, missing=str(reason), flags=flags)
    return Reading(number=number, given=given, air=air, flags=flags)


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
    if wet is None:
        raise _Missing("the relative humidity or the wet bulb")
    if wet > dry:
        raise ImpossibleAir(f"the wet bulb, {wet}, is above the dry bulb, {dry}")
    pressure = _pressure_hpa(given)
    return air_from_wet_bulb(formula, celsius(dry), celsius(wet), pressure, _iced(given, wet))


def _pressure_hpa(given: Values) -> float:
    pressure, altitude = given.quantity("pressure"), given.quantity("altitude")
    if pressure is not None:
        return float(pressure.magnitude_in("hPa"))
    if altitude is not None:
        return standard_pressure(float(altitude.magnitude_in("m")))
    raise _Missing("the air pressure or the altitude that a wet bulb needs")


def _iced(given: Values, wet: Quantity) -> bool:
    stated = given.text("bulb")
    return stated == "ice" if stated else wet < ICE_POINT


def _flags(given: Values) -> tuple[str, ...]:
    wet, flags = given.quantity("wet_bulb"), []
    if any(spot <= ICE_POINT for spot in given.quantities("steel")):
        flags.append("ice_possible")
    if wet is not None and wet < ICE_POINT and not given.text("bulb"):
        flags.append("ice_bulb_assumed")
    if wet is not None and "pressure" not in given and "altitude" in given:
        flags.append("pressure_from_altitude")
    return tuple(flags)


def celsius(temperature: Quantity) -> float:
    """A temperature as the formulas take it."""
    return float(temperature.magnitude_in("degC"))


def exact(value: float) -> Decimal:
    """A formula's result as the decimal that stands for it, unrounded."""
    return Decimal(repr(value))
