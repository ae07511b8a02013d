"""R-105: an elbow cleaned for its rebuild, held until the client releases the profile."""

from qc.engine.plan import Party
from qc.management.demo.photographs import wall_scenes
from qc.management.demo.readings import air, clean, tape
from qc.management.demo.registers import gauge_fails
from qc.management.demo.site import Site
from qc.management.demo.with_client import FITTED
from qc.workflow import Manner, RepairOutline

OUTLINE = RepairOutline(
    number="R-105",
    title="Rebuild of thinned elbow, slop line",
    asset_tag="8-SL-012",
    asset_description="Long-radius elbow below the slop tank",
    diameter="219.1 mm",
    wall="8.18 mm",
    material="Carbon steel",
    service="Slops, drained and gas-freed",
    line="8-SL-0120-A1",
    design_temperature="80 degC",
    design_pressure="10 bar",
    defect="External corrosion under a clamp, 180 mm by 90 mm, deepest 2.6 mm",
    defect_type="external_corrosion",
    defect_length="180 mm",
    defect_width="90 mm",
    defect_depth="2.6 mm",
    defect_clock="9",
    defect_position="outer bend, below the clamp",
    design_life="5 years",
    template="filler_rebuild",
)


def play(site: Site) -> None:
    """Up to the client's hold point; a photograph is missing, and the gauge fails its check."""
    site.plan("10:15", days=-4)
    site.revise(FITTED, "Pot life of the filler added from its data sheet", "10:40", -4)
    site.agree("09:05", days=-3)
    site.inspect(
        "condition",
        "12:20",
        site.checklist("condition", {"Remaining wall": "5.4 mm by ultrasonics, 5.0 mm assumed"}),
    )
    site.picture("condition", "loss", "12:24", wall_scenes.wall_loss(51), "Loss under the clamp")
    weather = air(site.text("12:40"), "21.2", "60", ("20.1", "21.6"))
    site.inspect("ambient", "12:40", [weather], using=("HY-04", "ST-02"))
    site.close("condition", Party.CLIENT, "12:50", Manner.REVIEWED)
    site.inspect(
        "cleanliness",
        "14:10",
        [
            clean("pits at the outer bend", "SP 11", "D", "82 um", "SSPC-VIS 3"),
            clean("upper edge", "SP 11", "C", "86 um", "SSPC-VIS 3"),
            clean("beside the weld", "SP 11", "C", "79 um", "SSPC-VIS 3"),
        ],
    )
    site.picture(
        "cleanliness", "surface", "14:14", wall_scenes.cleaned_wall(52), "SP 11, pits bright"
    )
    site.inspect(
        "profile",
        "14:30",
        [
            tape("pits at the outer bend", "82 84", "um"),
            tape("upper edge", "87 85", "um"),
            tape("beside the weld", "79 80", "um"),
        ],
        using=("RT-01",),
    )
    come = site.notify(
        "profile", "09:00", 2, "15:05", 0, "Bend is open and dry; permit office at 08:30"
    )
    site.accept(come, "15:50", 0, "Two of us, with our own tape")
    gauge_fails(site)
