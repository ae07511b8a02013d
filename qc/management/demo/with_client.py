"""R-102: a pump casing rebuilt with metal-filled filler, signed twice, waiting for the client."""

from datetime import timedelta

from qc.engine.nonconformance import Disposition, ReportDeed
from qc.engine.plan import Party
from qc.management.demo.photographs import close_ups, wall_scenes
from qc.management.demo.readings import clean, hardness, log, psychrometer, tape, thickness
from qc.management.demo.site import Site
from qc.workflow import Manner, RepairOutline

OUTLINE = RepairOutline(
    number="R-102",
    title="Rebuild of eroded suction casing",
    asset_tag="P-17B",
    asset_description="Ballast pump, suction side of the casing",
    wall="14 mm",
    material="Cast steel",
    service="Sea water",
    temperature="18 degC",
    pressure="4 bar",
    design_pressure="6 bar",
    defect="Erosion over 320 mm by 240 mm, deepest 4.8 mm; remaining wall 9.2 mm",
    defect_type="erosion",
    defect_length="320 mm",
    defect_width="240 mm",
    defect_depth="4.8 mm",
    defect_position="suction side, below the nozzle",
    design_life="5 years",
    template="filler_rebuild",
)

METAL_FILLED = ("M-0432A", "M-0432B")
DATA_SHEET = "data sheet of the metal-filled epoxy, as submitted with the method statement"
FITTED = {
    "mixing": {
        "criteria": {"pot_life": {"15 degC": "60 min", "25 degC": "35 min"}},
        "sources": {"pot_life": DATA_SHEET},
    },
}
DEEPER = {
    "thickness": {
        "criteria": {
            "zones": [
                {"zone": "over the deepest loss", "min": "4.8 mm", "readings_min": 3},
                {"zone": "elsewhere", "min": "1.5 mm", "readings_min": 4},
            ],
        },
        "sources": {"zones": "design of the repair, DN-17B: the losses measured"},
    },
}


def play(site: Site) -> None:
    """Two days of work and two signatures."""
    site.plan("09:30", days=-4)
    site.revise(FITTED | DEEPER, "Fitted to the product and to the depth of the loss", "10:05", -4)
    site.agree("15:45", days=-2)
    _prepare(site)
    _fill(site)
    _next_day(site)


def _prepare(site: Site) -> None:
    site.inspect(
        "condition",
        "07:40",
        site.checklist(
            "condition",
            {
                "Remaining wall": "9.2 mm by ultrasonics, 8.0 mm assumed",
                "Extent and depth of the loss": "320 mm by 240 mm, 4.8 mm below the bridge",
            },
        ),
    )
    site.picture("condition", "loss", "07:44", wall_scenes.wall_loss(21), "Erosion of the casing")
    weather = psychrometer(site.text("08:00"), "21.0", "17.0", "1014", ("19.0", "19.4"))
    site.inspect("ambient", "08:00", [weather], using=("PS-01", "BA-01", "ST-02"))
    site.close("condition", Party.CLIENT, "08:30", Manner.REVIEWED)
    places = ("deepest pits", "upper edge", "beside the flange")
    site.inspect(
        "cleanliness",
        "09:50",
        [clean(place, "Sa 2½", "D", reference="ISO 8501-1:2007") for place in places],
    )
    site.picture("cleanliness", "surface", "09:54", wall_scenes.cleaned_wall(22), "Blasted, Sa 2½")
    site.inspect(
        "profile",
        "10:15",
        [
            tape("deepest pits", "95 99", "um"),
            tape("upper edge", "102 98", "um"),
            tape("beside the flange", "91 94", "um"),
        ],
        using=("RT-01",),
    )
    site.picture(
        "profile",
        "gauge",
        "10:18",
        close_ups.gauge_on_blasted(23, "97", "µm", "TAPE"),
        "Replica tape from the pits",
    )
    site.close("profile", Party.CLIENT, "10:40", Manner.RELEASED)


