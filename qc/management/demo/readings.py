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
