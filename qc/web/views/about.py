"""Pages about the record itself: what can be judged, by which declarations."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from qc.engine.characteristics import CHARACTERISTICS
from qc.web.pages.characteristics import characteristic_page, characteristics_page


@require_safe
def characteristics(request: HttpRequest) -> HttpResponse:
    """Every characteristic that is declared, and how another is made."""
    return render(request, "qc/characteristics.html", characteristics_page())


@require_safe
def characteristic(request: HttpRequest, key: str) -> HttpResponse:
    """One characteristic as it is declared, with an example that is judged while one looks."""
    if key not in CHARACTERISTICS:
        raise Http404
    return render(request, "qc/characteristic.html", characteristic_page(CHARACTERISTICS[key]))
