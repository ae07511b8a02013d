"""The library of plan templates, and saving a plan in it."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from qc.engine.lifecycle import Refused, repair_blocker
from qc.engine.plan import Party
from qc.records.library import template_named
from qc.records.models import PlanTemplate as TemplateRow
from qc.web.loading import person, repair_in_hand
from qc.web.pages.registers import register_of
from qc.web.pages.templates import library_page, save_page, template_form, template_page
from qc.workflow import save_template


def library(request: HttpRequest, project_id: int) -> HttpResponse:
    """The templates that the project's plans are drafted from."""
    hand = register_of(request, project_id, timezone.now())
    return render(request, "qc/templates.html", library_page(hand))


def template(request: HttpRequest, project_id: int, key: str) -> HttpResponse:
    """One template: its steps, and what each revision changed."""
    hand = register_of(request, project_id, timezone.now())
    made = template_named(project_id, key)
    if made is None:
        raise Http404
    return render(request, "qc/template.html", template_page(hand, made))


def save(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The contractor saves a repair's plan, or its marked-up copy, as a template."""
    hand = repair_in_hand(request, repair_id)
    if hand.party is not Party.CONTRACTOR:
        statement = f"The {hand.party} keeps no templates; the contractor does."
        raise Refused(repair_blocker("party", statement, Party.CONTRACTOR))
    form = template_form(hand, *([request.POST] if request.method == "POST" else []))
    project = hand.repair.project_id
    who, at = person(request), timezone.now()
    if form.is_bound and (
        entry := form.perform(save_template, actor=who, project_id=project, at=at)
    ):
        saved = TemplateRow.objects.get(pk=entry.stated(TemplateRow)[0]["id"])
        messages.success(request, f"{saved.title} is in the library, revision {saved.revision}.")
        return redirect("plan_template", project, saved.key)
    return render(request, "qc/save_template.html", save_page(hand, form), status=form.status)
