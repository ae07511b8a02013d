"""Is the steel drawing away from the dew point, where the plan asks for that?"""

from collections.abc import Sequence
from datetime import UTC, datetime

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.ambient.air import Reading
from qc.engine.rules import Finding, Outcome, cannot_be_judged

_EARLIEST = datetime.min.replace(tzinfo=UTC)


def trend_findings(criteria: Criteria, readings: Sequence[Reading]) -> list[Finding]:
    """The trend as the inspector saw it at the last reading, else by the last two margins."""
    if not criteria.flag("rising_required"):
        return []
    source, ordered = criteria.source("rising_required"), _in_time(readings)
    seen = ordered[-1].given.flag("rising")
    if seen is not None:
        return [_trend(seen, "as the inspector saw it", source)]
    return [_by_margins(ordered[-2:], source)]


def _in_time(readings: Sequence[Reading]) -> list[Reading]:
    """By the time taken; as given where a reading has none."""
    if any(reading.given.moment("at") is None for reading in readings):
        return list(readings)
    return sorted(readings, key=lambda reading: reading.given.moment("at") or _EARLIEST)


def _by_margins(readings: Sequence[Reading], source: str) -> Finding:
    if len(readings) < 2:
        return Finding(
            rule="ambient.rising",
            outcome=Outcome.INCOMPLETE,
            statement="One reading shows no trend: take a second, or state what was seen.",
            source=source,
        )
    before, last = (reading.margin for reading in readings)
    if before is None or last is None:
        statement = "The last two readings give no two margins to compare."
        return cannot_be_judged("ambient.rising", statement, source)
    return _trend(last > before, "by the last two readings", source)


def _trend(rising: bool, how: str, source: str) -> Finding:
    return Finding(
        rule="ambient.rising",
        outcome=Outcome.CONFORMS if rising else Outcome.DOES_NOT_CONFORM,
        observed="rising" if rising else "not rising",
        limit="rising",
        statement=f"The margin above the dew point is {'' if rising else 'not '}rising, {how}.",
        source=source,
    )
