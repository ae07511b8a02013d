"""Pot life: how long a mix may be used, and until when."""

from datetime import datetime
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.mixing.mix import Mix, missing
from qc.engine.fields import InvalidValue
from qc.engine.formulas.elapsed import elapsed, hours_of, moment_after
from qc.engine.formulas.pot_life import HALVING_STEP, PotLife, pot_life
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Finding, cannot_be_judged

ESTIMATED = "pot_life_estimated"
_LONGEST = Quantity(Fraction(366), "day")


def check_pot_life(criteria: Criteria, path: str) -> None:
    """InvalidValue where a row has no time, or a warmer row a longer one."""
    rows = criteria.table("pot_life")
    for at, time in rows:
        if time.magnitude <= 0 or time > _LONGEST:
            raise InvalidValue(f"{path}.pot_life", f"{time} at {at} is no pot life")
    for (cold, longer), (hot, shorter) in zip(rows, rows[1:], strict=False):
        if shorter > longer:
            problem = f"{shorter} at {hot} is longer than {longer} at {cold}"
            raise InvalidValue(f"{path}.pot_life", problem)


def pot_life_of(criteria: Criteria, mix: Mix) -> PotLife | None:
    """The pot life at the warmer of material and surface; None without table or temperature."""
    rows = criteria.table("pot_life")
    warmest = _warmest(mix)
    if not rows or warmest is None:
        return None
    step = criteria.quantity("pot_life_halving")
    return pot_life(
        [(Fraction(at.magnitude_in("degC")), hours_of(time)) for at, time in rows],
        Fraction(warmest.magnitude_in("degC")),
        Fraction(step.magnitude_in("delta_degC")) if step else HALVING_STEP,
    )


def pot_life_text(criteria: Criteria, mix: Mix) -> Quantity | None:
    """The pot life in the unit of the plan's table."""
    found = pot_life_of(criteria, mix)
    return _in_table_unit(criteria, found) if found else None


def use_by(criteria: Criteria, mix: Mix) -> datetime | None:
    """The last full second at which the mix may be used; None where it is not known."""
    found, start = pot_life_of(criteria, mix), _start(criteria, mix)
    return moment_after(start, found.hours) if found and start else None


def judge_pot_life(criteria: Criteria, mix: Mix) -> list[Finding]:
    """Whether the last use lies within the pot life; on the moment itself it does."""
    if "pot_life" not in criteria:
        return []
    source = criteria.source("pot_life")
    found, start, last_use = pot_life_of(criteria, mix), _start(criteria, mix), mix.last_use
    if found is None:
        statement = f"{mix.name.capitalize()}: without the material's temperature no pot life."
        return [cannot_be_judged("mixing.pot_life", statement, source)]
    if start is None:
        return [missing("mixing.pot_life", mix, _START_NAMES[_starts(criteria)], source)]
    if last_use is None:
        return [missing("mixing.pot_life", mix, "the last use", source)]
    limit = criteria.limit(
        "pot_life",
        "mixing.pot_life",
        f"Last use after {_START_NAMES[_starts(criteria)]}" + _estimate(found),
        Bound.AT_MOST,
        value=_in_table_unit(criteria, found),
    )
    return [limit.judge(elapsed(start, last_use), mix.name)] if limit else []


def pot_life_flags(criteria: Criteria, mix: Mix) -> list[str]:
    """Marks a pot life that the halving rule gave."""
    found = pot_life_of(criteria, mix)
    return [ESTIMATED] if found and found.estimated else []


_START_NAMES = {"mix_start": "the start of mixing", "mix_end": "the end of mixing"}


def _starts(criteria: Criteria) -> str:
    """From which moment pot life counts: the earlier one unless the plan says otherwise."""
    return criteria.text("pot_life_starts", "mix_start")


def _start(criteria: Criteria, mix: Mix) -> datetime | None:
    return mix.mix_start if _starts(criteria) == "mix_start" else mix.mix_end


def _warmest(mix: Mix) -> Quantity | None:
    material = mix.reading.quantity("material_temperature")
    surface = mix.reading.quantity("surface_temperature")
    if material is None or surface is None:
        return material
    return max(material, surface)


def _in_table_unit(criteria: Criteria, found: PotLife) -> Quantity:
    return Quantity(found.hours, "hour").to(criteria.table("pot_life")[0][1].unit)


def _estimate(found: PotLife) -> str:
    return " (pot life estimated from the nearest row)" if found.estimated else ""
