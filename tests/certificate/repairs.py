"""Two repairs worth a certificate: a wrap with a rework and a correction, a coating in US units."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from tests.certificate.records import RecordWriter, batch, instrument, utc

AMBIENT = (
    ("12 07:10", "14.2 degC", "71 %", ["15.1 degC", "16.8 degC"]),
    ("12 10:55", "16.8 degC", "66 %", ["18.0 degC", "21.5 degC"]),
    ("12 14:40", "17.9 degC", "63 %", ["18.6 degC", "22.1 degC"]),
)


SEAL: list[dict[str, Any]] = [
    {
        "part": "pad",
        "defect_size": ["4 mm", "4 mm"],
        "pad_size": ["40 mm", "40 mm"],
        "backing": "0.35 mm",
    },
    {"part": "band", "fasteners": 2},
]
ROLLS: list[dict[str, Any]] = [
    *(
        {
            "part": "roll",
            "location": f"roll {n}",
            "soak": "10 s",
            "surface_temperature": "20.5 degC",
            "worked": "26 s",
            "overlap": "52 %",
            "start_offset": "110 mm",
        }
        for n in range(1, 5)
    ),
    {"part": "wrap", "passes": 4, "layers": 8, "overlap_length": ["88 mm", "92 mm"]},
]
_DEFECTS = ("cracks", "pinholes", "dry_fibre", "exposed_fibre", "delamination_at_ends")
_AS_DRAWN = ("uniform_colour", "fibre_as_designed", "position_as_designed")
LAMINATE: dict[str, Any] = {
    "tap_tested": True,
    **dict.fromkeys((*_DEFECTS, "pits"), False),
    **dict.fromkeys((*_AS_DRAWN, "within_prepared_surface"), True),
    "wrinkles": True,
    "wrinkle_steps": ["0.3 mm"],
    "thickness": ["2.8 mm", "2.9 mm", "2.7 mm", "3.0 mm"],
    "length": ["240 mm"],
}


@cache
def wrap() -> dict[str, Any]:
    """The snapshot of a composite wrap: filler too thin at first, one profile entry corrected."""
    return wrap_writer().snapshot()


def wrap_writer() -> RecordWriter:
    """The writer of the wrap's record, for a test to go on from."""
    write = RecordWriter("composite_wrap")
    _checklist(write, "condition", "12 06:30")
    for at, air, humidity, steel in AMBIENT:
        reading = {
            "at": utc(at),
            "air": air,
            "humidity": humidity,
            "steel": steel,
            "moisture_visible": False,
        }
        write.inspect("ambient", at, [reading], instruments=_WEATHER)
    caliper = [instrument("K-11", "caliper")]
    write.inspect("sealing", "12 07:45", SEAL, instruments=caliper)
    _checklist(write, "tightness", "12 07:50")
    _cleanliness(write, "St 3", "12 08:40")
    _profile(write)
    dry = [{"location": n, "method": "cloth", "moist": False} for n in ("6 o'clock", "at the pad")]
    write.inspect("dryness", "12 09:30", dry)
    _mixing(write)
    _filler(write)
    _checklist(write, "ready", "12 11:45")
    write.inspect("wrap", "12 11:50", ROLLS, batches=[batch("Wrap, 100 mm roll", "", "W-2207")])
    _cure(write)
    _hardness(write)
    write.inspect("laminate", "13 08:30", [LAMINATE], instruments=caliper)
    _checklist(write, "final", "13 08:40")
    _points(write)
    _evidence(write)
    return write


_WEATHER = [instrument("H-07", "hygrometer"), instrument("T-02", "surface_thermometer")]


@cache
def small() -> dict[str, Any]:
    """The snapshot of a plan of one step with one reading, which is too few."""
    write = RecordWriter("protective_coating")
    write.keep("thickness")
    write.inspect("thickness", "13 15:00", [{"values": ["340 um"]}])
    return write.snapshot()


