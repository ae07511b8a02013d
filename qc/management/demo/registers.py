"""What the register holds beside instruments and batches: a data sheet, people, and checks."""

from datetime import date, datetime, timedelta

from qc.management.demo.cast import Cast
from qc.management.demo.kit import Kit, by
from qc.management.demo.site import Site
from qc.workflow import add_data_sheet, add_qualification, check_instrument

WRAP, FILLER = "composite wrap", "epoxy filler"
"""Scopes of the applicators."""

_PEOPLE = (
    # holder, trade, scopes, certificate, days since it began, days until it ends
    ("Oskar Threlby", "applicator", [WRAP, FILLER], "TQ-2208", 400, 330),
    ("Milena Quaine", "applicator", [WRAP], "TQ-2231", 380, 20),
    ("Ines Tamsleyworth", "inspector", ["coating inspection, level 2"], "CI-0917", 500, 590),
)

_CHECKS = (
    # instrument, the repair before whose first day it is checked, reference, nominal, found, ...
    ("PG-03", "R-101", "Master block M-50, 50 µm", "50 um", "50 um", "3 um"),
    ("DG-05", "R-101", "Gauge block 10 mm", "10 mm", "10.02 mm", "0.05 mm"),
    ("TG-02", "R-102", "Shim S-250", "251 um", "252 um", "5 um"),
    ("SD-01", "R-103", "Reference block 60 Shore D", "60", "60.5", "1"),
    ("HY-04", "R-105", "Salt solution, 75 %", "75.3 %", "75.1 %", "2 %"),
)


def stock_more(cast: Cast, kit: Kit, today: date, at: datetime) -> None:
    """Enter a data sheet and qualifications; days count from `today`."""
    add_data_sheet(
        project_id=cast.project.pk,
        product="Two-part epoxy filler, paste",
        revision="4",
        values={
            "mixing": {
                "ratio": "2:1",
                "ratio_basis": "volume",
                "ratio_tolerance": "5 %",
                "pot_life": {"15 degC": "60 min", "25 degC": "30 min"},
                "material_temperature_min": "10 degC",
            },
            "cure": {"table": {"15 degC": "16 hour", "25 degC": "8 hour"}},
        },
        **by(cast.carl, at),
    )
    for holder, trade, scopes, certificate, since, until in _PEOPLE:
        own = cast.ines.pk if trade == "inspector" else None
        add_qualification(
            project_id=cast.project.pk,
            holder=holder,
            trade=trade,
            scopes=scopes,
            certificate=certificate,
            issued_by="Training centre of the maker",
            valid_from=today - timedelta(days=since),
            valid_until=today + timedelta(days=until),
            user_id=own,
            **by(cast.carl, at),
        )


def check_before(site: Site) -> None:
    """The instruments of a repair are checked on the morning of its first day."""
    for identifier, number, *figures in _CHECKS:
        if number == site.outline.number:
            _check(site.cast, site.kit, identifier, "before", site.moment("06:30"), figures)


def gauge_fails(site: Site) -> None:
    """The micrometer for replica tape is off after the day: the elbow's profile is in doubt."""
    shim = ["Shim S-100", "100 um", "100 um", "3 um"]
    _check(site.cast, site.kit, "RT-01", "before", site.moment("13:55"), shim)
    worn = ["Shim S-100", "100 um", "106 um", "3 um"]
    _check(site.cast, site.kit, "RT-01", "after", site.moment("17:20"), worn)


def _check(
    cast: Cast, kit: Kit, identifier: str, occasion: str, moment: datetime, figures: list[str]
) -> None:
    reference, nominal, found, tolerance = figures
    check_instrument(
        project_id=cast.project.pk,
        instrument_id=kit.instruments[identifier],
        occasion=occasion,
        reference=reference,
        nominal=nominal,
        found=found,
        tolerance=tolerance,
        checked_at=moment,
        **by(cast.ines, moment),
    )
