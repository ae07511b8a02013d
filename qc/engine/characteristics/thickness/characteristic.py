"""Thickness, declared: what is asked, what is read, and how to take it."""

from qc.engine.characteristic import Characteristic, Places
from qc.engine.characteristics.thickness.criteria import CRITERIA, check
from qc.engine.characteristics.thickness.reading import COMPUTED, READING
from qc.engine.characteristics.thickness.rules import assess_thickness

THICKNESS = Characteristic(
    key="thickness",
    title="Thickness",
    schema_version=1,
    criteria=CRITERIA,
    reading=READING,
    computed=COMPUTED,
    assess=assess_thickness,
    ordered=(("min", "max"), ("nominal", "max")),
    check=check,
    places=Places(rules=("iso19840", "pa2", "90-10", "one_each")),
    instruments=("thickness_gauge", "depth_gauge", "caliper"),
    method=(
        "Check the gauge on a standard near the expected thickness before and after. Spread the "
        "readings over the whole area, also over edges, welds and the far side. SSPC-PA 2: at each "
        "spot of 4 cm (1.5 in) take three readings and move the probe between them; an unusual "
        "reading that does not repeat is left out; five spots make an area. Fillers and laminates: "
        "measure from a recorded datum before and after with a depth gauge or caliper, in each "
        "zone. The usual mistakes: a coating still soft under the probe, the profile not taken "
        "off, extra readings on thin places averaged in, a magnetic gauge on a metal-filled "
        "product, a wet film comb taken as proof of the dry thickness."
    ),
    cautions=(
        "The surface may still be hot from curing, or from what the pipe carries.",
        "Never cut or drill a repair on a live pipe to measure its thickness.",
    ),
)
