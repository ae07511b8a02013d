"""The contractor marks a plan up, change by change, and puts it forward as a revision."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import Party
from qc.records.data_sheets import sheets_in_force
from qc.records.library import library_of
from qc.records.plan_edits import (
    Steps,
    added,
    blank_step,
    duplicated,
    moved,
    removed,
    replaced,
)
from qc.records.plan_steps import steps_of
from qc.records.templates import StepTemplate
from qc.web.forms.act import RefusableForm
from qc.web.forms.edition import AddForm, EditionForm, PressedForm
from qc.web.forms.plan import CriteriaForm
from qc.web.forms.plan_step import StepForm
from qc.web.forms.terms import TermsForm
from qc.web.loading import RepairInHand, person, repair_in_hand
from qc.web.pages.plan_markup import (
    MarkupInHand,
    add_page,
    edit_url,
    limits_page,
    markup_in_hand,
    markup_page,
    put_forward_form,
    step_page,
    terms_page,
)
from qc.workflow import revise_plan
from qc.workflow.plan_markup import discard_markup, mark_up, steps_marked_up

_MOVES: dict[str, Callable[[Steps, str], Steps]] = {
    "up": partial(moved, by=-1),
    "down": partial(moved, by=1),
    "copy": duplicated,
    "remove": removed,
}


def edit(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The marked-up copy; its buttons move, copy and remove steps."""
    hand = repair_in_hand(request, repair_id)
    markup = markup_in_hand(hand, request.method == "POST")
    pressed = PressedForm(markup.edition, request.POST or None)
    if pressed.is_valid():
        what, key = pressed.pressed
        if key not in {step.key for step in markup.steps}:
            raise Http404
        if _change(request, hand, pressed, lambda steps: _MOVES[what](steps, key)):
            place = "" if what == "remove" else f"#step-{key}"
            return redirect(f"{edit_url(hand)}{place}")
    shown: RefusableForm = put_forward_form(hand, markup)
    page = markup_page(hand, markup, shown)  # type: ignore[arg-type]
    page["pressed"] = pressed
    return render(request, "qc/edit_plan.html", page, status=pressed.status)


def edit_step(request: HttpRequest, repair_id: int, key: str) -> HttpResponse:
    """What is done at a step, who is there, what is asked, and when."""
    hand, markup, step = _step_in_hand(request, repair_id, key)
    form = StepForm(markup.steps, key, markup.edition, request.POST or None)
    if live := _live(request, form):
        return live
    if form.is_valid() and _change(request, hand, form, lambda steps: replaced(steps, form.made())):
        messages.success(request, f"{form.made().title} is marked up.")
        return redirect(f"{edit_url(hand)}#step-{key}")
    page = step_page(hand, markup, step, form)
    return render(request, "qc/edit_step.html", page, status=form.status)


def edit_limits(request: HttpRequest, repair_id: int, key: str) -> HttpResponse:
    """The limits of a step, perhaps with what is offered for it."""
    hand, markup, step = _step_in_hand(request, repair_id, key)
    is_taking = "take" in request.POST
    sent = None if is_taking else request.POST or None
    sheets = sheets_in_force(hand.repair.project_id)
    form = CriteriaForm(step, markup.edition, hand.repair.units, hand.zone, sheets, sent)
    if live := _live(request, form):
        return live
    if form.is_valid() and _change(request, hand, form, lambda steps: replaced(steps, form.made())):
        messages.success(request, f"The limits of {step.title} are marked up.")
        return redirect(f"{edit_url(hand)}#step-{key}")
    if is_taking:
        form.take_over(request.POST)
    page = limits_page(hand, markup, step, form)
    return render(request, "qc/edit_limits.html", page, status=form.status)


def edit_terms(request: HttpRequest, repair_id: int) -> HttpResponse:
    """What the codes of the points mean, and how early a party is told."""
    hand = repair_in_hand(request, repair_id)
    markup = markup_in_hand(hand, request.method == "POST")
    form = TermsForm(markup.terms, markup.edition, request.POST or None)
    if live := _live(request, form):
        return live
    if form.is_valid() and _change(request, hand, form, terms=form.made()):
        messages.success(request, "The codes of the points are marked up.")
        return redirect(edit_url(hand))
    page = terms_page(hand, markup, form)
    return render(request, "qc/edit_terms.html", page, status=form.status)