def _fill(site: Site) -> None:
    mix = site.mix(
        METAL_FILLED,
        "10:58 11:02 11:04 11:26",
        material_temperature="22.5 degC",
        surface_temperature="19.6 degC",
    )
    site.inspect("mixing", "11:28", [mix], using=("SW-06", "TM-03"), batches=METAL_FILLED)
    labels = site.labels(METAL_FILLED)
    site.picture(
        "mixing",
        "labels",
        "10:55",
        close_ups.tins(24, "METAL-FILLED", labels),
        "Kit of the rebuild",
    )
    weather = psychrometer(site.text("11:40"), "22.4", "17.6", "1013", ("19.8", "20.3"))
    site.inspect("ambient", "11:40", [weather], using=("PS-01", "BA-01", "ST-02"))


def _concede_the_thin_spot(site: Site) -> None:
    """One station 0.2 mm short: used as it is, on the client's concession."""
    site.deal(
        1,
        ReportDeed.CONTAIN,
        Party.CONTRACTOR,
        "08:16",
        "The station is ringed with marker; nothing is ground or added.",
        days=1,
    )
    site.deal(
        1,
        ReportDeed.PROPOSE,
        Party.CONTRACTOR,
        "08:20",
        "Use as is: the thin station lies outside the eroded field, where the wall is 13.1 mm."
        " Another layer over cured filler would bond worse than it helps.",
        days=1,
        disposition=Disposition.USE_AS_IS,
    )
    site.deal(
        1,
        ReportDeed.APPROVE,
        Party.CLIENT,
        "08:26",
        "Looked at with the drawing; the wall there carries the pressure without filler.",
        days=1,
        concession_scope="Thickness of the filler, one station of 1.3 mm at the upper edge,"
        " suction casing of P-17B, for the service stated",
        concession_until=site.day + timedelta(days=365),
    )
    site.deal(1, ReportDeed.CLOSE, Party.INSPECTOR, "08:29", days=1)


def _next_day(site: Site) -> None:
    """The logger ran through the night; the client's points are closed, only a signature lacks."""
    night = log(
        site.moment("11:30"),
        timedelta(hours=2),
        "21.8 22.6 22.9 22.4 21.9 21.6 21.3 21.2 21.1 21.2 21.4",
    )
    site.inspect("cure", "07:45", night, using=("DL-07",), days=1)
    site.inspect(
        "thickness",
        "08:10",
        [
            thickness("over the deepest loss", "5.1 4.9 5.3", "mm", "depth_gauge"),
            thickness("elsewhere", "2.8 2.1 3.4 1.3", "mm", "depth_gauge"),
        ],
        using=("DG-05",),
        days=1,
    )
    site.picture(
        "thickness",
        "depth",
        "08:13",
        close_ups.gauge_on_filler(25, "5.1", "mm", "DEPTH"),
        "Over the deepest loss",
        days=1,
    )
    _concede_the_thin_spot(site)
    site.inspect(
        "hardness",
        "08:30",
        [hardness("middle of the rebuild", "84 82 85 83 81", "20.4 degC")],
        using=("SD-01",),
        days=1,
    )
    site.picture(
        "hardness",
        "durometer",
        "08:33",
        close_ups.durometer(26, 84, on_wrap=False),
        "Middle of the rebuild",
        days=1,
    )
    site.close("hardness", Party.CLIENT, "09:05", Manner.REVIEWED, days=1)
    site.inspect(
        "final",
        "09:20",
        site.checklist("final", {"Shape": "flush within 0.4 mm by template"}),
        using=("CA-02",),
        days=1,
    )
    site.picture(
        "final", "finished", "09:24", wall_scenes.rebuilt(27, "R-102"), "Rebuilt, marked", days=1
    )
    site.close("final", Party.CONTRACTOR, "09:40", Manner.REVIEWED, days=1)
    site.close("final", Party.CLIENT, "10:30", Manner.REVIEWED, days=1)
    site.sign(Party.INSPECTOR, "11:05", days=1)
    site.sign(Party.CONTRACTOR, "11:30", days=1)
