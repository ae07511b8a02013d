"""The page of a component."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from qc.accounts.access import membership_of
from qc.records.queries import components_visible_to
from qc.web.loading import person
from qc.web.pages.component import component_page


@require_safe
def component(request: HttpRequest, asset_id: int) -> HttpResponse:
    """A component with every repair it has had."""
    found = get_object_or_404(components_visible_to(person(request)), pk=asset_id)
    membership = membership_of(person(request), found.project_id)
    return render(request, "qc/component.html", component_page(found, membership))
