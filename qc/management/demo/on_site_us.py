"""R-104: a tank coated to a specification in mil and degrees Fahrenheit, half measured."""

from datetime import timedelta
from typing import Any

from qc.engine.plan import Party
from qc.management.demo.photographs import close_ups, wall_scenes
from qc.management.demo.readings import air, clean, dust, log, salts, tape, thickness
from qc.management.demo.site import Site
from qc.workflow import Manner, RepairOutline

OUTLINE = RepairOutline(
    number="R-104",
    title="Coating of tank shell, first strake",
    asset_tag="T-09",
    asset_description="Fire-water tank, first strake, east side",
    diameter="40 ft",
    wall="0.375 in",
    material="Carbon steel",
    service="Fresh water, ambient",
    defect="Coating broken down over 90 ft²; no wall loss above 0.02 in",
    defect_type="coating",
    defect_length="15 ft",
    defect_width="6 ft",
    defect_position="first strake, east side",
    design_life="15 years",
    template="protective_coating",
    units="us",
)

COATING = ("C-7718A", "C-7720B")
_SPECIFICATION = "coating specification CS-09"
_IN_US_UNITS: dict[str, dict[str, Any]] = {
    "ambient": {
        "criteria": {"margin_min": "5 delta_degF", "rising_required": True},
        "sources": {
            "margin_min": "MIL-HDBK-1110, 9.6.6 (5 °F above the dew point and rising)",
            "rising_required": "MIL-HDBK-1110, 9.6.6 (5 °F above the dew point and rising)",
        },
    },
    "profile": {
        "criteria": {"min": "2 mil", "max": "3 mil"},
        "sources": {"min": f"{_SPECIFICATION}, 2 to 3 mil", "max": f"{_SPECIFICATION}, 2 to 3 mil"},
    },
    "thickness": {
        "reference": "SSPC-PA 2",
        "sampling": "Five spots in each 100 ft², three readings a spot",
        "rows": 5,
        "criteria": {
            "rule": "pa2",
            "min": "8 mil",
            "max": "12 mil",
            "level": 3,
            "area": "90 ft2",
            "nominal": None,
            "surface_profile": None,
        },
        "sources": {
            "rule": "SSPC-PA 2; to be confirmed against the licensed text",
            "min": f"{_SPECIFICATION}, 8 to 12 mil",
            "max": f"{_SPECIFICATION}, 8 to 12 mil",
            "level": "SSPC-PA 2, level if none is named; to be confirmed against the licensed text",
            "area": f"{_SPECIFICATION}, drawing 3",
            "nominal": None,
            "surface_profile": None,
        },
    },
}


_WITNESSED = {
    "final": {"points": {"inspector": "hold", "contractor": "review", "client": "witness"}}
}


def play(site: Site) -> None:
    """Up to the third of five spots; the client is called to the last look."""
    site.plan("11:00", days=-5)
    site.revise(
        _IN_US_UNITS | _WITNESSED, "Limits of the coating specification, in its units", "11:40", -5
    )
    site.agree("14:30", days=-4)
    _prepare(site)
    _coat(site)
    site.notify("final", "10:30", 2, "17:40", 0, "Scaffold of the first strake, north side")


def _prepare(site: Site) -> None:
    site.inspect("condition", "07:10", site.checklist("condition"))
    site.picture("condition", "before", "07:06", wall_scenes.rusty_wall(41), "First strake, east")
    _read_air(site, "07:25", "66.4", "71", ("64.9", "66.0"))
    site.close("condition", Party.CLIENT, "07:55", Manner.REVIEWED)
    _blast(site)
    site.inspect(
        "profile",
        "10:25",
        [
            tape("weld of the first strake", "2.7 2.8", "mil"),
            tape("middle of the plate", "2.6 2.6", "mil"),
            tape("behind the ladder", "2.8 2.9", "mil"),
        ],
        using=("RT-01",),
    )
    site.picture(
        "profile",
        "tape",
        "10:28",
        close_ups.gauge_on_blasted(43, "2.6", "mil", "TAPE"),
        "Middle of the plate",
    )
    site.close("profile", Party.CLIENT, "10:40", Manner.RELEASED)


