"""The register: every repair a person may see, searched, filtered, in an order, page by page."""

from collections.abc import Sequence
from typing import Any

from django.core.paginator import Page, Paginator
from django.http import QueryDict
from django.urls import reverse

from qc.accounts.models import Project, User
from qc.engine.wording import day_text
from qc.records.models import Repair
from qc.records.particulars import DEFECT_TYPES
from qc.records.search import repairs_found
from qc.web.forms.register import SearchForm
from qc.web.pages.component import component_url
from qc.web.status import status_kind, status_word

A_PAGE = 25
"""Repairs on a page."""

_PROJECT = {"label": "Project"}
_COLUMNS = [
    {"label": "Repair"},
    {"label": "Component", "tight": True},
    _PROJECT,
    {"label": "Kind of defect"},
    {"label": "Class"},
    {"label": "Status"},
    {"label": "Open reports", "numeric": True},
    {"label": "Next inspection", "tight": True},
    {"label": "Certificate"},
]


def register_page(
    user: User, projects: Sequence[Project], form: SearchForm, asked: QueryDict
) -> dict[str, Any]:
    """Everything the template writes; `asked` is the query of the address."""
    page = _page(user, form, asked)
    left_out = {_COLUMNS.index(_PROJECT)} if len(projects) < 2 else set()
    return {
        "crumbs": [{"label": "Repairs", "url": reverse("home")}, {"label": "Register"}],
        "form": form,
        "page": page,
        "query": _query(asked),
        "columns": _without(left_out, _COLUMNS),
        "rows": [
            {"cells": _without(left_out, _cells(repair))}
            for repair in (page.object_list if page is not None else ())
        ],
        "said": _said(page) if page is not None else "The search cannot be read: see above",
        "is_read": page is not None,
        "is_asked": bool(_query(asked)),
        "has_projects": bool(projects),
        "export_url": f"{reverse('repairs_csv')}?{_query(asked)}",
    }


def _page(user: User, form: SearchForm, asked: QueryDict) -> Page[Repair] | None:
    """The page asked for, the nearest one where there is none; None while the search is wrong."""
    if not form.is_valid():
        return None
    return Paginator(repairs_found(user, form.said()), A_PAGE).get_page(asked.get("page"))


def _query(asked: QueryDict) -> str:
    """The query that finds these repairs again, without what is empty and without the page."""
    kept = QueryDict(mutable=True)
    for name, values in asked.lists():
        if name != "page" and any(values):
            kept.setlist(name, [value for value in values if value])
    return kept.urlencode()


def _said(page: Page[Repair]) -> str:
    count = page.paginator.count
    if not page.has_other_pages():
        return f"{count} repair{'' if count == 1 else 's'}"
    return f"{page.start_index()} to {page.end_index()} of {count} repairs"


def _cells(repair: Repair) -> list[dict[str, str]]:
    """A cell for each of the columns."""
    due, found = repair.next_inspection, vars(repair)
    certificate = found["certificate_number"] or ""
    return [
        {"text": f"{repair.number} {repair.title}", "url": reverse("repair", args=[repair.pk])},
        {"text": repair.asset.tag, "url": component_url(repair.asset)},
        {"text": repair.project.code},
        {"text": DEFECT_TYPES.get(repair.defect_type, "")},
        {"text": repair.repair_class},
        {"text": status_word(repair.stands_at), "stamp_kind": status_kind(repair.stands_at)},
        {"text": str(found["open_reports"])},
        {"text": day_text(due) if due else ""},
        {
            "text": certificate,
            "url": reverse("certificate", args=[repair.pk]) if certificate else "",
        },
    ]


def _without(left_out: set[int], listed: Sequence[Any]) -> list[Any]:
    return [each for index, each in enumerate(listed) if index not in left_out]
