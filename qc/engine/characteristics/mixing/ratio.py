"""The mixing ratio of a mix, by weight or by volume, and whether it was a whole kit."""

from dataclasses import replace
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.mixing.mix import Mix
from qc.engine.fields import InvalidValue
from qc.engine.quantities import Dimension, InvalidQuantity, Quantity, parse_decimal, shown
from qc.engine.rules import Bound, Finding, Limit, Outcome, cannot_be_judged

_BASES = {"weight": (Dimension.MASS, "kg"), "volume": (Dimension.VOLUME, "l")}


def check_ratio(criteria: Criteria, path: str) -> None:
    """InvalidValue where the ratio is no ratio."""
    try:
        if criteria.text("ratio"):
            ratio_of(criteria.text("ratio"))
    except InvalidQuantity as refusal:
        raise InvalidValue(f"{path}.ratio", str(refusal)) from None


def check_amount(criteria: Criteria, path: str) -> None:
    """InvalidValue where the largest mix or a kit is no mass and no volume above 0, and where a
    kit can never be the mix that the plan asks for."""
    kinds = [dimension for dimension, _ in _BASES.values()]
    for name in ("batch_max", "kit_amount"):
        amount = criteria.quantity(name)
        if amount is not None and (amount.dimension not in kinds or amount.magnitude <= 0):
            problem = f"{amount} is no amount above 0 in a unit such as g or ml"
            raise InvalidValue(f"{path}.{name}", problem)
    _check_kit(criteria, path)


def _check_kit(criteria: Criteria, path: str) -> None:
    most, kit = criteria.quantity("batch_max"), criteria.quantity("kit_amount")
    if most is None or kit is None:
        return
    if kit.dimension is not most.dimension:
        problem = f"{kit} is not a {most.dimension}, as batch_max is, {most}"
        raise InvalidValue(f"{path}.kit_amount", problem)
    if criteria.flag("whole_kits_only") and kit > most:
        problem = f"{kit} is above batch_max, {most}, and only whole kits are allowed"
        raise InvalidValue(f"{path}.kit_amount", problem)


def ratio_of(text: str) -> Fraction:
    """Parts of A to one of B from "2.5", "2.5:1" or "100:40"; InvalidQuantity for anything else."""
    parts = text.replace(",", ".").split(":")
    numbers = [Fraction(parse_decimal(part)) for part in parts]
    if len(numbers) > 2 or min(numbers) <= 0:
        raise InvalidQuantity(f"{text[:40]!r} is not a ratio such as 2.5 or 2.5:1")
    return numbers[0] / numbers[1] if len(numbers) == 2 else numbers[0]


def ratio_deviation(criteria: Criteria, mix: Mix) -> Quantity | None:
    """100 (r - r0) / r0 in %, above zero where there is too much of part A.

    None where the ratio or its basis is not set, or the parts do not give it.
    """
    amounts = _amounts(criteria, mix)
    if isinstance(amounts, str):
        return None
    part_a, part_b = amounts
    wanted = ratio_of(criteria.text("ratio"))
    return Quantity(100 * (part_a / part_b - wanted) / wanted, "%")


def judge_ratio(criteria: Criteria, mix: Mix) -> list[Finding]:
    """Whether the parts lie within the tolerance of the ratio; a whole kit is not weighed."""
    if "ratio" not in criteria:
        return []
    if mix.reading.flag("whole_kit") and not _weighed(mix):
        return [_whole_kit(criteria, mix)]
    problem = _amounts(criteria, mix)
    deviation = ratio_deviation(criteria, mix)
    if isinstance(problem, str) or deviation is None:
        return [_unjudged(criteria, mix, str(problem))]
    wrong = "A" if deviation.magnitude > 0 else "B"
    label = f"Ratio {criteria.text('ratio')} by {criteria.text('ratio_basis')}"
    if deviation.magnitude:
        label += f", too much of part {wrong}"
    limit = criteria.limit("ratio_tolerance", "mixing.ratio", label, Bound.AT_MOST, places=2)
    if limit is None:
        off = f"{shown(deviation.magnitude, 2)} %"
        return [_unjudged(criteria, mix, f"the plan sets no tolerance for a deviation of {off}")]
    size = Quantity(abs(Fraction(deviation.magnitude)), "%")
    return [replace(limit, opposite=_other_side(criteria)).judge(size, mix.name)]


def _other_side(criteria: Criteria) -> Quantity | None:
    """The tolerance towards too little of what there is too much of."""
    tolerance = criteria.quantity("ratio_tolerance")
    return tolerance and Quantity(-tolerance.magnitude, tolerance.unit)


