"""Loading what a page is about; whoever has no part in it finds nothing there."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from zoneinfo import ZoneInfo

from django.core.exceptions import PermissionDenied
from django.db.models import Q, QuerySet
from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone

from qc.accounts.access import listed_for, memberships_of, projects_of
from qc.accounts.models import Membership, Project, User
from qc.engine.lifecycle import Act, Facts, Status, acts_open_to, reasons_against
from qc.engine.plan import Blocker, Intervention, Party, Terms, open_items, terms_of
from qc.records.models import Inspection, Plan, Repair
from qc.records.progress import StepProgress, progress_by_repair, progress_of
from qc.records.queries import (
    draft_of,
    drafts_of,
    membership_in,
    plan_in_force,
    plans_in_force,
    repairs_visible_to,
)
from qc.records.reports import ReportProgress, reports_of
from qc.workflow.facts import gather, gather_each


@dataclass
class RepairInHand:
    """A repair as one person sees it now: their party, the plan in force, how far it has come."""

    repair: Repair
    membership: Membership
    at: datetime

    @property
    def party(self) -> Party:
        """The party the person acts for."""
        return self.membership.acts_for

    @cached_property
    def zone(self) -> ZoneInfo:
        """The clock of the site."""
        return ZoneInfo(self.repair.project.time_zone)

    @cached_property
    def plan(self) -> Plan:
        """The plan in force."""
        return plan_in_force(self.repair)

    @cached_property
    def draft(self) -> Plan | None:
        """The revision that waits for the client's agreement, if there is one."""
        return draft_of(self.repair)

    @property
    def terms(self) -> Mapping[Intervention, Terms]:
        """What the plan in force calls each intervention, and the notice it wants."""
        return terms_of(self.plan.terms)

    @cached_property
    def listed(self) -> Mapping[Party, tuple[str, ...]]:
        """The names of those who may release the holds of each party."""
        return listed_for(self.repair.project_id)

    @cached_property
    def progress(self) -> tuple[StepProgress, ...]:
        """Every step with what is recorded on it."""
        return progress_of(self.repair, self.plan)

    @cached_property
    def facts(self) -> Facts:
        """What the guards know."""
        return gather(self.repair, self.progress, at=self.at, actor=self.membership.user_id)

    @cached_property
    def open_items(self) -> tuple[Blocker, ...]:
        """Everything that stands between the repair and its release, but for signatures."""
        return open_items(self.facts.steps, self.facts.reports, self.facts.day)

    def may(self, act: Act) -> bool:
        """Whether the party has this act at the repair's status."""
        return act in acts_open_to(self.repair.stands_at, self.party)

    def reasons_against(self, act: Act, position: int | None = None) -> tuple[Blocker, ...]:
        """Why the act, perhaps on the step at `position`, would be refused now."""
        facts = replace(self.facts, position=position)
        return reasons_against(self.repair.stands_at, act, self.party, facts)

    @cached_property
    def reports(self) -> tuple[ReportProgress, ...]:
        """The nonconformance reports, in order."""
        return reports_of(self.repair)

    def step_of(self, inspection: Inspection) -> StepProgress | None:
        """The step that an inspection was made of, as the plan in force has it."""
        return next((p for p in self.progress if inspection in p.inspections), None)

    def step(self, position: int) -> StepProgress | None:
        """The step at `position`, or None."""
        return next((p for p in self.progress if p.step.position == position), None)


def person(request: HttpRequest) -> User:
    """Who is signed in; pages of the record are reached by nobody else."""
    if not isinstance(request.user, User):
        raise PermissionDenied
    return request.user


def repair_in_hand(request: HttpRequest, repair_id: int) -> RepairInHand:
    """The repair for this person. Http404 if it is none of theirs, as if it did not exist."""
    repair = get_object_or_404(repairs_visible_to(person(request)), pk=repair_id)
    return RepairInHand(repair, membership_in(person(request), repair), timezone.now())


def step_in_hand(
    request: HttpRequest, repair_id: int, position: int
) -> tuple[RepairInHand, StepProgress]:
    """A step of a repair for this person. Http404 if repair or step is none of theirs."""
    hand = repair_in_hand(request, repair_id)
    progress = hand.step(position)
    if progress is None:
        raise Http404
    return hand, progress


def repairs_in_hand(request: HttpRequest) -> tuple[RepairInHand, ...]:
    """Every repair of this person's projects, without readings, in a fixed number of queries."""
    return _in_hand(request, repairs_visible_to(person(request)))


def hands_at_work(request: HttpRequest) -> tuple[RepairInHand, ...]:
    """The repairs on which something can wait: not released yet, or reported on since.

    They are loaded once a request, however often the page and its header ask.
    """
    known: tuple[RepairInHand, ...] | None = getattr(request, "hands_at_work", None)
    if known is None:
        released = Q(status=Status.RELEASED) & Q(nonconformances=None)
        repairs = repairs_visible_to(person(request)).exclude(released).distinct()
        known = _in_hand(request, repairs)
        request.hands_at_work = known  # type: ignore[attr-defined]
    return known


def _in_hand(request: HttpRequest, visible: QuerySet[Repair]) -> tuple[RepairInHand, ...]:
    repairs = list(visible.order_by("project__code", "number"))
    memberships = {m.project_id: m for m in memberships_of(person(request))}
    plans = plans_in_force([repair.pk for repair in repairs])
    progress = progress_by_repair(plans, with_readings=False)
    drafts = drafts_of([repair.pk for repair in repairs])
    at = timezone.now()
    facts = gather_each({r: progress[r.pk] for r in repairs}, at=at, actor=person(request).pk)
    hands = tuple(RepairInHand(r, memberships[r.project_id], at) for r in repairs)
    for hand in hands:
        hand.plan = plans[hand.repair.pk]
        hand.progress = progress[hand.repair.pk]
        hand.facts = facts[hand.repair.pk]
        hand.draft = drafts.get(hand.repair.pk)
    return hands


def project_in_hand(request: HttpRequest, project_id: int) -> Project:
    """The project for this person. Http404 if it is none of theirs."""
    return get_object_or_404(projects_of(person(request)), pk=project_id)
