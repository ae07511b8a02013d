"""One pull: its strength, what broke, and what it says about the coating."""

from dataclasses import dataclass
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.formulas.pull_off import pull_off_strength
from qc.engine.quantities import Quantity, decimal_text
from qc.engine.rules import Limit, Outcome
from qc.engine.standards.tables import load_tables

_GLUE_SHARE = load_tables("qc.engine.characteristics.adhesion")["defaults"]["glue_share"]["value"]
_WHOLE = Fraction(100)


@dataclass(frozen=True, kw_only=True)
class Pull:
    """One test, by name. `stress` is its strength; None where `problem` says why there is none.

    `ended` is False where the load was let off before anything broke. `shares` holds the shares
    of the face by nature, in per cent; empty where the fracture was not described.
    """

    name: str
    stress: Quantity | None
    ended: bool
    shares: dict[str, Fraction]
    problem: str = ""

    def meets(self, limit: Limit | None) -> bool:
        """Whether the strength reaches the limit; False where there is neither."""
        if limit is None or self.stress is None:
            return False
        return limit.judge(self.stress).outcome is Outcome.CONFORMS

    def is_glue_failure(self, criteria: Criteria) -> bool:
        """Whether so much of the face broke in the glue that the coating was not tested."""
        least = criteria.quantity("glue_share") or Quantity.parse(_GLUE_SHARE)
        glue = self.shares.get("glue", Fraction(0))
        return glue > 0 and glue >= least.magnitude_in("%")


def pull_of(criteria: Criteria, reading: Values, number: int) -> Pull:
    """What a reading says, whatever the limit."""
    place = reading.text("location")
    problem = _strength_problem(criteria, reading) or _fracture_problem(reading)
    return Pull(
        name=f"test {number} ({place})" if place else f"test {number}",
        stress=None if problem else _stress(criteria, reading),
        ended=reading.flag("fractured") is not False,
        shares={} if problem else _shares(reading),
        problem=problem,
    )


def _strength_problem(criteria: Criteria, reading: Values) -> str:
    if "stress" in reading:
        return "both force and strength are given; give one" if "force" in reading else ""
    if "force" not in reading:
        return "neither force nor strength is given"
    if _diameter(criteria, reading) is None:
        return "the diameter of the dolly is not given"
    return ""


def _fracture_problem(reading: Values) -> str:
    parts = reading.groups("fracture")
    if reading.flag("fractured") is False:
        return "said not to have been pulled off, yet a fracture is described" if parts else ""
    if len(parts) > 1 and any("share" not in part for part in parts):
        return "the fracture is of several kinds and not every share is given"
    total = sum(_shares(reading).values(), Fraction(0))
    if not parts or total == _WHOLE:
        return ""
    return f"the shares of the fracture make {decimal_text(total)} % and not 100 %"


def _shares(reading: Values) -> dict[str, Fraction]:
    shares: dict[str, Fraction] = {}
    for part in reading.groups("fracture"):
        stated = part.quantity("share")
        share = _WHOLE if stated is None else Fraction(stated.magnitude_in("%"))
        shares[part.text("nature")] = shares.get(part.text("nature"), Fraction(0)) + share
    return shares


def _stress(criteria: Criteria, reading: Values) -> Quantity | None:
    force, diameter = reading.quantity("force"), _diameter(criteria, reading)
    if force is None or diameter is None:
        return reading.quantity("stress")
    return pull_off_strength(force, diameter)


def _diameter(criteria: Criteria, reading: Values) -> Quantity | None:
    return reading.quantity("dolly_diameter") or criteria.quantity("dolly_diameter")
