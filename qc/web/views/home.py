"""Signing in and out, and the page everyone starts from."""

from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.decorators import method_decorator

from qc.web.forms.login import LogInForm
from qc.web.loading import repairs_in_hand
from qc.web.pages.home import home_page
from qc.web.pages.inbox import inbox_page


class LogIn(LoginView):
    """The page to sign in."""

    template_name = "qc/login.html"
    authentication_form = LogInForm
    redirect_authenticated_user = True


@method_decorator(login_not_required, name="dispatch")
class LogOut(LogoutView):
    """Signing out; a page left open over night finds the way to sign in, too."""


def home(request: HttpRequest) -> HttpResponse:
    """The person's repairs by project, with what waits for them."""
    page: dict[str, Any] = home_page(request, repairs_in_hand(request))
    return render(request, "qc/home.html", page)


def inbox(request: HttpRequest) -> HttpResponse:
    """What waits for the person over all their projects, the most urgent first."""
    page: dict[str, Any] = inbox_page(request)
    crumbs = [{"label": "Repairs", "url": reverse("home")}, {"label": "Waiting for me", "url": ""}]
    return render(request, "qc/inbox.html", {**page, "crumbs": crumbs})
