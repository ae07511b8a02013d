"""What stands in the header of every page."""

from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from qc.accounts.models import User
from qc.web.pages.inbox import waiting_count


def waiting(request: HttpRequest) -> dict[str, Any]:
    """How much waits for the person who is signed in; counted only where a page writes it."""
    if not isinstance(getattr(request, "user", None), User):
        return {}
    return {"waiting_count": SimpleLazyObject(lambda: waiting_count(request))}
