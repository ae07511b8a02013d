"""The project's instruments with their calibrations, and its batches of material."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

from qc.accounts.models import User
from qc.management.demo.cast import Cast
from qc.records.models import Batch, Instrument
from qc.workflow import InstrumentOutline, add_batch, add_calibration, add_instrument


@dataclass(frozen=True)
class Kit:
    """Ids of instruments and batches, and the day a batch expires, by their identifiers."""

    instruments: dict[str, int]
    batches: dict[str, int]
    expiries: dict[str, date]


_INSTRUMENTS = (
    # identifier, kind, description, days since the calibration, days until it falls due
    ("HY-04", "hygrometer", "Thermo-hygrometer, 2 % and 0.3 °C", 70, 295),
    ("PS-01", "psychrometer", "Sling psychrometer, mercury-free", 120, 245),
    ("BA-01", "barometer", "Digital barometer", 120, 245),
    ("ST-02", "surface_thermometer", "Magnet probe, 0.5 °C", 41, 324),
    ("TM-03", "thermometer", "Stem thermometer for mixes", 41, 324),
    ("DL-07", "data_logger", "Two-channel temperature logger", 150, 215),
    ("PG-03", "profile_gauge", "Depth micrometer, 60° tip", 88, 277),
    ("RT-01", "replica_tape", "Micrometer for replica tape, film left out", 88, 277),
    ("DG-05", "depth_gauge", "Depth gauge with bridge, 0.02 mm", 33, 332),
    ("CA-02", "caliper", "Calliper 300 mm", 33, 332),
    ("SD-01", "durometer", "Durometer Shore D with reference block", 59, 306),
    ("SW-06", "stopwatch", "Stopwatch", 200, 165),
    ("CM-08", "conductivity_meter", "Pocket meter, corrected to 25 °C, 1 µS/cm", 95, 270),
    ("TG-02", "thickness_gauge", "Magnetic gauge, type 2, with shims", 20, 345),
    ("TG-01", "thickness_gauge", "Magnetic gauge, type 2: away for calibration", 377, -12),
)

_FIGURES: dict[str, dict[str, str]] = {
    "HY-04": {
        "range_low": "5 %",
        "range_high": "98 %",
        "resolution": "0.1 %",
        "uncertainty": "2 %",
    },
    "ST-02": {
        "range_low": "-20 degC",
        "range_high": "120 degC",
        "resolution": "0.1 delta_degC",
        "uncertainty": "0.5 delta_degC",
    },
    "PG-03": {
        "range_low": "0 um",
        "range_high": "1000 um",
        "resolution": "1 um",
        "uncertainty": "3 um",
    },
    "SD-01": {"range_low": "0", "range_high": "100", "resolution": "0.5", "uncertainty": "1"},
    "TG-02": {
        "range_low": "0 um",
        "range_high": "1500 um",
        "resolution": "1 um",
        "uncertainty": "2 um",
    },
}
"""Range, resolution and expanded uncertainty (k = 2) as their certificates state them."""

_BATCHES = (
    # product, part, number, days until it expires
    ("Two-part epoxy filler, paste", "A", "F-2291A", 310),
    ("Two-part epoxy filler, paste", "B", "F-2291B", 280),
    ("Water-activated wrap, 100 mm", "", "W-1187", 190),
    ("Water-activated wrap, 100 mm", "", "W-1052", -24),
    ("Metal-filled epoxy", "A", "M-0432A", 400),
    ("Metal-filled epoxy", "B", "M-0432B", 400),
    ("Epoxy tank coating", "A", "C-7718A", 225),
    ("Epoxy tank coating", "B", "C-7720B", 225),
)


def stock(cast: Cast, today: date, at: datetime) -> Kit:
    """Enter instruments and batches in the register; days count from `today`."""
    instruments = {row[0]: _instrument(cast, row, today, at) for row in _INSTRUMENTS}
    expiries = {number: today + timedelta(days=days) for _, _, number, days in _BATCHES}
    batches = {}
    for product, part, number, _ in _BATCHES:
        entry = add_batch(
            project_id=cast.project.pk,
            product=product,
            part=part,
            number=number,
            expiry=expiries[number],
            storage="Site store, 15 to 25 °C",
            **by(cast.carl, at),
        )
        batches[number] = entry.stated(Batch)[0]["id"]
    return Kit(instruments, batches, expiries)


def _instrument(cast: Cast, row: tuple[str, str, str, int, int], today: date, at: datetime) -> int:
    identifier, kind, description, since, until = row
    calibrated_on = today - timedelta(days=since)
    outline = InstrumentOutline(
        identifier=identifier, kind=kind, description=description, **_FIGURES.get(identifier, {})
    )
    entry = add_instrument(project_id=cast.project.pk, outline=outline, **by(cast.ines, at))
    instrument = int(entry.stated(Instrument)[0]["id"])
    add_calibration(
        project_id=cast.project.pk,
        instrument_id=instrument,
        certificate=f"{identifier}/{calibrated_on:%y%m}",
        calibrated_on=calibrated_on,
        due_on=today + timedelta(days=until),
        **by(cast.ines, at),
    )
    return instrument


def by(actor: User, at: datetime) -> dict[str, Any]:
    """Who acts and when, under a new act id."""
    return {"actor": actor, "at": at, "act_id": uuid4()}