def add_step(request: HttpRequest, repair_id: int) -> HttpResponse:
    """A step from the library, or a blank one."""
    hand = repair_in_hand(request, repair_id)
    markup = markup_in_hand(hand, request.method == "POST")
    form = AddForm(
        _library(hand.repair.project_id), markup.steps, markup.edition, request.POST or None
    )
    if form.is_valid():
        after = form.cleaned_data["after"]
        taken = {step.key for plan in hand.repair.plans.all() for step in plan.steps.all()}
        if _change(request, hand, form, lambda s: added(s, form.chosen, after, taken)):
            messages.success(request, f"{form.chosen.title} is added to the marked-up copy.")
            return redirect(edit_url(hand))
    return render(request, "qc/add_step.html", add_page(hand, markup, form), status=form.status)


@require_POST
def put_forward(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The marked-up copy becomes a revision that waits for the client."""
    hand = repair_in_hand(request, repair_id)
    markup = markup_in_hand(hand, request.method == "POST")
    form = put_forward_form(hand, markup, request.POST)
    who, at = person(request), timezone.now()
    if form.perform(revise_plan, actor=who, repair_id=repair_id, at=at):
        messages.success(request, "The revision waits for the client to agree it.")
        return redirect("plan", repair_id)
    return render(request, "qc/edit_plan.html", markup_page(hand, markup, form), status=form.status)


@require_POST
def discard(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The marked-up copy is thrown away; the plan stays as it was put forward."""
    hand = repair_in_hand(request, repair_id)
    markup = markup_in_hand(hand, request.method == "POST")
    form = EditionForm(markup.edition, request.POST)
    if form.is_valid():
        facts = {"repair_id": repair_id, "actor": person(request)}
        form.attempt(discard_markup, seen_edition=form.cleaned_data["edition"], **facts)
    if not form.errors:
        messages.success(request, "The marked-up copy is thrown away.")
        return redirect("plan", repair_id)
    page = markup_page(hand, markup, put_forward_form(hand, markup)) | {"pressed": form}
    return render(request, "qc/edit_plan.html", page, status=form.status)


def _step_in_hand(
    request: HttpRequest, repair_id: int, key: str
) -> tuple[RepairInHand, MarkupInHand, StepTemplate]:
    hand = repair_in_hand(request, repair_id)
    is_mine = hand.party is Party.CONTRACTOR
    known = steps_marked_up(hand.repair) if is_mine else steps_of(hand.plan)
    step = next((step for step in known if step.key == key), None)
    if step is None:
        raise Http404
    return hand, markup_in_hand(hand, request.method == "POST"), step


def _change(
    request: HttpRequest,
    hand: RepairInHand,
    form: EditionForm,
    change: Callable[[Steps], Steps] | None = None,
    terms: Mapping[str, Any] | None = None,
) -> bool:
    """Change the marked-up copy as a valid form says; False where that was refused."""
    edition = form.cleaned_data["edition"]
    facts = {"repair_id": hand.repair.pk, "actor": person(request), "at": timezone.now()}
    made = form.attempt(mark_up, seen_edition=edition, change=change, terms=terms, **facts)
    return made is not None


def _live(request: HttpRequest, form: EditionForm) -> HttpResponse | None:
    """The field that was just left, judged; None where the form was sent as a whole."""
    name = request.headers.get("HX-Trigger-Name", "")
    if "HX-Request" not in request.headers or not form.is_bound:
        return None
    field = form.judged(name)
    if field is None:
        raise Http404
    return render(request, "qc/parts/live_field.html", {"field": field})


def _library(project_id: int) -> dict[str, tuple[str, list[tuple[str, StepTemplate]]]]:
    """Every step that can be added, by the template that has it; the blank ones last."""
    found = {
        key: (made.title, [(f"{key}:{step.key}", step) for step in made.steps])
        for key, made in library_of(project_id).items()
    }
    blank = [(f":{key}", blank_step(key)) for key in CHARACTERISTICS]
    return {**found, "": ("Blank, to be filled in", blank)}
