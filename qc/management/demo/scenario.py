"""The scenario: seven repairs at six stages, on the days before the moment it is played."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from qc.management.demo import (
    failed,
    on_site,
    on_site_us,
    planned,
    planned_again,
    released,
    with_client,
)
from qc.management.demo.cast import engage
from qc.management.demo.kit import stock
from qc.management.demo.registers import check_before, stock_more
from qc.management.demo.site import Site

_REPAIRS = (
    # the repair, days from its first day on site to yesterday, days from then to its next
    # inspection, what it shows
    (released, 8, 45, "released with its certificate"),
    (with_client, 4, 365, "waiting for the client's signature"),
    (failed, 2, 90, "a hardness reading failed"),
    (on_site_us, 0, 730, "on site, in US units"),
    (on_site, 0, 180, "on site, held for the client"),
    (planned, 0, 180, "planned, waiting for the client to agree"),
    (planned_again, 0, 180, "planned, on the component of R-101 and at the same place"),
)


def play(now: datetime, say: Callable[[str], None]) -> None:
    """Play everything through the acts, all of it before `now`; `say` tells the progress."""
    cast = engage()
    zone = ZoneInfo(cast.project.time_zone)
    yesterday = now.astimezone(zone).date() - timedelta(days=1)
    opening = datetime.combine(yesterday - timedelta(days=14), datetime.min.time(), zone)
    kit = stock(cast, yesterday, opening + timedelta(hours=9))
    stock_more(cast, kit, yesterday, opening + timedelta(hours=10))
    for repair, days, due, shows in _REPAIRS:
        day = yesterday - timedelta(days=days)
        outline = replace(repair.OUTLINE, next_inspection=yesterday + timedelta(days=due))
        site = Site(cast=cast, kit=kit, day=day, outline=outline)
        check_before(site)
        repair.play(site)
        say(f"  {repair.OUTLINE.number}  {repair.OUTLINE.title}: {shows}")