@cache
def coating() -> dict[str, Any]:
    """The snapshot of a protective coating on a repair that is kept in US units."""
    write = RecordWriter("protective_coating", units="us", zone="America/Chicago")
    write.record["repair"] |= {
        "number": "R-021",
        "title": "Coating of a tank nozzle",
        "defect": "Coating broken down over 9 m²; no wall loss",
    }
    write.step("thickness")["criteria"] = {
        "rule": "pa2",
        "min": "8 mil",
        "max": "12 mil",
        "area": "100 ft2",
    }
    write.step("thickness")["sources"] = dict.fromkeys(
        ("rule", "min", "max", "area"), "Coating specification of the project, 4.2"
    )
    write.step("profile")["criteria"] |= {"min": "2 mil", "max": "3 mil"}
    write.step("ambient")["criteria"]["margin_min"] = "5 delta_degF"
    _checklist(write, "condition", "12 12:30")
    reading = {
        "at": utc("12 13:10"),
        "air": "71.6 degF",
        "wet_bulb": "63.5 degF",
        "pressure": "29.83 inHg",
        "steel": ["74 degF", "81 degF"],
        "moisture_visible": False,
    }
    write.inspect("ambient", "12 13:10", [reading], instruments=_WEATHER)
    _cleanliness(write, "SP 10", "12 14:05")
    tape = [
        {
            "location": place,
            "values": values,
            "tape_grades": ["x_coarse"] * 2,
            "film_included": True,
        }
        for place, values in (
            ("north", ["4.6 mil", "4.7 mil"]),
            ("south", ["4.6 mil", "4.9 mil"]),
            ("flange", ["4.7 mil", "4.8 mil"]),
        )
    ]
    write.inspect("profile", "12 14:20", tape, instruments=[instrument("P-02", "profile_gauge")])
    _surface(write)
    _mixing(write, "mixing")
    coat = {
        "previous_end": utc("12 15:20"),
        "next_start": utc("12 16:32"),
        "temperatures": ["70 degF"],
    }
    write.inspect("recoat", "12 16:33", [coat], instruments=_WEATHER[1:])
    log = [
        {"at": utc(f"{12 + n // 12} {(17 + 2 * n) % 24:02d}:00"), "temperature": f"{72 - n} degF"}
        for n in range(4)
    ]
    write.inspect("cure", "12 23:30", log, instruments=[instrument("L-04", "data_logger")])
    spots = [("9.6 mil", "9.4 mil", "9.1 mil")] * 4 + [("7.6 mil", "8.4 mil", "9.2 mil")]
    write.inspect(
        "thickness",
        "13 15:00",
        [{"zone": f"spot {n}", "values": list(spot)} for n, spot in enumerate(spots, start=1)],
        instruments=[instrument("G-05", "thickness_gauge")],
    )
    _checklist(write, "final", "13 16:00")
    return write.snapshot("QR-sq-26-R-021")


def _checklist(write: RecordWriter, key: str, at: str, **given: Any) -> None:
    items = write.step(key)["criteria"]["items"]
    write.inspect(key, at, [{"item": line["item"], "accepted": True} for line in items], **given)


def _surface(write: RecordWriter) -> None:
    """Free of oil, salts and dust, blasted with dry air."""
    places = ("north", "south", "flange")
    oil = [{"method": method, "contaminated": False} for method in ("visual", "water_break")]
    write.inspect("oil_grease", "12 13:20", oil)
    cloth = {
        "at": utc("12 13:30"),
        "occasion": "start_up",
        "duration": "1 min",
        "oil": False,
        "water": False,
        "until": utc("12 14:00"),
    }
    write.inspect("blast_air", "12 13:30", [cloth], instruments=[instrument("W-01", "stopwatch")])
    salts = [
        {"location": p, "blank": "1 uS/cm", "conductivity": "5 uS/cm", "contact": "10 min"}
        for p in places
    ]
    meter = [instrument("C-02", "conductivity_meter")]
    write.inspect("salts", "12 14:30", salts, instruments=meter)
    write.inspect("dust", "12 14:40", [{"location": p, "quantity": 1, "size": 1} for p in places])


def _cleanliness(write: RecordWriter, grade: str, at: str) -> None:
    readings = [
        {"location": place, "achieved": grade, "rust_grade": "C", "degreased": True}
        for place in ("0 to 120°", "120 to 240°", "240 to 360°, under the support")
    ]
    write.inspect("cleanliness", at, readings)


def _profile(write: RecordWriter) -> None:
    gauge = [instrument("P-02", "profile_gauge")]
    places = ("12 o'clock, 100 mm", "4 o'clock, 300 mm", "8 o'clock, 500 mm")
    typed = _depths((44, 47, 45), (51, 57, 570), (46, 49, 48))
    meant = _depths((44, 47, 45), (51, 57, 57), (46, 49, 48))
    wrong = write.inspect("profile", "12 09:05", _located(places, typed), instruments=gauge)
    write.inspect(
        "profile",
        "12 09:05",
        _located(places, meant),
        instruments=gauge,
        corrects=wrong["id"],
        reason="570 was typed for 57 at 4 o'clock; the gauge's memory shows 57 µm",
        recorded_at=utc("12 11:20"),
        is_late=True,
    )


def _depths(*triples: tuple[int, int, int]) -> list[list[str]]:
    return [[f"{value} um" for value in (triple * 4)[:10]] for triple in triples]


