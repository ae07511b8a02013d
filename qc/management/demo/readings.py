"""Readings in the case format, written the short way."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

Reading = dict[str, Any]


def air(at: str, air: str, humidity: str, steel: Sequence[str], unit: str = "degC") -> Reading:
    """Air and steel with a hygrometer; nothing wet to be seen."""
    return {
        "at": at,
        "air": f"{air} {unit}",
        "humidity": f"{humidity} %",
        "steel": [f"{value} {unit}" for value in steel],
        "moisture_visible": False,
    }


def psychrometer(at: str, dry: str, wet: str, pressure: str, steel: Sequence[str]) -> Reading:
    """Air by dry and wet bulb in degC with the pressure in hPa; nothing wet to be seen."""
    return {
        "at": at,
        "air": f"{dry} degC",
        "wet_bulb": f"{wet} degC",
        "pressure": f"{pressure} hPa",
        "steel": [f"{value} degC" for value in steel],
        "moisture_visible": False,
    }


def clean(
    location: str, achieved: str, rust_grade: str, profile: str = "", reference: str = ""
) -> Reading:
    """A cleaned place, degreased first."""
    found = {
        "location": location,
        "achieved": achieved,
        "rust_grade": rust_grade,
        "degreased": True,
        "profile": profile,
        "reference": reference,
    }
    return {name: value for name, value in found.items() if value != ""}


def profile(location: str, values: str, unit: str = "um") -> Reading:
    """A location with its readings, as "48 52 55"."""
    return {"location": location, "values": _with_unit(values, unit)}


def tape(location: str, values: str, unit: str) -> Reading:
    """A location measured with x-coarse replica tape, the film left out by the gauge."""
    readings = _with_unit(values, unit)
    return {
        "location": location,
        "values": readings,
        "tape_grades": ["x_coarse"] * len(readings),
        "film_included": False,
    }


def thickness(zone: str, values: str, unit: str, gauge: str) -> Reading:
    """A zone or spot with its readings and the kind of gauge."""
    found = {"zone": zone, "values": _with_unit(values, unit), "gauge": gauge}
    return {name: value for name, value in found.items() if value}


def hardness(location: str, values: str, surface: str) -> Reading:
    """A place with its readings, each after one second."""
    return {
        "location": location,
        "values": values.split(),
        "dwell": "1 s",
        "surface_temperature": surface,
    }


def dry(location: str) -> Reading:
    """A place on which a dry cloth shows no moisture."""
    return {"location": location, "method": "cloth", "moist": False}


def pad(location: str, defect: str, size: str, backing: str) -> Reading:
    """A seal pad, defect and pad along and round as "6 6", everything in mm."""
    return {
        "part": "pad",
        "location": location,
        "defect_size": _with_unit(defect, "mm"),
        "pad_size": _with_unit(size, "mm"),
        "backing": f"{backing} mm",
    }


def band(location: str, fasteners: int, spacing: str = "") -> Reading:
    """A retaining band, with the distance to the next in mm where there is one."""
    found = {"part": "band", "location": location, "fasteners": fasteners}
    return found | ({"spacing": f"{spacing} mm"} if spacing else {})


def roll(
    location: str, soak: str, surface: str, worked: str, overlap: str, start: str = ""
) -> Reading:
    """A roll in s, degC and %; `start` is how many mm before the leak the first was begun."""
    found = {
        "part": "roll",
        "location": location,
        "soak": f"{soak} s",
        "surface_temperature": f"{surface} degC",
        "worked": f"{worked} s",
        "overlap": f"{overlap} %",
    }
    return found | ({"start_offset": f"{start} mm"} if start else {})


def finished(passes: int, layers: int, beyond: str) -> Reading:
    """The finished wrap: passes, layers counted, and the mm beyond the defect at each end."""
    return {
        "part": "wrap",
        "passes": passes,
        "layers": layers,
        "overlap_length": _with_unit(beyond, "mm"),
    }


def sound_laminate(**more: Any) -> Reading:
    """A laminate tapped all over and found without defect, but for what `more` says."""
    absent = ("cracks", "pinholes", "dry_fibre", "exposed_fibre", "delamination_at_ends")
    present = ("uniform_colour", "fibre_as_designed", "position_as_designed")
    return {
        "location": "whole repair, all round",
        "tap_tested": True,
        **dict.fromkeys(absent, False),
        **dict.fromkeys((*present, "within_prepared_surface"), True),
        "pits": False,
        "wrinkles": False,
        **more,
    }


def salts(location: str, conductivity: str, contact: str) -> Reading:
    """A test for soluble salts: µS/cm after so many minutes, over a blank of 1.2."""
    return {
        "location": location,
        "blank": "1.2 uS/cm",
        "conductivity": f"{conductivity} uS/cm",
        "contact": f"{contact} min",
    }


def dust(location: str, quantity: int, size: int) -> Reading:
    """A tape test for dust."""
    return {"location": location, "quantity": quantity, "size": size}


def log(start: datetime, every: timedelta, temperatures: str, unit: str = "degC") -> list[Reading]:
    """A temperature log: one reading after each `every`."""
    return [
        {
            "at": (start + i * every).isoformat(timespec="minutes"),
            "temperature": f"{value} {unit}",
        }
        for i, value in enumerate(temperatures.split())
    ]


def _with_unit(values: str, unit: str) -> list[str]:
    return [f"{value} {unit}" for value in values.split()]
