"""Judges prepared surfaces against the required grade and what belongs to it."""

from collections.abc import Callable, Sequence
from decimal import Decimal

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.cleanliness.grades import (
    FLASH_RUST,
    IMPERFECTION_GRADES,
    JETTING_GRADES,
    Order,
    Standing,
    is_sspc,
)
from qc.engine.characteristics.cleanliness.levels import check_level, level_findings
from qc.engine.fields import InvalidValue, Values
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Judged,
    Limit,
    Outcome,
    by_reason,
    cannot_be_judged,
    enough_readings,
    judge_each,
    judge_places,
    listed,
)
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.cleanliness")
_PHOTOGRAPHS = _TABLES["photographs"]
_DEGREASING: dict[str, str] = _TABLES["degreasing"]
_LEAST_PROFILE = {
    grade: Quantity(Decimal(least), "um") for grade, least in _TABLES["profile"]["least_um"].items()
}


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Every place must reach the grade and meet what belongs to it."""
    findings: list[Finding] = []
    if "required" in criteria:
        findings += _grade_findings(criteria, readings)
    if "flash_rust_max" in criteria:
        findings.append(_flash_rust(criteria, readings))
    if "locations_min" in criteria:
        findings.append(_places(criteria, readings))
    return Assessment(findings=tuple(findings), flags=_flags(criteria, readings))


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a level that no grade has, or equivalents that would let a lower grade of
    the same chain pass."""
    check_level(criteria, path)
    order = order_of(criteria)
    for required in {criteria.text("required"), *(first for first, _ in order.pairs)} - {""}:
        lower = order.lowered(required)
        if lower:
            problem = f"they would let {lower} pass for {required}, which is cleaner"
            raise InvalidValue(f"{path}.equivalents", problem)


def order_of(criteria: Criteria) -> Order:
    """The order of grades by which the plan has them compared."""
    return Order(
        pairs=criteria.pairs("equivalents"),
        hand_below_power=criteria.flag("hand_below_power") is not False,
    )


def _grade_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    found = (
        _grade(criteria, readings),
        *_designations(readings),
        _degreased(criteria, readings),
    )
    judged = [finding for finding in found if finding is not None]
    return [*judged, *level_findings(criteria, readings), *_profile(criteria, readings)]


def _grade(criteria: Criteria, readings: Sequence[Values]) -> Finding:
    required = criteria.text("required")
    return judge_places(
        "cleanliness.grade",
        [_grade_of(criteria, given.text("achieved")) for given in readings],
        observed=", ".join(dict.fromkeys(r.text("achieved", "not stated") for r in readings)),
        limit=f"{required} or cleaner",
        source=criteria.source("required"),
    )


def _grade_of(criteria: Criteria, achieved: str) -> Judged:
    required, order = criteria.text("required"), order_of(criteria)
    if not achieved:
        return Outcome.CANNOT_BE_JUDGED, "the grade achieved is not stated"
    match order.standing(achieved, required):
        case Standing.MEETS:
            by = order.accepted(required)[achieved]
            listed_as = "" if by == required else f", by the plan's equivalent {by}"
            return Outcome.CONFORMS, f"{achieved} meets the required {required}{listed_as}"
        case Standing.BELOW:
            return Outcome.DOES_NOT_CONFORM, f"{achieved} is below the required {required}"
        case Standing.NOT_COMPARABLE:
            return (
                Outcome.CANNOT_BE_JUDGED,
                f"{achieved} and the required {required} do not compare: one is neither below nor "
                "above the other, and the plan lists no equivalent",
            )


def _designations(readings: Sequence[Values]) -> list[Finding]:
    """A grade for which the photographs show no such rust grade is no designation."""
    sources = (
        (_no_photograph, _PHOTOGRAPHS["source"]),
        (_painted_before, _PHOTOGRAPHS["previously_painted_source"]),
    )
    return [
        cannot_be_judged(
            "cleanliness.designation",
            f"Reading {listed(numbers)}: {reason}. This is not a valid designation; look again.",
            source,
        )
        for problem, source in sources
        for reason, numbers in _reasons(problem, readings).items()
    ]


def _reasons(problem: Callable[[Values], str], readings: Sequence[Values]) -> dict[str, list[int]]:
    numbered = enumerate(readings, start=1)
    return by_reason((n, reason) for n, given in numbered if (reason := problem(given)))


def _no_photograph(given: Values) -> str:
    achieved, rust = given.text("achieved"), given.text("rust_grade")
    if rust != "A" or achieved not in _PHOTOGRAPHS["none_for_a"]:
        return ""
    return f"there is no reference photograph of {achieved} on rust grade A"


