"""Judges prepared surfaces against the required grade and what belongs to it."""

from collections.abc import Sequence
from decimal import Decimal

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.cleanliness.grades import (
    FLASH_RUST,
    IMPERFECTION_GRADES,
    JETTING_GRADES,
    Standing,
    accepted,
    is_sspc,
    standing,
)
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    enough_readings,
    judge_several,
    listed,
    worst,
)
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.cleanliness")
_PHOTOGRAPHS = _TABLES["photographs"]
_DEGREASING_SOURCE: str = _TABLES["degreasing"]["source"]
_LEAST_PROFILE = {
    grade: Quantity(Decimal(least), "um") for grade, least in _TABLES["profile"]["least_um"].items()
}

Judged = tuple[Outcome, str]
"""How one place comes off, and why in words."""


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


def _grade_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    found = (
        _grade(criteria, readings),
        _designation(readings),
        _degreased(criteria, readings),
        _profile(criteria, readings),
    )
    return [finding for finding in found if finding is not None]


def _grade(criteria: Criteria, readings: Sequence[Values]) -> Finding:
    required = criteria.text("required")
    return _one_finding(
        "cleanliness.grade",
        [_grade_of(criteria, given.text("achieved")) for given in readings],
        observed=", ".join(dict.fromkeys(r.text("achieved", "not stated") for r in readings)),
        limit=f"{required} or cleaner",
        source=criteria.source("required"),
    )


def _grade_of(criteria: Criteria, achieved: str) -> Judged:
    required, pairs = criteria.text("required"), criteria.pairs("equivalents")
    if not achieved:
        return Outcome.CANNOT_BE_JUDGED, "the grade achieved is not stated"
    match standing(achieved, required, pairs):
        case Standing.MEETS:
            by = accepted(required, pairs)[achieved]
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


def _designation(readings: Sequence[Values]) -> Finding | None:
    """A grade for which the photographs show no such rust grade is no designation."""
    wrong = [(n, why) for n, given in enumerate(readings, 1) if (why := _no_photograph(given))]
    if not wrong:
        return None
    numbers, reason = listed([n for n, _ in wrong]), wrong[0][1]
    return cannot_be_judged(
        "cleanliness.designation",
        f"Reading {numbers}: {reason}. This is not a valid designation; look again.",
        _PHOTOGRAPHS["source"],
    )


def _no_photograph(given: Values) -> str:
    achieved, rust = given.text("achieved"), given.text("rust_grade")
    if rust == "A" and achieved in _PHOTOGRAPHS["none_for_a"]:
        return f"there is no reference photograph of {achieved} on rust grade A"
    painted = given.flag("previously_painted") and achieved.startswith(("Sa", "St", "Fl"))
    if painted and rust and rust not in _PHOTOGRAPHS["previously_painted"]:
        return f"steel painted before is compared with rust grade C or D, not {rust}"
    return ""


def _degreased(criteria: Criteria, readings: Sequence[Values]) -> Finding | None:
    required = criteria.text("required")
    judged = [_degreased_of(required, given) for given in readings]
    asked = [each for each in judged if each is not None]
    if not asked:
        return None
    return _one_finding(
        "cleanliness.degreased",
        [each or (Outcome.CONFORMS, "not asked for") for each in judged],
        observed="",
        limit="oil and grease removed first",
        source=_DEGREASING_SOURCE,
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


def _profile(criteria: Criteria, readings: Sequence[Values]) -> Finding | None:
    """The profile that the deciding grade includes, where it includes one."""
    accepted_by = accepted(criteria.text("required"), criteria.pairs("equivalents"))
    limits = [_LEAST_PROFILE.get(accepted_by.get(r.text("achieved"), "")) for r in readings]
    asked = [(n, r.quantity("profile")) for n, r in enumerate(readings, 1) if limits[n - 1]]
    if not asked:
        return None
    rule, missing = "cleanliness.profile", [n for n, profile in asked if profile is None]
    limit = Limit(
        rule=rule,
        label="Profile that belongs to the grade",
        value=next(least for least in limits if least is not None),
        bound=Bound.AT_LEAST,
        source=_TABLES["profile"]["source"],
    )
    judged = judge_several(limit, [(n, p) for n, p in asked if p is not None])
    if judged is not None and (judged.outcome is not Outcome.CONFORMS or not missing):
        return judged
    return Finding(
        rule=rule,
        outcome=Outcome.INCOMPLETE,
        limit=limit.text,
        statement=f"Reading {listed(missing)}: the profile that belongs to the grade is missing.",
        source=limit.source,
    )


def _flash_rust(criteria: Criteria, readings: Sequence[Values]) -> Finding:
    most = criteria.text("flash_rust_max")
    return _one_finding(
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
        "places",
        criteria.source("locations_min"),
    )


def _one_finding(
    rule: str, judged: Sequence[Judged], *, observed: str, limit: str, source: str
) -> Finding:
    """One finding for all places: the worst decides, and the places it holds for are named."""
    outcome = worst(each for each, _ in judged)
    decisive = [n for n, (each, _) in enumerate(judged, 1) if each is outcome]
    reason = judged[decisive[0] - 1][1]
    where = f"Reading {listed(decisive)}: " if len(judged) > 1 else ""
    statement = f"{where}{reason}." if where else f"{reason[0].upper()}{reason[1:]}."
    return Finding(
        rule=rule,
        outcome=outcome,
        observed=observed,
        limit=limit,
        statement=statement,
        source=source,
    )


def _flags(criteria: Criteria, readings: Sequence[Values]) -> tuple[str, ...]:
    jetted = any(given.text("achieved") in JETTING_GRADES for given in readings)
    if jetted and "flash_rust_max" not in criteria:
        return ("flash_rust_limit_not_set",)
    return ()
