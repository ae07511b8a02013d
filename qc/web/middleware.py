"""What holds for every page: personal pages are not kept, and a refusal is one page."""

import logging
from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from qc.accounts.access import NotAMember
from qc.engine.lifecycle import Refused
from qc.evidence.store import NotAsKept

log = logging.getLogger(__name__)
GetResponse = Callable[[HttpRequest], HttpResponse]


class PrivatePages:
    """Pages of the record stay out of caches and out of other windows' reach."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Cache-Control", "no-store")
        response.headers.setdefault("Permissions-Policy", "geolocation=(), microphone=()")
        return response


class RefusalPage:
    """An act that may not happen answers with every reason at once; a stranger finds nothing."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, problem: Exception) -> HttpResponse | None:
        """Turn a refusal, or a file that is not as it was kept, into a page that says so.

        No part in the project becomes not found.
        """
        if isinstance(problem, Refused):
            return render(request, "qc/refused.html", {"reasons": problem.reasons}, status=409)
        if isinstance(problem, NotAMember):
            raise Http404
        if isinstance(problem, NotAsKept):
            log.error("File %s: %s", problem.filename, problem.strerror)
            return render(request, "qc/not_as_kept.html", {"problem": problem.strerror}, status=500)
        return None