def _painted_before(given: Values) -> str:
    achieved, rust = given.text("achieved"), given.text("rust_grade")
    painted = given.flag("previously_painted") and achieved.startswith(("Sa", "St", "Fl"))
    if not painted or not rust or rust in _PHOTOGRAPHS["previously_painted"]:
        return ""
    return f"steel painted before is compared with rust grade C or D, not {rust}"


def _degreased(criteria: Criteria, readings: Sequence[Values]) -> Finding | None:
    required = criteria.text("required")
    judged = [_degreased_of(required, given) for given in readings]
    asked = [each for each in judged if each is not None]
    sspc = is_sspc(required) or any(is_sspc(given.text("achieved")) for given in readings)
    if not asked:
        return None
    return judge_places(
        "cleanliness.degreased",
        [each or (Outcome.CONFORMS, "not asked for") for each in judged],
        observed="",
        limit="oil and grease removed first",
        source=_DEGREASING["sspc_source" if sspc else "other_source"],
    )


def _degreased_of(required: str, given: Values) -> Judged | None:
    """Needed for every SSPC grade; where it is denied, no grade stands."""
    done = given.flag("degreased")
    if required in IMPERFECTION_GRADES:
        return None
    if done is False:
        return Outcome.DOES_NOT_CONFORM, "oil and grease were not removed first"
    if done:
        return Outcome.CONFORMS, "oil and grease were removed first"
    if is_sspc(required) or is_sspc(given.text("achieved")):
        return Outcome.INCOMPLETE, "no record that oil and grease were removed first (SP 1)"
    return None


def _profile(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """The profile that the deciding grade includes, where it includes one."""
    by = order_of(criteria).accepted(criteria.text("required"))
    profiles: dict[str, list[tuple[int, Quantity | None]]] = {}
    for number, given in enumerate(readings, start=1):
        grade = by.get(given.text("achieved"), "")
        if grade in _LEAST_PROFILE:
            profiles.setdefault(grade, []).append((number, given.quantity("profile")))
    return [
        finding for grade, seen in profiles.items() for finding in _profile_of_grade(grade, seen)
    ]


def _profile_of_grade(grade: str, seen: Sequence[tuple[int, Quantity | None]]) -> list[Finding]:
    limit = Limit(
        rule="cleanliness.profile",
        label=f"Profile that belongs to {grade}",
        value=_LEAST_PROFILE[grade],
        bound=Bound.AT_LEAST,
        source=_TABLES["profile"]["source"],
    )
    read = [(n, profile.magnitude_in("um")) for n, profile in seen if profile is not None]
    missing = [n for n, profile in seen if profile is None]
    findings = []
    if read:
        values = [value for _, value in read]
        findings.append(judge_each(limit, values, "um", lambda i: f"reading {read[i][0]}"))
    if missing:
        findings.append(_profile_missing(limit, missing))
    return findings


def _profile_missing(limit: Limit, numbers: Sequence[int]) -> Finding:
    return Finding(
        rule=limit.rule,
        outcome=Outcome.INCOMPLETE,
        limit=limit.text,
        statement=f"Reading {listed(numbers)}: {limit.label[0].lower()}{limit.label[1:]} "
        "is missing.",
        source=limit.source,
    )


def _flash_rust(criteria: Criteria, readings: Sequence[Values]) -> Finding:
    most = criteria.text("flash_rust_max")
    return judge_places(
        "cleanliness.flash_rust",
        [_flash_rust_of(given.text("flash_rust"), most) for given in readings],
        observed=", ".join(dict.fromkeys(r.text("flash_rust", "not stated") for r in readings)),
        limit=f"{most} or less",
        source=criteria.source("flash_rust_max"),
    )


def _flash_rust_of(seen: str, most: str) -> Judged:
    if not seen:
        return Outcome.INCOMPLETE, "flash rust is not stated"
    if FLASH_RUST.index(seen) >= FLASH_RUST.index(most):
        return Outcome.CONFORMS, f"flash rust {seen} is within {most}"
    return Outcome.DOES_NOT_CONFORM, f"flash rust {seen} is heavier than {most}"


def _places(criteria: Criteria, readings: Sequence[Values]) -> Finding:
    return enough_readings(
        "cleanliness.locations",
        len(readings),
        criteria.integer("locations_min", 1),
        "place",
        criteria.source("locations_min"),
    )


def _flags(criteria: Criteria, readings: Sequence[Values]) -> tuple[str, ...]:
    jetted = any(given.text("achieved") in JETTING_GRADES for given in readings)
    if jetted and "flash_rust_max" not in criteria:
        return ("flash_rust_limit_not_set",)
    return ()