def judge_kit(criteria: Criteria, mix: Mix) -> list[Finding]:
    """Where the plan asks for whole kits, a part of a kit does not conform."""
    if not criteria.flag("whole_kits_only"):
        return []
    whole = mix.reading.flag("whole_kit")
    said = {True: "whole kit", False: "part of a kit", None: "not stated"}[whole]
    outcome = {
        True: Outcome.CONFORMS,
        False: Outcome.DOES_NOT_CONFORM,
        None: Outcome.CANNOT_BE_JUDGED,
    }[whole]
    return [
        Finding(
            rule="mixing.whole_kit",
            outcome=outcome,
            observed=said,
            limit="whole kit",
            statement=f"{mix.name.capitalize()}: {said}; whole kits only are asked for.",
            source=criteria.source("whole_kits_only"),
        )
    ]


def judge_amount(criteria: Criteria, mix: Mix) -> list[Finding]:
    """Whether both parts together, or the kit by its label, stay within the largest mix."""
    limit = criteria.limit("batch_max", "mixing.amount", "Amount mixed", Bound.AT_MOST)
    if limit is None or not isinstance(limit.value, Quantity):
        return []
    if mix.reading.flag("whole_kit") and not _weighed(mix):
        return [_judge_whole_kit(criteria, limit, mix)]
    parts = [mix.reading.quantity("part_a"), mix.reading.quantity("part_b")]
    kind = limit.value.dimension
    known = [part for part in parts if part is not None and part.dimension is kind]
    if len(known) < 2 or min(part.magnitude for part in known) <= 0:
        statement = f"{mix.name.capitalize()}: both parts are needed in a unit of {kind}."
        return [cannot_be_judged("mixing.amount", statement, limit.source)]
    total = sum((Fraction(part.magnitude_in(limit.value.unit)) for part in known), Fraction(0))
    return [limit.judge(Quantity(total, limit.value.unit), mix.name)]


def _judge_whole_kit(criteria: Criteria, limit: Limit, mix: Mix) -> Finding:
    """The amount of a kit that was not weighed is the plan's, if it states one."""
    kit = criteria.quantity("kit_amount")
    if kit is not None:
        return limit.judge(kit, f"{mix.name}, a whole kit")
    statement = (
        f"{mix.name.capitalize()}: whole kit not weighed, and the plan does not state what a kit "
        "holds."
    )
    return cannot_be_judged(limit.rule, statement, limit.source)


def kit_flags(mix: Mix) -> list[str]:
    """What the record should tell of kits."""
    whole = mix.reading.flag("whole_kit")
    if whole is False:
        return [f"{mix.name}: partial kit"]
    return [f"{mix.name}: whole kit, not weighed"] if whole and not _weighed(mix) else []


def _weighed(mix: Mix) -> bool:
    return "part_a" in mix.reading or "part_b" in mix.reading


def _amounts(criteria: Criteria, mix: Mix) -> tuple[Fraction, Fraction] | str:
    """Parts A and B in the unit of the ratio's basis, or why there are none."""
    basis = criteria.text("ratio_basis")
    if "ratio" not in criteria or not basis:
        return "the plan does not say whether the ratio is by weight or by volume"
    amounts = []
    for part in ("a", "b"):
        given = mix.reading.quantity(f"part_{part}")
        if given is None:
            return f"part {part.upper()} has not been recorded"
        amount = _amount(given, basis, criteria.quantity(f"density_{part}"))
        if amount is None:
            return f"part {part.upper()}, {given}, is not by {basis}, as the ratio is"
        if amount <= 0:
            return f"part {part.upper()}, {given}, is not more than nothing"
        amounts.append(amount)
    return amounts[0], amounts[1]


def _amount(given: Quantity, basis: str, density: Quantity | None) -> Fraction | None:
    dimension, unit = _BASES[basis]
    if given.dimension is dimension:
        return Fraction(given.magnitude_in(unit))
    if density is None:
        return None
    kilograms_a_litre = Fraction(density.magnitude_in("kg/l"))
    if given.dimension is Dimension.MASS:
        return Fraction(given.magnitude_in("kg")) / kilograms_a_litre
    if given.dimension is Dimension.VOLUME:
        return Fraction(given.magnitude_in("l")) * kilograms_a_litre
    return None


def _whole_kit(criteria: Criteria, mix: Mix) -> Finding:
    return Finding(
        rule="mixing.ratio",
        outcome=Outcome.CONFORMS,
        observed="whole kit",
        limit=criteria.text("ratio"),
        statement=f"{mix.name.capitalize()}: a whole kit is declared, so nothing is weighed.",
        source=criteria.source("ratio"),
    )


def _unjudged(criteria: Criteria, mix: Mix, problem: str) -> Finding:
    statement = f"{mix.name.capitalize()}: {problem}."
    return cannot_be_judged("mixing.ratio", statement, criteria.source("ratio"))