def _located(places: Sequence[str], depths: Sequence[list[str]]) -> list[dict[str, Any]]:
    return [{"location": p, "values": v} for p, v in zip(places, depths, strict=True)]


def _mixing(write: RecordWriter, key: str = "filler_mixing") -> None:
    reading = {
        "mix_start": utc("12 09:48"),
        "mix_end": utc("12 09:53:10"),
        "first_use": utc("12 09:55"),
        "last_use": utc("12 10:15"),
        "material_temperature": "19.5 degC",
        "whole_kit": True,
        "expiry": "2027-01-31",
    }
    write.inspect(
        key,
        "12 10:16",
        [reading],
        instruments=[instrument("W-01", "stopwatch", "2026-05-31")],
        batches=[batch("Filler, metal-filled", "A", "A-311"), batch("Filler", "B", "B-311")],
    )


def _filler(write: RecordWriter) -> None:
    gauge = [instrument("D-01", "depth_gauge")]
    elsewhere = ["5.6 mm", "5.9 mm", "6.1 mm", "5.7 mm", "6.0 mm", "5.8 mm", "6.2 mm", "5.9 mm"]
    for series, over, at in (
        (1, ["9.96 mm", "10.4 mm"], "12 10:40"),
        (2, ["10.2 mm", "11 mm"], "12 11:40"),
    ):
        write.inspect(
            "filler_thickness",
            at,
            [{"zone": "over the leak", "values": over}, {"zone": "elsewhere", "values": elsewhere}],
            instruments=gauge,
            series=series,
            rework="Filler built up over the leak with the same mix" if series == 2 else "",
        )


def _cure(write: RecordWriter) -> None:
    log = [
        {"at": utc(f"12 {12 + (10 + 15 * n) // 60}:{(10 + 15 * n) % 60:02d}"), "temperature": t}
        for n, t in enumerate(("19.5 degC", "20.4 degC", "21.0 degC", "21.2 degC", "20.9 degC",
                               "20.6 degC", "20.1 degC"))
    ]  # fmt: skip
    write.inspect("cure", "12 13:40", log, instruments=[instrument("L-04", "data_logger")])


def _hardness(write: RecordWriter) -> None:
    rows = [
        {"location": "3 o'clock", "values": ["79", "80", "78.5", "80", "79"], "dwell": "1 s"},
        {"location": "9 o'clock", "values": ["81", "79", "80", "78", "79.5"], "dwell": "1 s"},
    ]
    write.inspect("hardness", "13 08:15", rows, instruments=[instrument("S-03", "durometer")])


def _points(write: RecordWriter) -> None:
    for step in write.record["steps"]:
        for party, point in step["points"].items():
            if point in ("hold", "review") and party != "inspector":
                manner = "released" if point == "hold" else "reviewed"
                write.close(step["key"], party, manner, "13 09:00")
    write.close("tightness", "client", "attended", "12 07:55", "Watched for ten minutes; dry")
    write.notify("wrap", "client", "12 11:00", "10 09:30", accepted="10 10:15", stands=False)
    write.notify("wrap", "client", "12 11:30", "11 08:15", note="An hour later than told first")
    write.close("wrap", "client", "waived", "12 11:30", "On another unit; photographs suffice")


def _evidence(write: RecordWriter) -> None:
    for number, step in enumerate(write.record["steps"], start=1):
        write.attach(
            step["key"],
            "photo",
            f"IMG_{2040 + number}.jpg",
            f"{step['title']}, from the south",
            "13 10:00",
        )


def crowded(readings: int = 400) -> dict[str, Any]:
    """A coating with many thickness readings and names of 200 letters without a space."""
    write = RecordWriter("protective_coating")
    write.keep("profile", "thickness")
    long = "Longname" * 25
    write.record["repair"] |= {"title": long[:160], "defect": long}
    write.record["repair"]["component"] |= {"tag": long[:60], "description": long}
    write.record["project"]["parties"] = dict.fromkeys(
        write.record["project"]["parties"], long[:120]
    )
    values = [f"{300 + (n * 37) % 90} um" for n in range(readings)]
    rows = [
        {"zone": long if n == 7 else f"plate {n // 40 + 1}", "values": [v]}
        for n, v in enumerate(values)
    ]
    write.inspect("thickness", "13 15:00", rows, recorded_by=long, remarks=long * 5)
    write.inspect(
        "profile",
        "12 14:20",
        [{"location": "all", "values": [f"{50 + n % 20} um" for n in range(readings)]}],
        instruments=[instrument(long[:40], "profile_gauge")],
    )
    write.attach("thickness", "gauge", long[:196] + ".jpg", long, "13 16:00")
    return write.snapshot()
