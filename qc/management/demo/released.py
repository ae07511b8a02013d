"""R-101: a leak wrapped from bare metal to the certificate, with a rework and a correction."""

from datetime import timedelta
from uuid import uuid4

from qc.certificate.issue import issue_certificate
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
    roll,
    sound_laminate,
    thickness,
)
from qc.management.demo.reworked import roughen
from qc.management.demo.site import Site
from qc.workflow import Manner, RepairOutline

OUTLINE = RepairOutline(
    number="R-101",
    title="Wrap over sealed leak, cooling-water return",
    asset_tag="12-CW-204",
    asset_description="Cooling-water return, pipe rack 3, level 1",
    diameter="323.9 mm",
    wall="9.53 mm",
    material="Carbon steel",
    service="Cooling water",
    line="12-CW-2040-A1",
    temperature="22 degC",
    pressure="3.2 bar",
    design_temperature="60 degC",
    design_pressure="10 bar",
    defect="Pinhole, 6 mm, in a corroded patch of 70 mm at 5 o'clock; wall around it 6.1 mm",
    defect_type="through_wall",
    defect_length="70 mm",
    defect_width="70 mm",
    defect_distance="2.4 m",
    defect_clock="5",
    defect_position="from flange F3",
    repair_class="2, by design DN-204",
    design_life="10 years",
    template="composite_wrap",
)

FILLER = ("F-2291A", "F-2291B")
POT_LIFE = {
    "criteria": {"pot_life": {"15 degC": "60 min", "25 degC": "30 min"}},
    "sources": {"pot_life": "data sheet of the filler, as submitted with the method statement"},
}
WORKING_TIME = {"10 degC": "120 s", "23 degC": "60 s", "30 degC": "30 s"}
WORKING_TIME_SOURCE = "data sheet of the wrap, as submitted with the method statement"
_DESIGN = "design of the repair, DN-204"
_DRAWN = {
    "sealing": {
        "criteria": {
            "diameter": "323.9 mm",
            "bands_min": 3,
            "fasteners_by_diameter": True,
            "fasteners_min": None,
        },
        "sources": {
            "diameter": _DESIGN,
            "bands_min": _DESIGN,
            "fasteners_by_diameter": "common practice (two a band on pipe of 10 to 16 in)",
            "fasteners_min": None,
        },
    },
    "wrap": {
        "criteria": {
            "diameter": "323.9 mm",
            "wall": "9.53 mm",
            "working_time": WORKING_TIME,
            "overlap_length_min": "112 mm",
        },
        "sources": {
            "diameter": _DESIGN,
            "wall": _DESIGN,
            "working_time": WORKING_TIME_SOURCE,
            "layers_min": _DESIGN,
            "overlap_length_min": _DESIGN,
        },
    },
    "laminate": {
        "criteria": {"thickness_min": "2.6 mm", "readings_min": 8, "length_min": "300 mm"},
        "sources": {"thickness_min": _DESIGN, "readings_min": _DESIGN, "length_min": _DESIGN},
    },
}


def play(site: Site) -> None:
    """The whole life of the record."""
    plan(site)
    _prepare(site)
    _fill(site)
    _wrap(site)
    _finish(site)
    _sign(site)


def plan(site: Site) -> None:
    """Drafted three days before, fitted to the product, agreed the day after."""
    site.plan("14:10", days=-3)
    site.revise(
        {"filler_mixing": POT_LIFE} | _DRAWN,
        "Fitted to the design of the repair and to the data sheets of filler and wrap",
        "14:35",
        -3,
    )
    site.agree("16:20", days=-2)
    come = site.notify("tightness", "08:30", 0, "08:05", -1, "Below rack 2, at the return line")
    site.accept(come, "10:20", -1)


def _prepare(site: Site) -> None:
    site.inspect(
        "condition",
        "07:05",
        site.checklist(
            "condition",
            {
                "Defect": "hole 6 mm, patch 70 mm, wall 6.1 mm",
                "Pressure and temperature of the pipe": "1.1 bar after throttling, 22 °C",
            },
        ),
    )
    site.picture("condition", "defect", "07:00", pipe_scenes.leak(11), "Leak at 5 o'clock")
    weather = air(site.text("07:30"), "16.8", "72", ("20.9", "22.3"))
    site.inspect("ambient", "07:30", [weather], using=("HY-04", "ST-02"))
    site.close("condition", Party.CLIENT, "07:50", Manner.REVIEWED, "Design note DN-204 applies")
    site.inspect(
        "sealing",
        "08:05",
        [
            pad("5 o'clock", "6 6", "60 60", "0.35"),
            band("upstream", 2, "10"),
            band("over the hole", 2, "11"),
            band("downstream", 2),
        ],
        using=("CA-02",),
    )
    site.picture("sealing", "pad", "08:10", pipe_scenes.sealed(12), "Seal pad under three bands")
    site.inspect("tightness", "08:30", site.checklist("tightness", {"Leak": "dry for 20 min"}))
    site.picture("tightness", "dry", "08:28", pipe_scenes.sealed(20), "Dry after 20 minutes")
    site.close("tightness", Party.CLIENT, "08:35", Manner.ATTENDED)
    places = ("upstream end, 12 o'clock", "beside the pad, 6 o'clock", "downstream end, 9 o'clock")
    site.inspect(
        "cleanliness",
        "09:10",
        [clean(place, "St 2", "C", reference="ISO 8501-1:2007") for place in places],
    )
    site.picture("cleanliness", "surface", "09:14", pipe_scenes.cleaned_pipe(13), "St 2, all round")
    roughen(site)
    site.inspect("dryness", "10:55", [dry("6 o'clock, both ends"), dry("beside the pad")])


