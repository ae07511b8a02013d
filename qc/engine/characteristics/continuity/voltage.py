"""Whether the voltage was the plan's, and whether the method reaches through the coating."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.fields import InvalidValue, Values
from qc.engine.formulas.holiday_voltage import (
    breakdown_voltage,
    d5162_voltage,
    rp0274_voltage,
)
from qc.engine.quantities import Quantity
from qc.engine.rules import Finding, Judged, Outcome, cannot_be_judged, judge_places, listed
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.continuity")
_SPONGE = _TABLES["wet_sponge"]
_US_UNITS = ("mil", "in", "ft")


def check_voltage(criteria: Criteria, path: str) -> None:
    """InvalidValue for a voltage that does not belong to the method or that breaks the coating."""
    voltage, low = criteria.quantity("voltage"), criteria.text("method") == "low_voltage"
    if voltage is None:
        return
    highest = Quantity.parse(_SPONGE["highest"])
    if low and voltage > highest:
        raise InvalidValue(f"{path}.voltage", f"{voltage} is no low voltage, at most {highest}")
    if not low and voltage <= highest:
        raise InvalidValue(f"{path}.voltage", f"{voltage} is no high voltage, above {highest}")
    strength, thickness = criteria.quantity("dielectric_strength"), criteria.quantity("thickness")
    if low or strength is None or thickness is None:
        return
    ceiling = breakdown_voltage(strength, thickness)
    if voltage >= ceiling:
        said = f"{voltage} is not below {ceiling}, which a coating of {thickness} withstands"
        raise InvalidValue(f"{path}.voltage", said)


def voltage_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """A test at another voltage than the plan's is not the test that was asked for."""
    asked, rule = criteria.quantity("voltage"), "continuity.voltage"
    if asked is None:
        said = "The plan gives no test voltage; it is the specification's and none is assumed."
        return [cannot_be_judged(rule, said)]
    tolerance = criteria.quantity("voltage_tolerance")
    asks = f"{asked}{f' within {tolerance}' if tolerance else ''}"
    used = [reading.quantity("voltage") for reading in readings]
    return [
        judge_places(
            rule,
            [_voltage_used(each, asked, tolerance, asks) for each in used],
            observed=listed(list(dict.fromkeys(str(each) for each in used if each))),
            limit=asks,
            source=f"{criteria.source('voltage')}; {agreed_test(criteria)}",
            names=names_of(readings),
        )
    ]


def _voltage_used(
    used: Quantity | None, asked: Quantity, tolerance: Quantity | None, asks: str
) -> Judged:
    if used is None:
        return Outcome.CANNOT_BE_JUDGED, f"the voltage used is not stated; the plan asks for {asks}"
    share = Fraction(tolerance.magnitude_in("%")) / 100 if tolerance else Fraction(0)
    volts, right = (Fraction(v.magnitude_in("V")) for v in (used, asked))
    if abs(volts - right) <= share * right:
        return Outcome.CONFORMS, f"tested with the voltage of the plan, {asks}"
    return Outcome.CANNOT_BE_JUDGED, f"tested with {used}, the plan asks for {asks}"


def agreed_test(criteria: Criteria) -> str:
    """Standard and edition in one."""
    return f"{criteria.text('standard')}, edition {criteria.text('edition')}"


def names_of(readings: Sequence[Values]) -> list[str]:
    """What the readings are called, with their places."""
    return [
        f"reading {number}{f' ({place})' if (place := reading.text('location')) else ''}"
        for number, reading in enumerate(readings, 1)
    ]


def thickness_of(criteria: Criteria, reading: Values) -> Quantity | None:
    """The thickness where the reading was taken, or the plan's."""
    return reading.quantity("thickness") or criteria.quantity("thickness")


def reach_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """A wet sponge proves nothing where the coating is too thick for it or of unknown thickness."""
    if criteria.text("method") != "low_voltage":
        return []
    rule, source = "continuity.wet_sponge", _SPONGE["source"]
    sizes = [(n, thickness_of(criteria, reading)) for n, reading in enumerate(readings, 1)]
    unknown = [n for n, size in sizes if size is None]
    thick = [n for n, size in sizes if size is not None and size > _reach(size)]
    said = {
        "the thickness of the coating is not stated, and a wet sponge reaches only so far": unknown,
        "the coating is too thick for a wet sponge, which reaches 500 µm (20 mil)": thick,
    }
    return [
        cannot_be_judged(rule, f"Reading {listed(numbers)}: {text}.", source)
        for text, numbers in said.items()
        if numbers
    ]


def _reach(thickness: Quantity) -> Quantity:
    return Quantity.parse(_SPONGE["us" if thickness.unit in _US_UNITS else "metric"])


def ceiling_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """The voltage used stays below what a sound coating withstands, where its strength is known."""
    strength = criteria.quantity("dielectric_strength")
    if strength is None:
        return []
    used = [voltage for reading in readings if (voltage := reading.quantity("voltage"))]
    return [
        judge_places(
            "continuity.ceiling",
            [_below_ceiling(criteria, reading) for reading in readings],
            observed=str(max(used)) if used else "",
            limit=f"below {strength} times the thickness",
            source=f"{criteria.source('dielectric_strength')}; {_TABLES['ceiling']['source']}",
            names=names_of(readings),
        )
    ]


def _below_ceiling(criteria: Criteria, reading: Values) -> Judged:
    used, most = reading.quantity("voltage"), ceiling(criteria, reading)
    if used is None or most is None:
        return Outcome.CANNOT_BE_JUDGED, "voltage used or thickness of the coating is not stated"
    size = thickness_of(criteria, reading)
    if used < most:
        return Outcome.CONFORMS, f"{used} is below {most}, which {size} of coating withstand"
    return (
        Outcome.DOES_NOT_CONFORM,
        f"{used} is not below {most}, which {size} of coating withstand",
    )


def ceiling(criteria: Criteria, reading: Values) -> Quantity | None:
    """What the coating withstands where the reading was taken; None where it is not known."""
    strength, size = criteria.quantity("dielectric_strength"), thickness_of(criteria, reading)
    return breakdown_voltage(strength, size) if strength and size else None


def computed_voltages(criteria: Criteria, readings: Sequence[Values]) -> dict[str, Any]:
    """What the coating withstands and what two formulas give, for information, a reading each."""
    sizes = [thickness_of(criteria, reading) for reading in readings]
    most = [ceiling(criteria, reading) for reading in readings]
    return {
        "ceiling": [str(value) if value else None for value in most],
        "rp0274": [str(rp0274_voltage(size)) if size else None for size in sizes],
        "d5162": [str(d5162_voltage(size)) if size else None for size in sizes],
    }
