"""The public page of a certificate."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from qc.web.pages.check import check_page
from qc.web.throttle import is_too_often

MOST_A_MINUTE = 30


@login_not_required
@require_safe
def check(request: HttpRequest, code: str) -> HttpResponse:
    """How a certificate stands now, to whoever holds its code; no search engine keeps it."""
    if is_too_often(request, "check", MOST_A_MINUTE):
        answer = render(request, "qc/check_later.html", status=429)
    else:
        page = check_page(code, timezone.now())
        answer = render(request, "qc/check.html", page, status=200 if page["found"] else 404)
    answer.headers["X-Robots-Tag"] = "noindex, nofollow"
    return answer
