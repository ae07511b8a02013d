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
from qc.engine.rules import Bound, Finding, Outcome, cannot_be_judged, listed
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
    asks = f"the plan asks for {asked}{f' within {tolerance}' if tolerance else ''}"
    problems = [
        f"{name_of(reading, number)}: {said}; {asks}."
        for number, reading in enumerate(readings, 1)
        if (said := _problem(reading, asked, tolerance))
    ]
    source = f"{criteria.source('voltage')}; {agreed_test(criteria)}"
    if problems:
        return [cannot_be_judged(rule, said, source) for said in problems]
    met = f"{agreed_test(criteria)}: tested at the voltage of the plan, {asked}."
    return [Finding(rule=rule, outcome=Outcome.CONFORMS, statement=met, source=source)]


def _problem(reading: Values, asked: Quantity, tolerance: Quantity | None) -> str:
    used = reading.quantity("voltage")
    if used is None:
        return "the voltage used is not stated"
    share = Fraction(tolerance.magnitude_in("%")) / 100 if tolerance else Fraction(0)
    volts, right = (Fraction(v.magnitude_in("V")) for v in (used, asked))
    return "" if abs(volts - right) <= share * right else f"tested with {used}"


def agreed_test(criteria: Criteria) -> str:
    """Standard and edition in one."""
    return f"{criteria.text('standard')}, edition {criteria.text('edition')}"


def name_of(reading: Values, number: int) -> str:
    """What a reading is called at the start of a sentence."""
    place = reading.text("location")
    return f"Reading {number}{f' ({place})' if place else ''}"


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
    if "dielectric_strength" not in criteria:
        return []
    found: list[Finding] = []
    for number, reading in enumerate(readings, 1):
        used, most = reading.quantity("voltage"), ceiling(criteria, reading)
        limit = criteria.limit(
            "dielectric_strength",
            "continuity.ceiling",
            "Test voltage",
            Bound.BELOW,
            places=2,
            value=most,
        )
        if most is None:
            said = f"{name_of(reading, number)}: the thickness of the coating is not stated."
            source = criteria.source("dielectric_strength")
            found.append(cannot_be_judged("continuity.ceiling", said, source))
        elif limit and used:
            found.append(limit.judge(used, f"reading {number}"))
    return _decisive(found)


def _decisive(findings: list[Finding]) -> list[Finding]:
    """Those that do not conform, or one that does."""
    failing = [found for found in findings if found.outcome is not Outcome.CONFORMS]
    return failing or findings[:1]


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