def _blast(site: Site) -> None:
    """Cleaned, blasted, and proved free of oil, salts and dust."""
    site.inspect(
        "oil_grease",
        "08:00",
        [
            {"method": "visual", "contaminated": False},
            {"location": "below the valve", "method": "water_break", "contaminated": False},
        ],
    )
    cloth = {
        "at": site.text("08:10"),
        "outlet": "compressor 2, at the pot",
        "occasion": "start_up",
        "duration": "1.5 min",
        "oil": False,
        "water": False,
        "until": site.text("09:05"),
    }
    site.inspect("blast_air", "08:10", [cloth], using=("SW-06",), entered="09:08")
    places = ("weld of the first strake", "middle of the plate", "behind the ladder")
    site.inspect(
        "cleanliness",
        "09:20",
        [clean(place, "SP 10", "C", reference="SSPC-VIS 1") for place in places],
    )
    site.picture("cleanliness", "surface", "09:24", wall_scenes.blasted_wall(42), "SP 10")
    site.inspect(
        "salts",
        "10:02",
        [
            salts("weld of the first strake", "4.6", "10"),
            salts("middle of the plate", "3.4", "10"),
            salts("behind the ladder", "6.1", "11"),
        ],
        using=("CM-08",),
    )
    site.picture(
        "salts",
        "meter",
        "09:58",
        close_ups.gauge_on_blasted(45, "6.1", "µS/cm", "COND."),
        "Behind the ladder",
    )
    site.inspect(
        "dust",
        "10:15",
        [
            dust("weld of the first strake", 1, 2),
            dust("middle of the plate", 0, 0),
            dust("behind the ladder", 2, 2),
        ],
    )


def _read_air(site: Site, clock: str, dry: str, humidity: str, steel: tuple[str, str]) -> None:
    reading = air(site.text(clock), dry, humidity, steel, "degF") | {"rising": True}
    site.inspect("ambient", clock, [reading], using=("HY-04", "ST-02"))


def _coat(site: Site) -> None:
    """Two coats, the second inside the recoat window of the first."""
    first = site.mix(
        COATING,
        "10:50 10:55 11:02 11:28",
        material_temperature="70.5 degF",
        surface_temperature="67.8 degF",
    )
    site.inspect("mixing", "11:30", [first], using=("SW-06", "TM-03"), batches=COATING)
    labels = site.labels(COATING)
    site.picture(
        "mixing", "labels", "10:46", close_ups.tins(44, "TANK COATING", labels), "Kit of the coat"
    )
    _read_air(site, "11:20", "69.8", "62", ("68.0", "69.4"))
    second = site.mix(
        COATING,
        "12:30 12:35 12:42 13:06",
        material_temperature="71.2 degF",
        surface_temperature="68.4 degF",
    )
    between = {
        "coat": "second coat, whole area",
        "previous_end": site.text("11:28"),
        "next_start": site.text("12:42"),
        "temperatures": ["68.0 degF", "69.4 degF"],
    }
    site.inspect("recoat", "12:44", [between], using=("ST-02",))
    site.inspect("mixing", "13:08", [second], using=("SW-06", "TM-03"), batches=COATING)
    _read_air(site, "15:05", "71.6", "58", ("69.3", "71.0"))
    drying = log(site.moment("13:10"), timedelta(hours=1), "68.2 68.9 69.6 70.1 70.0", "degF")
    site.inspect("cure", "17:14", drying, using=("DL-07",))
    site.inspect(
        "thickness",
        "17:30",
        [
            thickness("spot 1, weld", "9.0 9.4 9.2", "mil", "magnetic"),
            thickness("spot 2, middle", "10.0 10.3 9.9", "mil", "magnetic"),
            thickness("spot 3, lower edge", "8.2 8.4 8.0", "mil", "magnetic"),
        ],
        using=("TG-02",),
        remarks="Stopped by the tide siren; two spots remain.",
    )
