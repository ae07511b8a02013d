"""Judges mixes: times, shelf life, temperature, ratio, induction and pot life."""

from collections.abc import Sequence
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.mixing.mix import Mix, judge_times, missing
from qc.engine.characteristics.mixing.ratio import (
    check_amount,
    check_ratio,
    judge_amount,
    judge_kit,
    judge_ratio,
    kit_flags,
    ratio_deviation,
)
from qc.engine.characteristics.mixing.working_time import (
    check_pot_life,
    judge_pot_life,
    pot_life_flags,
    pot_life_text,
    use_by,
)
from qc.engine.fields import Values
from qc.engine.formulas.elapsed import elapsed
from qc.engine.quantities import Quantity
from qc.engine.rules import Assessment, Bound, Finding, Outcome, cannot_be_judged

EXPIRY_SOURCE = "common practice: good through the day of expiry"


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue where the criteria of mixing make no sense."""
    check_ratio(criteria, path)
    check_amount(criteria, path)
    check_pot_life(criteria, path)


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Every rule the plan sets, on every mix."""
    mixes = [Mix(reading, f"mix {i}") for i, reading in enumerate(readings, start=1)]
    return Assessment(
        findings=tuple(finding for mix in mixes for finding in _judge(criteria, mix)),
        computed={
            "duration": [_text(_duration(mix)) for mix in mixes],
            "ratio_deviation": [_text(ratio_deviation(criteria, mix)) for mix in mixes],
            "pot_life": [_text(pot_life_text(criteria, mix)) for mix in mixes],
            "use_by": [_moment_text(criteria, mix) for mix in mixes],
        },
        flags=tuple(flag for mix in mixes for flag in _flags(criteria, mix)),
    )


def _judge(criteria: Criteria, mix: Mix) -> list[Finding]:
    impossible = judge_times(mix)
    timed = [] if impossible else _judge_timed(criteria, mix)
    return [
        *impossible,
        *_judge_expiry(mix),
        *_judge_temperature(criteria, mix, "storage_temperature", "Storage temperature"),
        *_judge_temperature(criteria, mix, "material_temperature", "Material temperature"),
        *judge_ratio(criteria, mix),
        *judge_kit(criteria, mix),
        *judge_amount(criteria, mix),
        *timed,
    ]


def _judge_timed(criteria: Criteria, mix: Mix) -> list[Finding]:
    return [
        *_judge_duration(criteria, mix),
        *_judge_induction(criteria, mix),
        *judge_pot_life(criteria, mix),
    ]


def _judge_duration(criteria: Criteria, mix: Mix) -> list[Finding]:
    bounds = (("duration_min", Bound.AT_LEAST), ("duration_max", Bound.AT_MOST))
    limits = [
        criteria.limit(name, f"mixing.{name}", "Mixing time", bound) for name, bound in bounds
    ]
    duration = _duration(mix)
    if duration is None:
        return [
            missing(limit.rule, mix, "start or end of mixing", limit.source)
            for limit in limits
            if limit
        ]
    return [limit.judge(duration, mix.name) for limit in limits if limit]


def _judge_induction(criteria: Criteria, mix: Mix) -> list[Finding]:
    limit = criteria.limit(
        "induction", "mixing.induction", "Wait between mixing and first use", Bound.AT_LEAST
    )
    if limit is None:
        return []
    if mix.mix_end is None or mix.first_use is None:
        return [missing(limit.rule, mix, "end of mixing or first use", limit.source)]
    return [limit.judge(elapsed(mix.mix_end, mix.first_use), mix.name)]


def _judge_expiry(mix: Mix) -> list[Finding]:
    """Shelf life by calendar day, in the offset in which the mix was recorded."""
    expiry = mix.reading.day("expiry")
    if expiry is None:
        return []
    if mix.mix_start is None:
        return [missing("mixing.expiry", mix, "the start of mixing", EXPIRY_SOURCE)]
    day = mix.mix_start.date()
    within = day <= expiry
    said = "within" if within else f"{(day - expiry).days} d past"
    return [
        Finding(
            rule="mixing.expiry",
            outcome=Outcome.CONFORMS if within else Outcome.DOES_NOT_CONFORM,
            observed=day.isoformat(),
            limit=f"through {expiry.isoformat()}",
            statement=f"{mix.name.capitalize()}: mixed on {day}, {said} its shelf life ({expiry}).",
            source=EXPIRY_SOURCE,
        )
    ]


def _judge_temperature(criteria: Criteria, mix: Mix, name: str, label: str) -> list[Finding]:
    bounds = ((f"{name}_min", Bound.AT_LEAST), (f"{name}_max", Bound.AT_MOST))
    limits = [criteria.limit(bound, f"mixing.{bound}", label, side) for bound, side in bounds]
    temperature = mix.reading.quantity(name)
    if temperature is None:
        statement = f"{mix.name.capitalize()}: {label.lower()} was not recorded."
        return [cannot_be_judged(limit.rule, statement, limit.source) for limit in limits if limit]
    return [limit.judge(temperature, mix.name) for limit in limits if limit]


def _duration(mix: Mix) -> Quantity | None:
    if mix.mix_start is None or mix.mix_end is None:
        return None
    return elapsed(mix.mix_start, mix.mix_end)


def _flags(criteria: Criteria, mix: Mix) -> list[str]:
    return [*kit_flags(mix), *pot_life_flags(criteria, mix)]


def _text(value: Quantity | None) -> str | None:
    return None if value is None else str(value)


def _moment_text(criteria: Criteria, mix: Mix) -> Any:
    moment = use_by(criteria, mix)
    return None if moment is None else moment.isoformat()
