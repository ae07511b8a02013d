"""The register of repairs, as a page and as a file for a spreadsheet."""

from django.http import HttpRequest, HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from qc.accounts.access import projects_of
from qc.exchange.repair_list import csv_lines
from qc.records.search import repairs_found
from qc.web.forms.register import SearchForm
from qc.web.loading import person
from qc.web.pages.register import register_page


@require_safe
def repairs(request: HttpRequest) -> HttpResponse:
    """Every repair of the person's projects that answers what the address asks."""
    projects = list(projects_of(person(request)).order_by("code"))
    form = SearchForm(person(request), projects, request.GET)
    page = register_page(person(request), projects, form, request.GET)
    return render(request, "qc/register.html", page)


@require_safe
def repairs_csv(request: HttpRequest) -> HttpResponseBase:
    """The same repairs, all pages of them, as comma-separated values."""
    projects = list(projects_of(person(request)).order_by("code"))
    form = SearchForm(person(request), projects, request.GET)
    if not form.is_valid():
        return redirect(f"{reverse('repairs')}?{request.GET.urlencode()}")
    found = repairs_found(person(request), form.said())
    return StreamingHttpResponse(
        csv_lines(found.iterator(chunk_size=500)),
        headers={
            "Content-Type": "text/csv; charset=utf-8",
            "Content-Disposition": f'attachment; filename="repairs-{timezone.now():%Y-%m-%d}.csv"',
            "X-Content-Type-Options": "nosniff",
            "Cache-Control": "private, no-store",
        },
    )
