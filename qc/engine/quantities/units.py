"""Which units the record takes, and the exact map between two of them.

The figures of every unit come from pint, read as fractions so that no conversion rounds. Its own
`mil` is an angle; the trade's mil is its `thou`, hence the table of names.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Any

import pint


class Dimension(StrEnum):
    """The kind of thing a unit measures; values of two kinds never compare."""

    LENGTH = "length"
    AREA = "area"
    VOLUME = "volume"
    MASS = "mass"
    DENSITY = "density"
    TIME = "time"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    SHARE = "share"
    PRESSURE = "pressure"
    CONDUCTIVITY = "conductivity"
    SURFACE_DENSITY = "surface density"
    VOLTAGE = "voltage"
    ACTIVATION_ENERGY = "activation energy"
    TEMPERATURE_TIME = "temperature-time"
    SPECIFIC_ENERGY = "specific energy"
    FORCE = "force"
    DIELECTRIC_STRENGTH = "dielectric strength"


@dataclass(frozen=True)
class Unit:
    """A unit as it is written in a record: `name`, its pint name, kind, and printed symbol."""

    name: str
    pint_name: str
    dimension: Dimension
    symbol: str


_D = Dimension
UNITS = {
    unit.name: unit
    for unit in (
        Unit("um", "micrometer", _D.LENGTH, "µm"),
        Unit("mm", "millimeter", _D.LENGTH, "mm"),
        Unit("cm", "centimeter", _D.LENGTH, "cm"),
        Unit("m", "meter", _D.LENGTH, "m"),
        Unit("mil", "thou", _D.LENGTH, "mil"),
        Unit("in", "inch", _D.LENGTH, "in"),
        Unit("ft", "foot", _D.LENGTH, "ft"),
        Unit("mm2", "millimeter**2", _D.AREA, "mm²"),
        Unit("cm2", "centimeter**2", _D.AREA, "cm²"),
        Unit("m2", "meter**2", _D.AREA, "m²"),
        Unit("ft2", "foot**2", _D.AREA, "ft²"),
        Unit("ml", "milliliter", _D.VOLUME, "ml"),
        Unit("l", "liter", _D.VOLUME, "l"),
        Unit("gal", "gallon", _D.VOLUME, "US gal"),
        Unit("g", "gram", _D.MASS, "g"),
        Unit("kg", "kilogram", _D.MASS, "kg"),
        Unit("lb", "pound", _D.MASS, "lb"),
        Unit("oz", "ounce", _D.MASS, "oz"),
        Unit("g/ml", "gram/milliliter", _D.DENSITY, "g/ml"),
        Unit("kg/l", "kilogram/liter", _D.DENSITY, "kg/l"),
        Unit("s", "second", _D.TIME, "s"),
        Unit("min", "minute", _D.TIME, "min"),
        Unit("hour", "hour", _D.TIME, "h"),
        Unit("day", "day", _D.TIME, "d"),
        Unit("degC", "degC", _D.TEMPERATURE, "°C"),
        Unit("degF", "degF", _D.TEMPERATURE, "°F"),
        Unit("K", "kelvin", _D.TEMPERATURE, "K"),
        Unit("delta_degC", "delta_degC", _D.TEMPERATURE_DIFFERENCE, "°C"),
        Unit("delta_degF", "delta_degF", _D.TEMPERATURE_DIFFERENCE, "°F"),
        Unit("%", "percent", _D.SHARE, "%"),
        Unit("Pa", "pascal", _D.PRESSURE, "Pa"),
        Unit("hPa", "hectopascal", _D.PRESSURE, "hPa"),
        Unit("kPa", "kilopascal", _D.PRESSURE, "kPa"),
        Unit("MPa", "megapascal", _D.PRESSURE, "MPa"),
        Unit("bar", "bar", _D.PRESSURE, "bar"),
        Unit("psi", "psi", _D.PRESSURE, "psi"),
        Unit("inHg", "inch_Hg", _D.PRESSURE, "inHg"),
        Unit("uS/cm", "microsiemens/centimeter", _D.CONDUCTIVITY, "µS/cm"),
        Unit("mg/m2", "milligram/meter**2", _D.SURFACE_DENSITY, "mg/m²"),
        Unit("ug/cm2", "microgram/centimeter**2", _D.SURFACE_DENSITY, "µg/cm²"),
        Unit("V", "volt", _D.VOLTAGE, "V"),
        Unit("kV", "kilovolt", _D.VOLTAGE, "kV"),
        Unit("J/mol", "joule/mole", _D.ACTIVATION_ENERGY, "J/mol"),
        Unit("kJ/mol", "kilojoule/mole", _D.ACTIVATION_ENERGY, "kJ/mol"),
        Unit("J/g", "joule/gram", _D.SPECIFIC_ENERGY, "J/g"),
        Unit("degC_hour", "delta_degC*hour", _D.TEMPERATURE_TIME, "°C·h"),
        Unit("degF_hour", "delta_degF*hour", _D.TEMPERATURE_TIME, "°F·h"),
        Unit("degC_day", "delta_degC*day", _D.TEMPERATURE_TIME, "°C·d"),
        Unit("N", "newton", _D.FORCE, "N"),
        Unit("kN", "kilonewton", _D.FORCE, "kN"),
        Unit("lbf", "pound_force", _D.FORCE, "lbf"),
        Unit("kV/mm", "kilovolt/millimeter", _D.DIELECTRIC_STRENGTH, "kV/mm"),
        Unit("V/mil", "volt/thou", _D.DIELECTRIC_STRENGTH, "V/mil"),
    )
}

_ALIASES = {
    "µm": "um", "μm": "um", "micron": "um", "microns": "um", "mils": "mil", "inch": "in",
    "µS/cm": "uS/cm", "μS/cm": "uS/cm", "µg/cm²": "ug/cm2", "mg/m²": "mg/m2", "mg/m^2": "mg/m2",
    "m²": "m2", "m^2": "m2", "ft²": "ft2", "ft^2": "ft2", "mm²": "mm2", "mm^2": "mm2",
    "cm²": "cm2", "cm^2": "cm2",
    "sec": "s", "second": "s", "seconds": "s", "minute": "min", "minutes": "min",
    "h": "hour", "hr": "hour", "hours": "hour", "d": "day", "days": "day",
    "°C": "degC", "C": "degC", "°F": "degF", "F": "degF", "percent": "%", "mbar": "hPa",
    "kelvin": "K", "delta_K": "delta_degC", "mL": "ml", "L": "l", "grams": "g",
    "N/mm2": "MPa", "N/mm²": "MPa", "V/um": "kV/mm", "V/µm": "kV/mm",
}  # fmt: skip

_AS_DIFFERENCE = {"degC": "delta_degC", "degF": "delta_degF", "K": "delta_degC"}

_registry: Any = pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


def unit_named(text: str, dimension: Dimension | None = None) -> str | None:
    """The record's name of the unit written `text`, or None if it is unknown.

    Where a temperature difference is asked for, `degC` means a difference: "3 degC above the dew
    point" is how the trade writes it.
    """
    name = _ALIASES.get(text, text)
    if dimension is Dimension.TEMPERATURE_DIFFERENCE:
        name = _AS_DIFFERENCE.get(name, name)
    return name if name in UNITS else None


def dimension_of(unit: str) -> Dimension:
    """The kind of thing `unit` measures."""
    return UNITS[unit].dimension


def symbol_of(unit: str) -> str:
    """The sign printed for `unit` on a page."""
    return UNITS[unit].symbol if unit else ""


def units_of(dimension: Dimension) -> tuple[str, ...]:
    """The names of all units of one kind."""
    return tuple(name for name, unit in UNITS.items() if unit.dimension is dimension)


@lru_cache(maxsize=512)
def affine_map(source: str, target: str) -> tuple[Fraction, Fraction]:
    """(scale, offset) with `target = source * scale + offset`, exact."""
    names = UNITS[source].pint_name, UNITS[target].pint_name
    if "**" in names[0] or "*" in names[0] or "/" in names[0] or source == target:
        return _linear(source, target), Fraction(0)
    zero = _convert(Fraction(0), *names)
    return _convert(Fraction(1), *names) - zero, zero


def _convert(value: Fraction, source: str, target: str) -> Fraction:
    return Fraction(_registry.convert(value, source, target))


def _linear(source: str, target: str) -> Fraction:
    if source == target:
        return Fraction(1)
    ratio = _registry.get_base_units(UNITS[source].pint_name)[0]
    return Fraction(ratio) / Fraction(_registry.get_base_units(UNITS[target].pint_name)[0])
