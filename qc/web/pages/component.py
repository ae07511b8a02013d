"""The page of a component: what it is, and every repair it has had."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.urls import reverse

from qc.accounts.models import Membership
from qc.engine.lifecycle import Act
from qc.engine.plan import Party
from qc.engine.wording import day_text
from qc.records.models import Asset, Certificate, Repair
from qc.records.particulars import DEFECT_TYPES, NO_DESIGN
from qc.records.position import at_the_same_place, details_of, position_text, size_text
from qc.web.loading import RepairInHand
from qc.web.pages.about import component_shown, defect_shown, design_shown
from qc.web.status import status_kind, status_word

COLUMNS = [
    {"label": "Repair"},
    {"label": "Started", "tight": True},
    {"label": "Defect"},
    {"label": "Position"},
    {"label": "Outcome"},
    {"label": "Certificate"},
    {"label": "Next inspection"},
]


def component_url(component: Asset) -> str:
    """The page of a component."""
    return reverse("component", args=[component.pk])


def history_of(component: Asset) -> list[Repair]:
    """Every repair of a component with its certificates, the latest first, in two queries."""
    repairs = Repair.objects.filter(asset=component).select_related("project")
    return list(repairs.prefetch_related("certificates").order_by("-created_at", "-pk"))


def component_page(component: Asset, membership: Membership) -> dict[str, Any]:
    """Everything the template writes."""
    repairs = history_of(component)
    project = component.project
    starts = membership.acts_for is Party.CONTRACTOR
    return {
        "party": f"{membership.acts_for.capitalize()},"
        f" {project.organisation_of(membership.acts_for)}",
        "crumbs": [
            {"label": "Repairs", "url": reverse("home")},
            {"label": "Register", "url": reverse("repairs")},
            {"label": component.tag},
        ],
        "component": component,
        "project": project,
        "about": component_shown(component),
        "no_design": NO_DESIGN,
        "columns": COLUMNS,
        "rows": [_row(repair) for repair in repairs],
        "repeats": repeats_shown(repairs),
        "count": len(repairs),
        "start_url": f"{reverse('start_repair')}?component={component.pk}" if starts else "",
    }


def about_shown(hand: RepairInHand) -> dict[str, Any]:
    """What a repair is about, on its own page, and what else its component has had."""
    repair = hand.repair
    others = Repair.objects.filter(asset=repair.asset).exclude(pk=repair.pk).order_by("number")
    known = list(others)
    return {
        "component": component_shown(repair.asset),
        "component_url": component_url(repair.asset),
        "others": len(known),
        "same_place": [
            {"term": other.number, "definition": _place(other), "url": _url(other)}
            for other in at_the_same_place(repair, known)
        ],
        "defect": defect_shown(repair),
        "design": design_shown(repair),
        "no_design": NO_DESIGN,
        "sets_inspection": hand.may(Act.SET_NEXT_INSPECTION),
    }


def repeats_shown(repairs: Sequence[Repair]) -> list[str]:
    """A sentence for every repair that may lie where a later one does; `repairs` latest first."""
    said = []
    for index, repair in enumerate(repairs):
        for earlier in at_the_same_place(repair, repairs[index + 1 :]):
            where = position_text(details_of(earlier))
            said.append(f"{repair.number} may lie where {earlier.number} does: {where}.")
    return said


def repairs_listed(repairs: Sequence[Repair]) -> list[dict[str, Any]]:
    """Repairs of a component as short lines for another page."""
    return [
        {
            "term": repair.number,
            "definition": "; ".join(filter(None, (repair.title, _place(repair), _outcome(repair)))),
            "url": _url(repair),
        }
        for repair in repairs
    ]


def _row(repair: Repair) -> dict[str, Any]:
    certificate = _certificate(repair)
    due = repair.next_inspection
    return {
        "cells": [
            {
                "text": f"{repair.number} {repair.title}",
                "url": _url(repair),
            },
            {"text": _day(repair, repair.created_at)},
            {"text": _defect(repair)},
            {"text": _place(repair)},
            {
                "text": _outcome(repair),
                "stamp_kind": status_kind(repair.stands_at),
            },
            {
                "text": certificate.number if certificate else "",
                "url": reverse("certificate", args=[repair.pk]) if certificate else "",
            },
            {"text": f"by {day_text(due)}" if due else ""},
        ]
    }


def _url(repair: Repair) -> str:
    return reverse("repair", args=[repair.pk])


def _defect(repair: Repair) -> str:
    kind = DEFECT_TYPES.get(repair.defect_type, "")
    return "; ".join(filter(None, (kind, repair.defect, size_text(details_of(repair)))))


def _place(repair: Repair) -> str:
    return position_text(details_of(repair))


def _outcome(repair: Repair) -> str:
    certificate = _certificate(repair)
    if certificate is None:
        return status_word(repair.stands_at)
    return f"Released {_day(repair, certificate.issued_at)}"


def _day(repair: Repair, moment: datetime) -> str:
    return day_text(moment.astimezone(ZoneInfo(repair.project.time_zone)).date())


def _certificate(repair: Repair) -> Certificate | None:
    """The latest certificate of a repair."""
    return max(repair.certificates.all(), key=lambda c: c.revision, default=None)
