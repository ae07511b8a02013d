"""Judges whether a surface is free of oil and grease, by at least two methods."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Assessment,
    Finding,
    Judged,
    Outcome,
    enough_readings,
    judge_places,
    listed,
)
from qc.engine.standards.tables import load_tables, source_text

TABLES = load_tables("qc.engine.characteristics.oil_grease")
METHODS: tuple[str, ...] = tuple(TABLES["methods"])
_BLACK_LIGHT = "black_light"
_FARTHEST = Quantity.parse(TABLES["black_light"]["farthest"])


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Any evidence rejects; a clean surface has to be shown by enough methods at every place."""
    by_place = _methods_by_place(readings)
    called = {_place(reading): reading.text("location") for reading in readings}
    return Assessment(
        findings=(
            _evidence(readings),
            *(_enough(criteria, called[place], found) for place, found in by_place.items()),
            *(
                finding
                for place, found in by_place.items()
                for finding in _asked_for(criteria, called[place], found)
            ),
        ),
        computed={"methods": min(len(methods) for methods in by_place.values())},
        flags=tuple(_flags(readings)),
    )


def _evidence(readings: Sequence[Values]) -> Finding:
    found = [reading for reading in readings if reading.flag("contaminated")]
    return judge_places(
        "oil_grease.evidence",
        [_judged(reading) for reading in readings],
        observed="oil or grease found" if found else "none found",
        limit="no evidence of oil or grease",
        source=source_text(TABLES),
        names=[r.text("location") or f"reading {n}" for n, r in enumerate(readings, start=1)],
    )


def _judged(reading: Values) -> Judged:
    by = TABLES["methods"][reading.text("method")]
    if reading.flag("contaminated"):
        said = f"oil or grease was found ({by}): clean to SP 1 and test again"
        return Outcome.DOES_NOT_CONFORM, said
    return Outcome.CONFORMS, f"no oil or grease was found ({by})"


def _methods_by_place(readings: Sequence[Values]) -> dict[str, set[str]]:
    """The methods that count at each place; one that names no place was done everywhere."""
    by_place: dict[str, set[str]] = {}
    for reading in readings:
        methods = by_place.setdefault(_place(reading), set())
        if not not_counted(reading):
            methods.add(reading.text("method"))
    everywhere = by_place.pop("", set())
    if not by_place:
        return {"": everywhere}
    return {place: methods | everywhere for place, methods in by_place.items()}


def _place(reading: Values) -> str:
    return " ".join(reading.text("location").casefold().split())


def not_counted(reading: Values) -> str:
    """Why a clean result proves nothing; "" if it counts. Only black light has such conditions."""
    if reading.text("method") != _BLACK_LIGHT:
        return ""
    if not reading.flag("fluorescence_proven"):
        return "the oil was not shown to glow under black light"
    if reading.flag("dark") is False:
        return "black light shows nothing unless it is dark"
    if reading.flag("before_blasting") is False:
        return "black light is for surfaces not yet blasted"
    distance = reading.quantity("distance")
    if distance is not None and distance > _FARTHEST:
        return f"the lamp was farther off than {_FARTHEST.printed} (15 in)"
    return ""


def _enough(criteria: Criteria, place: str, methods: set[str]) -> Finding:
    """At least so many methods; black light asks for one more beside it."""
    stated = "methods_min" in criteria
    least = criteria.integer("methods_min", int(TABLES["count"]["methods"]))
    if methods == {_BLACK_LIGHT}:
        least = max(least, 2)
    which = f"at {place}" if place else ""
    source = criteria.source("methods_min") if stated else source_text(TABLES)
    return enough_readings("oil_grease.methods", len(methods), least, "method", source, which=which)


def _asked_for(criteria: Criteria, place: str, methods: set[str]) -> list[Finding]:
    """Whether every method that the plan names was done."""
    missing = [m for m in dict.fromkeys(criteria.texts("methods")) if m not in methods]
    if not missing:
        return []
    where = f" at {place}" if place else ""
    named = ", ".join(TABLES["methods"][method] for method in missing)
    return [
        Finding(
            rule="oil_grease.asked",
            outcome=Outcome.INCOMPLETE,
            statement=f"Not done{where}, or done in a way that does not count: {named}.",
            source=criteria.source("methods"),
        )
    ]


def _flags(readings: Sequence[Values]) -> list[str]:
    flags = [
        f"oil_grease.black_light: reading {n}: {why}; a clean result is not counted"
        for n, reading in enumerate(readings, start=1)
        if (why := not_counted(reading))
    ]
    unknown = [
        n
        for n, reading in enumerate(readings, start=1)
        if reading.text("method") == _BLACK_LIGHT and "distance" not in reading
    ]
    if unknown:
        flags.append(
            f"oil_grease.black_light: reading {listed(unknown)}: distance of the lamp not stated"
        )
    return flags
