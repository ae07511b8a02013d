"""Whether the gauge can be trusted: its check on a standard, and what it cannot measure."""

from decimal import Decimal
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.measured import Taken
from qc.engine.characteristics.thickness.minimum import zone_key
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import Finding, Outcome, cannot_be_judged, listed
from qc.engine.standards.tables import load_tables

_GAUGE = load_tables("qc.engine.characteristics.thickness")["gauge"]
_MISLED_BY_METAL = ("magnetic", "eddy_current")


def gauge_findings(criteria: Criteria, taken: Taken) -> list[Finding]:
    """Findings where readings prove nothing because of how they were taken."""
    by_kind = [*_wet_comb(criteria, taken), *_uncalibrated(taken)] if "gauge" in taken.given else []
    return [*_metal_filled(criteria, taken), *by_kind, *_checks(criteria, taken)]


def gauge_flags(criteria: Criteria, taken: Taken) -> list[str]:
    """What was not stated about the gauge, and magnetic readings beside others on metal filling."""
    if "gauge" not in taken.given and not criteria.flag("metal_filled"):
        return []
    flags = []
    kinds = {reading.text("gauge") for reading in taken.readings}
    if criteria.flag("metal_filled") and "" in kinds:
        flags.append("thickness.metal_filled: the kind of gauge is not stated for every reading")
    if criteria.flag("metal_filled") and kinds & set(_MISLED_BY_METAL):
        flags.append("thickness.metal_filled: magnetic readings prove nothing on their own")
    silent = [n for n, r in taken if _is_ultrasonic(r) and r.flag("calibrated_on_laminate") is None]
    if silent:
        flags.append(
            f"thickness.ultrasonic: reading {listed(silent)}: not stated whether the gauge was "
            f"calibrated on the same laminate"
        )
    return flags


def _metal_filled(criteria: Criteria, taken: Taken) -> list[Finding]:
    """A zone that only magnetic or eddy current gauges have measured is not proved."""
    if not criteria.flag("metal_filled"):
        return []
    by_zone: dict[str, list[tuple[int, Values]]] = {}
    for number, reading in taken:
        by_zone.setdefault(zone_key(reading.text("zone")), []).append((number, reading))
    alone = [
        number
        for taken in by_zone.values()
        if all(reading.text("gauge") in _MISLED_BY_METAL for _, reading in taken)
        for number, _ in taken
    ]
    if not alone:
        return []
    return [
        cannot_be_judged(
            "thickness.metal_filled",
            f"Reading {listed(alone)}: taken with a magnetic or eddy current gauge, which misreads "
            f"on a metal-filled product; use a depth gauge or the difference of caliper readings.",
            _GAUGE["metal_filled_source"],
        )
    ]


def _wet_comb(criteria: Criteria, taken: Taken) -> list[Finding]:
    wet = [number for number, reading in taken if reading.text("gauge") == "wet_comb"]
    if not wet or criteria.text("rule") == "wet_film":
        return []
    return [
        cannot_be_judged(
            "thickness.wet_comb",
            f"Reading {listed(wet)}: a wet film comb checks the work in progress; it is no "
            f"evidence of the dry thickness.",
            "common practice",
        )
    ]


def _is_ultrasonic(reading: Values) -> bool:
    return reading.text("gauge") == "ultrasonic"


def _uncalibrated(taken: Taken) -> list[Finding]:
    off = [n for n, r in taken if _is_ultrasonic(r) and r.flag("calibrated_on_laminate") is False]
    if not off:
        return []
    return [
        cannot_be_judged(
            "thickness.ultrasonic",
            f"Reading {listed(off)}: the ultrasonic gauge was not calibrated on the same laminate.",
            "common practice",
        )
    ]


def _checks(criteria: Criteria, taken: Taken) -> list[Finding]:
    """The gauge on a standard: within the combined accuracy of both, else readings are suspect."""
    gauge = criteria.quantity("gauge_accuracy")
    if gauge is None:
        return []
    standard = criteria.quantity("standard_accuracy") or Quantity(Decimal(0), "%")
    source = f"{criteria.source('gauge_accuracy')}; {_GAUGE['check_source']}"
    pairs = [(n, *_check_of(reading)) for n, reading in taken]
    made = [(n, stated, shown) for n, stated, shown in pairs if stated and shown]
    if not made:
        return [_no_check(source)]
    off = [n for n, stated, shown in made if not within_accuracy(stated, shown, gauge, standard)]
    return [_suspect(off, source)] if off else []


def _check_of(reading: Values) -> tuple[Quantity | None, Quantity | None]:
    return reading.quantity("check_stated"), reading.quantity("check_measured")


def within_accuracy(
    stated: Quantity, measured: Quantity, gauge: Quantity, standard: Quantity
) -> bool:
    """Whether |measured - stated| is within the root sum square of both accuracies (per cent).

    Compared as squares, so that no root is rounded.
    """
    true = Fraction(stated.magnitude)
    off = Fraction(measured.magnitude_in(stated.unit)) - true
    squares = sum(Fraction(accuracy.magnitude_in("%")) ** 2 for accuracy in (gauge, standard))
    return off**2 * 100**2 <= squares * true**2


def _no_check(source: str) -> Finding:
    return Finding(
        rule="thickness.gauge_check",
        outcome=Outcome.INCOMPLETE,
        observed="0",
        limit="at least 1",
        statement="The gauge has not been checked on a standard.",
        source=source,
    )


def _suspect(off: list[int], source: str) -> Finding:
    return cannot_be_judged(
        "thickness.gauge_check",
        f"The check with reading {listed(off)} lies outside the combined accuracy of gauge and "
        f"standard: all readings since the last good check are suspect.",
        source,
    )
