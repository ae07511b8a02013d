"""Searching the register of repairs: what is asked, and the repairs that answer it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Case, Count, Exists, F, OuterRef, Q, QuerySet, Subquery, Value, When
from django.db.models.functions import Coalesce

from qc.accounts.access import projects_of
from qc.accounts.models import User
from qc.engine.lifecycle import Status
from qc.engine.nonconformance import ReportState
from qc.records.models import (
    BatchUse,
    Certificate,
    Handling,
    InstrumentUse,
    Nonconformance,
    Repair,
)
from qc.records.particulars import DEFECT_TYPES
from qc.records.queries import repairs_visible_to

MOST_WORDS = 8
"""Words that a search may have; each is looked for in every column."""


@dataclass(frozen=True, kw_only=True)
class Search:
    """What is asked of the register. What is None or "" is not asked; days are of the site."""

    text: str = ""
    project: int | None = None
    status: str = ""
    repair_class: str = ""
    defect_type: str = ""
    with_open_reports: bool = False
    due_by: date | None = None
    released_from: date | None = None
    released_to: date | None = None
    sort: str = "number"


_LAST_FIRST: dict[str, Any] = {"nulls_last": True}
_BY_STATUS = Case(*(When(status=s, then=Value(n)) for n, s in enumerate(Status)), default=Value(99))
SORTS: dict[str, tuple[str, tuple[Any, ...]]] = {
    "number": ("Number", ()),
    "newest": ("Newest first", ("-created_at",)),
    "due": ("Next inspection", (F("next_inspection").asc(**_LAST_FIRST),)),
    "released": ("Latest release first", (F("released_at").desc(**_LAST_FIRST),)),
    "component": ("Component", ("asset__tag",)),
    "status": ("Status", (_BY_STATUS,)),
}
"""Each order of the register by its key: its words, and by what it sorts before the number."""


def repairs_found(user: User, search: Search) -> QuerySet[Repair]:
    """The repairs of this person's projects that answer the search, in its order.

    Each carries `open_reports`, and `certificate_number` and `released_at` of its latest
    certificate, None before there is one.
    """
    latest = Certificate.objects.filter(repair=OuterRef("pk")).order_by("-revision")
    rows = repairs_visible_to(user).annotate(
        open_reports=Coalesce(Subquery(_open_reports()), 0),
        certificate_number=Subquery(latest.values("number")[:1]),
        released_at=Subquery(latest.values("issued_at")[:1]),
    )
    for word in search.text.split():
        rows = rows.filter(_names(word))
    rows = rows.filter(_filters(search), _released(user, search))
    return rows.order_by(*SORTS[search.sort][1], "project__code", "number", "pk")


def _open_reports() -> QuerySet[Any]:
    """How many reports of the outer repair are not closed."""
    latest = Handling.objects.filter(report=OuterRef("pk")).order_by("-position")
    reports = Nonconformance.objects.filter(repair=OuterRef("pk")).annotate(
        stands_at=Coalesce(Subquery(latest.values("state")[:1]), Value(str(ReportState.OPEN)))
    )
    still_open = reports.exclude(stands_at=ReportState.CLOSED).order_by().values("repair")
    return still_open.annotate(count=Count("pk")).values("count")


def _names(word: str) -> Q:
    """Where a word may stand: in the repair, its component, certificate, batches or instruments."""
    columns = (
        "number",
        "title",
        "defect",
        "defect_position",
        "asset__tag",
        "asset__description",
        "asset__line",
    )
    said = Q()
    for column in columns:
        said |= Q(**{f"{column}__icontains": word})
    kinds = [key for key, label in DEFECT_TYPES.items() if word.casefold() in label.casefold()]
    used = {"inspection__repair": OuterRef("pk")}
    return (
        said
        | Q(defect_type__in=kinds)
        | Q(Exists(Certificate.objects.filter(repair=OuterRef("pk"), number__icontains=word)))
        | Q(Exists(BatchUse.objects.filter(**used, batch__number__icontains=word)))
        | Q(Exists(InstrumentUse.objects.filter(**used, instrument__identifier__icontains=word)))
    )


def _filters(search: Search) -> Q:
    asked = Q()
    for column in ("project", "status", "repair_class", "defect_type"):
        if value := getattr(search, column):
            asked &= Q(**{column: value})
    if search.with_open_reports:
        asked &= Q(open_reports__gt=0)
    if search.due_by:
        asked &= Q(next_inspection__lte=search.due_by)
    return asked


def _released(user: User, search: Search) -> Q:
    """Released on one of the days asked for, by the clock of each site."""
    if not (search.released_from or search.released_to):
        return Q()
    zones = projects_of(user).values_list("time_zone", flat=True).order_by().distinct()
    return _any_of(_released_in(zone, search) for zone in zones)


def _released_in(zone: str, search: Search) -> Q:
    asked = Q(project__time_zone=zone)
    if search.released_from:
        asked &= Q(released_at__gte=_midnight(search.released_from, zone))
    if search.released_to:
        asked &= Q(released_at__lt=_midnight(search.released_to + timedelta(days=1), zone))
    return asked


def _any_of(cases: Iterable[Q]) -> Q:
    asked = Q(pk__in=[])
    for case in cases:
        asked |= case
    return asked


def _midnight(day: date, zone: str) -> datetime:
    return datetime.combine(day, time.min, ZoneInfo(zone))
