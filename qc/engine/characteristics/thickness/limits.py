"""Limits on thickness: digits shown, the statistic that U belongs to, the rule's own source."""

from dataclasses import replace

from qc.engine.characteristic import Criteria
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Decision, Limit

_PLACES = {"um": 1, "mil": 2, "mm": 2, "in": 4}


def thickness_limit(
    criteria: Criteria,
    name: str,
    rule: str,
    label: str,
    bound: Bound,
    value: Quantity | None = None,
    statistic: str = "single",
    source: str = "",
) -> Limit | None:
    """The limit of criterion `name`, or None where the plan sets none.

    `value` replaces the criterion's own. `statistic` ("single" or "mean") is what the limit
    applies to: an uncertainty stated for the other statistic does not guard it. `source` is added
    to the plan's.
    """
    given = value or criteria.quantity(name)
    places = _PLACES.get(given.unit, 3) if given else 0
    limit = criteria.limit(name, rule, label, bound, places, value=given)
    if limit is None:
        return None
    if criteria.text("uncertainty_of", statistic) != statistic:
        limit = replace(limit, decision=Decision.SIMPLE, uncertainty=None)
    return replace(limit, source=f"{limit.source}; {source}") if source else limit
