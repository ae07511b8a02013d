"""R-106: a leak found yesterday; the client has asked about its plan, and is still to agree it."""

from qc.management.demo.photographs import pipe_scenes
from qc.management.demo.registers import WRAP
from qc.management.demo.released import POT_LIFE
from qc.management.demo.site import Site
from qc.workflow import RepairOutline

OUTLINE = RepairOutline(
    number="R-106",
    title="Wrap over sealed leak, drain header",
    asset_tag="4-DR-077",
    asset_description="Drain header under rack 5",
    diameter="114.3 mm",
    wall="6.02 mm",
    material="Carbon steel",
    service="Oily water, atmospheric",
    line="4-DR-0770-A1",
    temperature="30 degC",
    design_temperature="60 degC",
    design_pressure="3.5 bar",
    defect="Crack along the pipe, 35 mm, at 6 o'clock",
    defect_type="crack_like",
    defect_length="35 mm",
    defect_distance="0.9 m",
    defect_clock="6",
    defect_position="from the tee of rack 5",
    repair_class="3, by design DN-219",
    design_life="2 years",
    template="composite_wrap",
)


_DESIGN = "design of the repair, DN-219"
_DRAWN = {
    "sealing": {"criteria": {"bands_min": 4}, "sources": {"bands_min": _DESIGN}},
    "wrap": {
        "criteria": {"layers_min": 6, "overlap_length_min": "60 mm"},
        "sources": {"layers_min": _DESIGN, "overlap_length_min": _DESIGN},
        "qualifications": {"applicator": [WRAP]},
    },
}


def play(site: Site) -> None:
    """Drafted, fitted to the product, one photograph, one question of the client."""
    site.plan("15:20", days=0)
    site.revise(
        {"filler_mixing": POT_LIFE} | _DRAWN,
        "Fitted to the crack and to the data sheet of the filler",
        "15:45",
        0,
    )
    site.picture(
        "condition", "defect", "16:00", pipe_scenes.leak(61, crack=True), "Crack at 6 o'clock"
    )
    site.comment("wrap", "Six layers for 35 mm: is the crack growing?", "16:20", 0)
