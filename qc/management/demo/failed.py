"""R-103: a wrap that cured in cold, dry wind and reads too soft."""

from datetime import timedelta

from qc.engine.nonconformance import Disposition, ReportDeed
from qc.engine.plan import Party
from qc.management.demo.photographs import close_ups, pipe_scenes
from qc.management.demo.readings import (
    air,
    band,
    clean,
    dry,
    finished,
    hardness,
    log,
    pad,
    profile,
    roll,
    thickness,
)
from qc.management.demo.released import FILLER, WORKING_TIME, WORKING_TIME_SOURCE
from qc.management.demo.site import Site
from qc.workflow import Manner, RepairOutline

OUTLINE = RepairOutline(
    number="R-103",
    title="Wrap over sealed leak, fire main",
    asset_tag="6-FW-031",
    asset_description="Fire main at jetty 2, north side",
    diameter="168.3 mm",
    wall="7.11 mm",
    material="Carbon steel",
    service="Sea water, stagnant",
    line="6-FW-0310-B2",
    temperature="14 degC",
    pressure="8 bar",
    design_temperature="50 degC",
    design_pressure="16 bar",
    defect="Pinhole, 3 mm, at 7 o'clock; wall around it 5.4 mm",
    defect_type="through_wall",
    defect_length="3 mm",
    defect_width="3 mm",
    defect_distance="11.6 m",
    defect_clock="7",
    defect_position="from valve V-031",
    repair_class="2, by design DN-211",
    design_life="10 years",
    template="composite_wrap",
)


_DESIGN = "design of the repair, DN-211"
_DRAWN = {
    "wrap": {
        "criteria": {
            "working_time": WORKING_TIME,
            "layers_min": 6,
            "overlap_length_min": "70 mm",
        },
        "sources": {
            "working_time": WORKING_TIME_SOURCE,
            "layers_min": _DESIGN,
            "overlap_length_min": _DESIGN,
        },
    },
}


def play(site: Site) -> None:
    """Everything conforms until the hardness."""
    site.plan("13:20", days=-3)
    site.revise(_DRAWN, "Layers and overlap of the design, working time of the wrap", "13:50", -3)
    site.agree("16:05", days=-2)
    _prepare(site)
    _build(site)
    _test(site)


def _prepare(site: Site) -> None:
    site.inspect("condition", "08:10", site.checklist("condition", {"Defect": "hole 3 mm"}))
    site.picture("condition", "defect", "08:05", pipe_scenes.leak(31), "Leak at 7 o'clock")
    weather = air(site.text("08:25"), "13.1", "58", ("12.9", "13.4"))
    site.inspect("ambient", "08:25", [weather], using=("HY-04", "ST-02"))
    site.close("condition", Party.CLIENT, "08:50", Manner.REVIEWED)
    site.inspect(
        "sealing",
        "09:15",
        [pad("7 o'clock", "3 3", "40 40", "0.4"), band("over the hole", 2)],
        using=("CA-02",),
    )
    site.picture("sealing", "pad", "09:18", pipe_scenes.sealed(32, bands=1), "Seal pad, one band")
    site.inspect("tightness", "09:35", site.checklist("tightness", {"Leak": "dry for 15 min"}))
    site.picture("tightness", "dry", "09:33", pipe_scenes.sealed(39, bands=1), "Dry, one band")
    site.close("tightness", Party.CLIENT, "09:40", Manner.ATTENDED)
    places = ("west end, 12 o'clock", "beside the pad, 7 o'clock", "east end, 6 o'clock")
    site.inspect("cleanliness", "10:20", [clean(place, "St 3", "C") for place in places])
    site.picture("cleanliness", "surface", "10:24", pipe_scenes.cleaned_pipe(33), "St 3, all round")
    site.inspect(
        "profile",
        "10:40",
        [
            profile("west end", "41 44 39 46 42 45 40 43 47 38"),
            profile("beside the pad", "52 49 55 51 47 54 50 53 48 56"),
            profile("east end", "44 42 48 45 41 46 43 47 40 49"),
        ],
        using=("PG-03",),
    )
    site.picture(
        "profile",
        "gauge",
        "10:43",
        close_ups.gauge_on_steel(34, "52", "µm", "PROFILE"),
        "Profile beside the pad",
    )
    site.close("profile", Party.CLIENT, "11:00", Manner.RELEASED)
    site.inspect("dryness", "11:06", [dry("6 o'clock"), dry("beside the pad")])


def _build(site: Site) -> None:
    mix = site.mix(FILLER, "11:15 11:20 11:22 11:38", material_temperature="17.2 degC")
    site.inspect("filler_mixing", "11:40", [mix], using=("SW-06",), batches=FILLER)
    labels = site.labels(FILLER)
    site.picture(
        "filler_mixing", "labels", "11:12", close_ups.tins(35, "EPOXY FILLER", labels), "Filler kit"
    )
    weather = air(site.text("12:10"), "13.8", "49", ("13.0", "13.6"))
    site.inspect("ambient", "12:10", [weather], using=("HY-04", "ST-02"))
    site.inspect(
        "filler_thickness",
        "13:05",
        [
            thickness("over the leak", "10.3 10.9", "mm", "depth_gauge"),
            thickness("elsewhere", "5.2 5.6 5.9 5.4 5.1 5.7 6.0 5.5", "mm", "depth_gauge"),
        ],
        using=("DG-05",),
    )
    site.picture("filler_thickness", "filler", "13:08", pipe_scenes.filled(36), "Filler all round")
    site.inspect("ready", "13:32", site.checklist("ready"))
    site.close("wrap", Party.CLIENT, "13:40", Manner.ATTENDED)
    site.inspect(
        "wrap",
        "13:50",
        [
            roll("roll 1", "10", "13.4", "46", "51", start="110"),
            roll("roll 2", "10", "13.3", "44", "50"),
            roll("roll 3", "11", "13.3", "47", "52"),
            finished(3, 6, "96 94"),
        ],
        using=("ST-02", "SW-06"),
        batches=("W-1187",),
    )
    site.picture("wrap", "winding", "13:38", pipe_scenes.winding(37), "First roll")


def _test(site: Site) -> None:
    start = site.moment("13:52")
    readings = log(start, timedelta(minutes=18), "13.6 13.4 13.3 13.2 13.1 13.0")
    site.inspect("cure", "15:24", readings, using=("ST-02",))
    site.inspect(
        "hardness",
        "15:40",
        [
            hardness("12 o'clock, mid-length", "70 68 72 69 67", "13.0 degC"),
            hardness("7 o'clock, over the pad", "66 69 64 67 65", "12.8 degC"),
        ],
        using=("SD-01",),
        remarks="North-east wind on the jetty all afternoon, no windbreak.",
    )
    site.picture("hardness", "durometer", "15:43", close_ups.durometer(38, 67), "Over the pad")
    weather = air(site.text("15:55"), "12.4", "47", ("12.6", "13.0"))
    site.inspect("ambient", "15:55", [weather], using=("HY-04", "ST-02"))
    site.deal(
        1,
        ReportDeed.CONTAIN,
        Party.CONTRACTOR,
        "16:05",
        "The main stays shut and tagged; nobody loads the wrap.",
    )
    site.deal(
        1,
        ReportDeed.PROPOSE,
        Party.CONTRACTOR,
        "16:20",
        "Cure on under a heat blanket at 40 °C for four hours inside a windbreak, then read again.",
        disposition=Disposition.REWORK,
    )
