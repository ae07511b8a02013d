"""Loading what a page is about; whoever has no part in it finds nothing there."""

from dataclasses import dataclass
from functools import cached_property
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from qc.accounts.access import projects_of
from qc.accounts.models import Membership, Project
from qc.engine.lifecycle import Act, Facts, acts_open_to, reasons_against
from qc.engine.plan import Blocker, Party, open_items
from qc.records.models import Plan, Repair
from qc.records.progress import StepProgress, progress_of
from qc.records.queries import membership_in, plan_in_force, repairs_visible_to
from qc.workflow.facts import gather


@dataclass
class RepairInHand:
    """A repair as one person sees it: their party, the plan in force, and how far it has come."""

    repair: Repair
    membership: Membership

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
    def progress(self) -> tuple[StepProgress, ...]:
        """Every step with what is recorded on it."""
        return progress_of(self.repair, self.plan)

    @cached_property
    def facts(self) -> Facts:
        """What the guards know."""
        return gather(self.repair, self.progress, actor=self.membership.user_id)

    @cached_property
    def open_items(self) -> tuple[Blocker, ...]:
        """Everything that stands between the repair and its release, but for signatures."""
        return open_items(self.facts.steps)

    def may(self, act: Act) -> bool:
        """Whether the party has this act at the repair's status."""
        return act in acts_open_to(self.repair.stands_at, self.party)

    def reasons_against(self, act: Act) -> tuple[Blocker, ...]:
        """Why the act would be refused now: what the greyed button says."""
        return reasons_against(self.repair.stands_at, act, self.party, self.facts)

    def step(self, position: int) -> StepProgress | None:
        """The step at `position`, or None."""
        return next((p for p in self.progress if p.step.position == position), None)


def repair_in_hand(request: HttpRequest, repair_id: int) -> RepairInHand:
    """The repair for this person. Http404 if it is none of theirs, as if it did not exist."""
    repair = get_object_or_404(repairs_visible_to(request.user), pk=repair_id)
    return RepairInHand(repair, membership_in(request.user, repair))


def project_in_hand(request: HttpRequest, project_id: int) -> Project:
    """The project for this person. Http404 if it is none of theirs."""
    return get_object_or_404(projects_of(request.user), pk=project_id)
