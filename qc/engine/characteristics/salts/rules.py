"""Judges tests for soluble salts; conductivity and ion-specific results never mix."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.salts.counts import enough_tests, weld_finding
from qc.engine.characteristics.salts.criteria import BASIS_NAMES, TABLES, constant_of
from qc.engine.characteristics.salts.extraction import Extraction, extraction
from qc.engine.fields import Values
from qc.engine.formulas.statistics import mean
from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Decision,
    Finding,
    Limit,
    cannot_be_judged,
    judge_each,
    listed,
)

_PRECISION = TABLES["precision"]


@dataclass(frozen=True)
class _Kind:
    """A quantity with a limit of its own: the criterion, its rule, and how a test gives it."""

    criterion: str
    rule: str
    label: str
    unit: str
    given: Callable[[Extraction], Quantity | None]


_DENSITY = _Kind("max", "salts.density", "Soluble salts", "mg/m2", lambda t: t.density)
_RISE = _Kind("conductivity_max", "salts.rise", "Rise in conductivity", "uS/cm", lambda t: t.rise)
_CHLORIDE = _Kind("chloride_max", "salts.chloride", "Chloride", "mg/m2", lambda t: t.chloride)


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Every limit the plan sets, on the valid tests, whatever their order.

    A test that is void, or lacks what it is judged by, is not valid and counts nowhere.
    """
    tests = [extraction(criteria, n, reading) for n, reading in enumerate(readings, start=1)]
    sound = [test for test in tests if not test.void and not test.problem]
    void = [test for test in tests if test.void]
    findings = [
        cannot_be_judged("salts.data", f"Reading {test.number}: {test.problem}.")
        for test in tests
        if test.problem and not test.void
    ]
    for kind in (_DENSITY, _RISE, _CHLORIDE):
        findings += _judge(criteria, kind, sound, void)
    return Assessment(
        findings=(*findings, *weld_finding(criteria, sound)),
        computed=_computed(tests, sound),
        flags=(*_flags(criteria, sound), *(f"salts.void: {t.name}: {t.void}" for t in void)),
    )


def _judge(
    criteria: Criteria, kind: _Kind, sound: Sequence[Extraction], void: Sequence[Extraction]
) -> list[Finding]:
    limit = _limit(criteria, kind)
    if limit is None:
        return []
    tests = [(test, value) for test in sound if (value := kind.given(test)) is not None]
    counted = enough_tests(criteria, f"{kind.rule}.readings", len(tests), void)
    if not tests:
        return [counted]
    values = [value.magnitude_in(kind.unit) for _, value in tests]
    if criteria.text("statistic") == "mean":
        return [counted, limit.judge(Quantity(mean(values), kind.unit), f"mean of {len(values)}")]
    return [
        counted,
        judge_each(limit, values, kind.unit, lambda i: tests[i][0].name, "tests"),
    ]


def _limit(criteria: Criteria, kind: _Kind) -> Limit | None:
    limit = criteria.limit(kind.criterion, f"{kind.rule}.max", kind.label, Bound.AT_MOST)
    if limit is None:
        return None
    if criteria.text("uncertainty_of") == _other(kind):
        limit = replace(limit, decision=Decision.SIMPLE, uncertainty=None)
    constant = constant_of(criteria)
    if kind is not _DENSITY or constant is None:
        return limit
    basis = criteria.text("basis")
    by = f"as {BASIS_NAMES[basis]}" if basis else f"by the constant {constant[0]}"
    return replace(
        limit,
        label=f"{kind.label} {by}",
        source=f"{limit.source}; constant {constant[0]}: {constant[1]}",
    )


def _other(kind: _Kind) -> str:
    """Whose uncertainty does not guard this limit."""
    return "conductivity" if kind is _CHLORIDE else "chloride"


def _flags(criteria: Criteria, sound: Sequence[Extraction]) -> list[str]:
    flags = [*_precision(criteria, sound)]
    if "area" not in criteria and "readings_min" not in criteria:
        flags.append("salts.readings: the plan states no area, so no number is derived")
    return flags


def _precision(criteria: Criteria, sound: Sequence[Extraction]) -> list[str]:
    """Single results so near the limit that another test might fall on its other side."""
    limit, unit = criteria.quantity("max"), _PRECISION["unit"]
    if limit is None or criteria.text("statistic") == "mean":
        return []
    within = Fraction(_PRECISION["within"])
    lowest, highest = Decimal(_PRECISION["from"]), Decimal(_PRECISION["to"])
    near = []
    for test in sound:
        found = test.density.magnitude_in(unit) if test.density else None
        if found is None or not lowest <= found <= highest:
            continue
        if abs(Fraction(found) - Fraction(limit.magnitude_in(unit))) <= within:
            near.append(test.number)
    if not near:
        return []
    said = f"within {_PRECISION['within']} mg/m² of the limit, the precision of a single result"
    return [f"salts.precision: reading {listed(near)}: {said} ({_PRECISION['source']})"]


def _computed(
    tests: Sequence[Extraction], sound: Sequence[Extraction]
) -> dict[str, list[str | None] | str]:
    """Each test has its own values, valid or not; means and highest are those of valid tests."""
    found: dict[str, list[str | None] | str] = {
        "density": [_text(test.density) for test in tests],
        "rise": [_text(test.rise) for test in tests],
        "factor": [_text(test.factor) for test in tests],
        "rise_at_limit": [_text(test.rise_at_limit) for test in tests],
    }
    if any(test.chloride for test in tests):
        found["chloride_as_nacl"] = [_text(test.chloride_as_nacl) for test in tests]
    for prefix, kind in (("", _DENSITY), ("chloride_", _CHLORIDE)):
        values: list[Magnitude] = [
            value.magnitude_in(kind.unit) for t in sound if (value := kind.given(t)) is not None
        ]
        if values:
            found[f"{prefix}mean"] = str(Quantity(mean(values), kind.unit))
            found[f"{prefix}highest"] = str(Quantity(max(values), kind.unit))
    return found


def _text(value: Quantity | None) -> str | None:
    return None if value is None else str(value)
