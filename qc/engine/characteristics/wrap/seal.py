"""The seal over the leak: pad, backing sheet, retaining bands and their fasteners."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.wrap.criteria import TABLES
from qc.engine.characteristics.wrap.parts import Recorded, judge_part, recorded
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    enough_readings,
    listed,
)

_FASTENERS = TABLES["fasteners"]
_SIDES = (("min", Bound.AT_LEAST), ("max", Bound.AT_MOST))


def seal_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """What the plan asks of pad, sheet and bands."""
    pads, bands = recorded(readings, "pad"), recorded(readings, "band")
    return [
        *_pad_findings(criteria, pads),
        *(
            finding
            for limit in window(criteria, "backing", "wrap.backing", "Backing sheet", places=2)
            for finding in judge_part(limit, pads, "the backing sheet", _backing)
        ),
        *_band_findings(criteria, bands),
        *_spacing_findings(criteria, bands),
        *_fastener_findings(criteria, bands),
    ]


def window(criteria: Criteria, name: str, rule: str, label: str, places: int = 1) -> list[Limit]:
    """The limits `name`_min and `name`_max, those of them that the plan sets."""
    limits = [
        criteria.limit(f"{name}_{side}", f"{rule}_{side}", label, bound, places=places)
        for side, bound in _SIDES
    ]
    return [limit for limit in limits if limit is not None]


def _backing(reading: Values) -> Quantity | None:
    return reading.quantity("backing")


def pad_extent(reading: Values) -> Fraction | None:
    """How many times the defect the pad is, in the direction in which it is least.

    None where sizes are missing or do not pair.
    """
    pads, defects = reading.quantities("pad_size"), reading.quantities("defect_size")
    if not pads or len(pads) != len(defects):
        return None
    pairs = zip(pads, defects, strict=True)
    return min(
        Fraction(pad.magnitude_in("mm")) / Fraction(hole.magnitude_in("mm")) for pad, hole in pairs
    )


def _pad_findings(criteria: Criteria, pads: Recorded) -> list[Finding]:
    limit = criteria.limit(
        "pad_extent_min", "wrap.pad_extent", "Seal pad over defect", Bound.AT_LEAST, places=2
    )
    if limit is None:
        return []
    unpaired = [
        n
        for n, pad in pads.numbered
        if len(pad.quantities("pad_size")) != len(pad.quantities("defect_size"))
        and "pad_size" in pad
        and "defect_size" in pad
    ]
    paired = Recorded(pads.part, [(n, pad) for n, pad in pads.numbered if n not in unpaired])
    findings = judge_part(limit, paired, "the size of pad or defect", pad_extent)
    if not unpaired:
        return findings
    said = f"Reading {listed(unpaired)}: pad and defect are not measured in the same directions."
    wrong = cannot_be_judged(limit.rule, said, limit.source)
    return [wrong, *findings] if len(paired) else [wrong]


def bands_asked(criteria: Criteria) -> int | None:
    """How many bands the plan asks for on this pipe; None where it cannot be told."""
    if "bands_min" in criteria:
        return criteria.integer("bands_min")
    least, diameter = criteria.quantity("bands_from"), criteria.quantity("diameter")
    if least is None:
        return 0
    return None if diameter is None else int(diameter >= least)


def _band_findings(criteria: Criteria, bands: Recorded) -> list[Finding]:
    if "bands_min" not in criteria and "bands_from" not in criteria:
        return []
    name = "bands_min" if "bands_min" in criteria else "bands_from"
    asked, source = bands_asked(criteria), criteria.source(name)
    if asked is None:
        return [_no_diameter("wrap.bands", source)]
    if asked:
        return [enough_readings("wrap.bands", len(bands), asked, "retaining band", source)]
    least, diameter = criteria.quantity("bands_from"), criteria.quantity("diameter")
    return [
        Finding(
            rule="wrap.bands",
            outcome=Outcome.CONFORMS,
            observed=str(len(bands)),
            limit=f"on pipe from {least.printed}" if least else "",
            statement=f"None asked for on pipe of {diameter.printed if diameter else ''}.",
            source=source,
        )
    ]


def _no_diameter(rule: str, source: str) -> Finding:
    return cannot_be_judged(rule, "The plan states no outside diameter of the pipe.", source)


def _spacing_findings(criteria: Criteria, bands: Recorded) -> list[Finding]:
    """Of several bands, all but the last have a next one."""
    limits = window(criteria, "band_spacing", "wrap.band_spacing", "Distance between bands")
    if len(bands) < 2:
        return []
    measured = [(n, band) for n, band in bands.numbered if "spacing" in band]
    findings = [
        finding
        for limit in limits
        if measured
        for finding in judge_part(limit, Recorded("band", measured), "", _spacing)
    ]
    if len(measured) < len(bands) - 1 and limits:
        counted = enough_readings(
            "wrap.band_spacing", len(measured), len(bands) - 1, "distance", which="between bands"
        )
        findings.append(counted)
    return findings


def _spacing(reading: Values) -> Quantity | None:
    return reading.quantity("spacing")


def fasteners_by_diameter(diameter: Quantity) -> int | None:
    """Fasteners of one band in common practice; None where none is given for the diameter."""
    for row in _FASTENERS["rows"]:
        if "above" in row and diameter > Quantity.parse(row["above"]):
            return int(row["count"])
        if "from" in row and Quantity.parse(row["from"]) <= diameter <= Quantity.parse(row["upto"]):
            return int(row["count"])
    return None


def _fastener_findings(criteria: Criteria, bands: Recorded) -> list[Finding]:
    """The plan's number decides where it states one; else that by diameter."""
    if not criteria.flag("fasteners_by_diameter") and "fasteners_min" not in criteria:
        return []
    if not len(bands) and _no_band_asked(criteria):
        return []
    rule = "wrap.fasteners"
    name = "fasteners_min" if "fasteners_min" in criteria else "fasteners_by_diameter"
    asked: int | None = criteria.integer("fasteners_min")
    if name == "fasteners_by_diameter":
        diameter = criteria.quantity("diameter")
        if diameter is None:
            return [_no_diameter(rule, criteria.source(name))]
        asked = fasteners_by_diameter(diameter)
        if asked is None:
            return [_not_given(diameter, criteria.source(name))]
    limit = criteria.limit(
        name, rule, "Fasteners of a band", Bound.AT_LEAST, places=0, value=Decimal(asked or 0)
    )
    return judge_part(limit, bands, "the number of fasteners", _fasteners)


def _no_band_asked(criteria: Criteria) -> bool:
    stated = "bands_min" in criteria or "bands_from" in criteria
    return stated and bands_asked(criteria) == 0


def _not_given(diameter: Quantity, source: str) -> Finding:
    said = (
        f"No number of fasteners is given for pipe of {diameter.printed}: there is one from 10 to "
        "16 in and one above 18 in. The plan must state fasteners_min."
    )
    return cannot_be_judged("wrap.fasteners", said, source)


def _fasteners(reading: Values) -> Fraction | None:
    return Fraction(reading.integer("fasteners")) if "fasteners" in reading else None