def _fill(site: Site) -> None:
    """The end of mixing mistyped, and set right with the reason."""
    mix = site.mix(
        FILLER,
        "11:02 11:17 11:09 11:24",
        material_temperature="19.6 degC",
        surface_temperature="21.2 degC",
    )
    wrong = site.inspect("filler_mixing", "11:25", [mix], using=("SW-06",), batches=FILLER)
    site.correct(
        "filler_mixing",
        wrong,
        "11:25",
        [mix | {"mix_end": site.text("11:07")}],
        reason="End of mixing typed 11:17; the stopwatch was stopped at 11:07.",
        entered="11:31",
        using=("SW-06",),
        batches=FILLER,
    )
    labels = site.labels(FILLER)
    site.picture(
        "filler_mixing", "labels", "11:00", close_ups.tins(15, "EPOXY FILLER", labels), "Filler kit"
    )
    weather = air(site.text("11:28"), "19.4", "64", ("21.4", "22.9"))
    site.inspect(
        "ambient",
        "11:28",
        [weather],
        using=("HY-04", "ST-02"),
        entered="12:46",
        remarks="No signal under the rack; entered from the cabin.",
    )
    site.inspect(
        "filler_thickness",
        "12:20",
        [
            thickness("over the leak", "10.6 11.2", "mm", "depth_gauge"),
            thickness("elsewhere", "5.4 5.8 6.1 5.3 5.9 5.6 6.3 5.7", "mm", "depth_gauge"),
        ],
        using=("DG-05",),
        entered="12:48",
    )
    site.picture("filler_thickness", "filler", "12:24", pipe_scenes.filled(16), "Filler all round")


def _wrap(site: Site) -> None:
    site.inspect("ready", "12:50", site.checklist("ready", {"Water": "21 °C, from the tap"}))
    site.close(
        "wrap",
        Party.CLIENT,
        "12:55",
        Manner.WAIVED,
        "Called to the control room; photographs of the winding will do",
    )
    site.inspect(
        "wrap",
        "13:12",
        [
            roll("roll 1", "10", "21.8", "41", "52", start="160"),
            roll("roll 2", "11", "22.0", "38", "50"),
            roll("roll 3", "10", "22.1", "44", "51"),
            roll("roll 4", "10", "22.4", "40", "54"),
            finished(4, 8, "126 122"),
        ],
        using=("ST-02", "SW-06", "CA-02"),
        batches=("W-1187",),
    )
    site.picture("wrap", "winding", "13:04", pipe_scenes.winding(17), "Second roll, half overlap")
    start = site.moment("13:14")
    readings = log(start, timedelta(minutes=16), "21.6 21.9 22.4 22.8 23.0 22.9 22.7")
    site.inspect("cure", "14:50", readings, using=("ST-02",))
    weather = air(site.text("15:10"), "20.6", "61", ("21.8", "23.4"))
    site.inspect("ambient", "15:10", [weather], using=("HY-04", "ST-02"))


def _finish(site: Site) -> None:
    site.inspect(
        "hardness",
        "15:20",
        [
            hardness("12 o'clock, mid-length", "79 81 78 80 82", "23.1 degC"),
            hardness("6 o'clock, mid-length", "77 79 80 78 76", "22.6 degC"),
        ],
        using=("SD-01",),
    )
    site.picture("hardness", "durometer", "15:23", close_ups.durometer(18, 80), "Top, mid-length")
    site.close("hardness", Party.CLIENT, "15:40", Manner.REVIEWED)
    site.inspect(
        "laminate",
        "15:50",
        [
            sound_laminate(
                wrinkles=True,
                wrinkle_steps=["0.4 mm"],
                thickness=[
                    f"{t} mm" for t in ("2.8", "2.9", "2.7", "3.0", "2.8", "2.9", "2.8", "2.7")
                ],
                length=["321 mm", "318 mm"],
                remark="wrinkle at 9 o'clock, 40 mm from the upstream end",
            )
        ],
        using=("CA-02", "DG-05"),
    )
    site.picture("laminate", "laminate", "15:48", pipe_scenes.wrapped(21, ""), "Cured laminate")
    site.close("laminate", Party.CLIENT, "15:58", Manner.REVIEWED)
    site.inspect(
        "final",
        "16:02",
        site.checklist("final", {"Next inspection": "in 12 months, visual and tap test"}),
    )
    site.picture("final", "finished", "16:00", pipe_scenes.wrapped(19, "R-101"), "Finished, marked")
    site.close("final", Party.CONTRACTOR, "16:08", Manner.REVIEWED)
    site.close("final", Party.CLIENT, "16:12", Manner.REVIEWED)


def _sign(site: Site) -> None:
    site.sign(Party.INSPECTOR, "16:25")
    site.sign(Party.CONTRACTOR, "16:50")
    site.sign(Party.CLIENT, "09:10", days=1)
    issue_certificate(
        repair_id=site.repair_id,
        actor=site.cast.clara,
        at=site.moment("09:14", 1),
        act_id=uuid4(),
    )
