"""The glass transition of a sample: against a least one, and above the design temperature."""

from dataclasses import replace
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.fields import InvalidValue, Values
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Finding, Limit, cannot_be_judged
from qc.engine.standards.tables import load_tables

_MARGIN = load_tables("qc.engine.characteristics.degree_of_cure")["margin"]
_RULE = "degree_of_cure.glass_transition"


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a design temperature without a margin, or a margin without it."""
    designed = "design_temperature" in criteria
    margins = ("glass_transition_margin_min", "defect_type")
    stated = [name for name in margins if name in criteria]
    if designed and not stated:
        raise InvalidValue(f"{path}.design_temperature", f"needs {' or '.join(margins)}")
    if stated and not designed:
        raise InvalidValue(f"{path}.{stated[0]}", "needs design_temperature")


def judge_glass_transition(criteria: Criteria, reading: Values, name: str) -> list[Finding]:
    """At least the plan's, and by its margin above the design temperature."""
    limits = [limit for limit in (_least(criteria), _margin(criteria)) if limit]
    observed = reading.quantity("glass_transition")
    if observed is None:
        statement = f"{name}: the glass transition was not measured."
        return [cannot_be_judged(limit.rule, statement, limit.source) for limit in limits]
    design = criteria.quantity("design_temperature")
    return [
        limit.judge(_above(observed, design) if limit.rule != _RULE and design else observed, name)
        for limit in limits
    ]


def _least(criteria: Criteria) -> Limit | None:
    return criteria.limit("glass_transition_min", _RULE, "Glass transition", Bound.AT_LEAST)


def _margin(criteria: Criteria) -> Limit | None:
    """The plan's margin, or the one for a defect that goes through the wall (B) or does not (A)."""
    kind = criteria.text("defect_type")
    stated = criteria.quantity("glass_transition_margin_min")
    limit = criteria.limit(
        "glass_transition_margin_min" if stated or not kind else "defect_type",
        f"{_RULE}_margin",
        f"Glass transition above the design temperature {_printed(criteria)}",
        Bound.AT_LEAST,
        value=stated or (Quantity.parse(_MARGIN[kind]) if kind else None),
    )
    if limit is None or stated:
        return limit
    return replace(limit, source=f"{limit.source}; {_MARGIN['source']}")


def _printed(criteria: Criteria) -> str:
    design = criteria.quantity("design_temperature")
    return design.printed if design else ""


def _above(observed: Quantity, design: Quantity) -> Quantity:
    above = Fraction(observed.magnitude_in("degC")) - Fraction(design.magnitude_in("degC"))
    return Quantity(above, "delta_degC")
