"""ISO 8503-2: the grade of a profile by comparison with four segments."""

from decimal import Decimal

from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.standards.tables import load_tables

_TABLE = load_tables("qc.engine.characteristics.profile")["comparator"]
GRADES: list[str] = _TABLE["grades"]
SOURCE: str = _TABLE["source"]


def grade_of_segment(segment: int) -> str:
    """The grade of a surface that reaches `segment` (0 to 4) and not the next rougher one."""
    return GRADES[segment]


def segment_of(profile: Quantity, comparator: str) -> int:
    """The roughest segment whose nominal figure `profile` reaches; a cross-check, as the standard
    compares surfaces and not figures."""
    nominals = (Quantity(Decimal(nominal), _TABLE["unit"]) for nominal in _TABLE[comparator])
    return sum(1 for nominal in nominals if profile >= nominal)


def at_the_edge(profile: Quantity, comparator: str) -> bool:
    """True for exactly the figure of segment 4, for which coarse and coarser are not told apart."""
    return profile == Quantity(Decimal(_TABLE[comparator][-1]), _TABLE["unit"])


def seen_segment(reading: Values) -> int | None:
    """The segment a reading names, or which its grade stands for; None without either."""
    if "segment" in reading:
        return reading.integer("segment")
    return GRADES.index(reading.text("grade")) if "grade" in reading else None


def problem(reading: Values, asked: str) -> str:
    """Why what was seen cannot be used with a comparator of kind `asked`; "" if it can."""
    segment, grade = seen_segment(reading), reading.text("grade")
    if grade and segment is not None and grade != grade_of_segment(segment):
        return f"segment {segment} is not the grade {grade.replace('_', ' ')}"
    used = reading.text("comparator")
    if asked and used and used != asked:
        return f"taken with the {used} comparator, the plan asks for {asked}"
    if reading.text("preparation_grade") == "other":
        return "a comparator is valid on Sa 2½ and Sa 3 only"
    return ""
