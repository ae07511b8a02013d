"""The finished wrap: layers, overlap beyond the defect, length; and what formulas say of them."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.wrap.criteria import TABLES
from qc.engine.characteristics.wrap.parts import incomplete, judge_part, recorded
from qc.engine.characteristics.wrap.rolls import is_possible, overlap_of
from qc.engine.fields import Values
from qc.engine.formulas.repair_extent import (
    axial_extent,
    iso_overlap,
    layers_asked,
    layers_everywhere,
    layers_laid,
    pcc2_overlap,
    whole_millimetres,
)
from qc.engine.formulas.statistics import scaled
from qc.engine.quantities import Quantity, decimal_text
from qc.engine.rules import Bound, Finding, Limit, counted

_LEAST_LAYERS = int(TABLES["layers"]["least"])
_EXTENT = TABLES["extent"]
_LAYERS_JUDGED = "Layers, the fewer of passes / (1 - overlap) and those counted"


def build_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """The finished wrap against the design that the plan states."""
    wraps = recorded(readings, "wrap")
    overlap = criteria.limit(
        "overlap_length_min", "wrap.overlap_length", "Overlap beyond the defect", Bound.AT_LEAST
    )
    whole = criteria.limit("length_min", "wrap.length", "Length of the repair", Bound.AT_LEAST)
    return [
        *_layer_findings(criteria, readings),
        *judge_part(overlap, wraps, "the overlap beyond the defect", _shorter_end),
        *judge_part(whole, wraps, "the length", lambda r: r.quantity("length")),
    ]


def _shorter_end(reading: Values) -> Quantity | None:
    return min(reading.quantities("overlap_length"), default=None)


def layers_of_design(criteria: Criteria) -> int | None:
    """The layers asked for: the plan's own number, or more where the thickness needs more."""
    thickness, ply = criteria.quantity("design_thickness"), criteria.quantity("ply_thickness")
    by_thickness = layers_asked(thickness, ply, _LEAST_LAYERS) if thickness and ply else 0
    return max(criteria.integer("layers_min"), by_thickness) or None


def _layer_limit(criteria: Criteria) -> Limit | None:
    asked = layers_of_design(criteria)
    if asked is None:
        return None
    stated = criteria.integer("layers_min") == asked
    name = "layers_min" if stated else "design_thickness"
    return criteria.limit(
        name, "wrap.layers", _LAYERS_JUDGED, Bound.AT_LEAST, places=2, value=Decimal(asked)
    )


def _layer_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    limit, wraps = _layer_limit(criteria), recorded(readings, "wrap")
    if limit is None:
        return []
    lowest = lowest_overlap(criteria, readings)
    passes = [n for n, wrap in wraps.numbered if "passes" in wrap and "layers" not in wrap]
    if passes and lowest is None:
        return [incomplete(limit, "The overlap of no roll is recorded, which gives the layers.")]
    return judge_part(
        limit, wraps, "the number of passes or layers", lambda r: layers_of(r, lowest)
    )


def lowest_overlap(criteria: Criteria, readings: Sequence[Values]) -> Fraction | None:
    """The least overlap of any roll, as a share of 1; None where none is recorded."""
    given = [overlap_of(criteria, roll) for _, roll in recorded(readings, "roll").numbered]
    shares = [share for share in given if share is not None and is_possible(share)]
    return Fraction(min(shares).magnitude_in("%")) / 100 if shares else None


def layers_of(reading: Values, overlap: Fraction | None) -> Fraction | None:
    """Layers of a finished wrap: those counted or those from the passes, whichever are fewer."""
    found = []
    if "layers" in reading:
        found.append(Fraction(reading.integer("layers")))
    if "passes" in reading and overlap is not None:
        found.append(layers_laid(reading.integer("passes"), overlap))
    return min(found, default=None)


def thin_places(criteria: Criteria, readings: Sequence[Values]) -> list[str]:
    """Wraps with enough layers on the average, but fewer where the fewest turns lie."""
    asked, lowest = layers_of_design(criteria), lowest_overlap(criteria, readings)
    if asked is None or lowest is None:
        return []
    flags = []
    for n, wrap in recorded(readings, "wrap").numbered:
        laid = layers_of(wrap, lowest)
        least = layers_everywhere(wrap.integer("passes"), lowest)
        if "passes" in wrap and laid is not None and least < asked <= laid:
            flags.append(
                f"wrap.layers: reading {n}: only {counted(least, 'layer')} where the fewest turns "
                f"lie on each other; judged are {decimal_text(laid)}, by passes / (1 - overlap)"
            )
    return flags


def extent(criteria: Criteria) -> dict[str, str]:
    """Overlap and length by either formula, as far as the plan states what they need."""
    found: dict[str, str] = {}
    for name, overlap in _by_formula(criteria).items():
        found[f"overlap_{name}"] = str(overlap)
        defect, taper = criteria.quantity("defect_length"), _taper(criteria)
        if defect is not None and taper is not None:
            found[f"extent_{name}"] = str(axial_extent(overlap, defect, taper))
    return found


def extent_flags(criteria: Criteria) -> list[str]:
    """The formulas in words, with the caution that they decide nothing."""
    overlaps = _by_formula(criteria)
    if not overlaps:
        return []
    iso, pcc2 = (whole_millimetres(overlaps[name]) for name in ("iso", "pcc2"))
    return [
        f"wrap.overlap_length: for information, 2·√(D·t) asks for {iso} mm and 2.5·√(D·t/2) for "
        f"{pcc2} mm beyond the defect ({_EXTENT['source']}); the design of the repair decides"
    ]


def _by_formula(criteria: Criteria) -> dict[str, Quantity]:
    diameter, wall = criteria.quantity("diameter"), criteria.quantity("wall")
    if diameter is None or wall is None:
        return {}
    floor = criteria.quantity("overlap_floor") or Quantity.parse(_EXTENT["floor"])
    least = floor.to("mm")
    by_form = {"iso": iso_overlap(diameter, wall), "pcc2": pcc2_overlap(diameter, wall)}
    return {name: max(overlap, least) for name, overlap in by_form.items()}


def _taper(criteria: Criteria) -> Quantity | None:
    thickness = criteria.quantity("design_thickness")
    ratio = criteria.number("taper_ratio")
    if thickness is None:
        return None
    return scaled(thickness, Decimal(_EXTENT["taper_ratio"]) if ratio is None else ratio)
