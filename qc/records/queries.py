"""Which rows a person may see, and which plan is in force."""

from collections.abc import Collection

from django.db.models import Exists, OuterRef, QuerySet

from qc.accounts.access import membership_of, projects_of
from qc.accounts.models import Membership, User
from qc.records.models import Plan, Repair


def repairs_visible_to(user: User) -> QuerySet[Repair]:
    """The repairs of the projects that `user` is a member of."""
    return Repair.objects.filter(project__in=projects_of(user)).select_related("project", "asset")


def membership_in(user: User, repair: Repair) -> Membership:
    """The party that `user` is in the repair's project; NotAMember if none."""
    return membership_of(user, repair.project_id)


def plan_in_force(repair: Repair) -> Plan:
    """The latest revision of the repair's plan, with its steps."""
    return plans_in_force([repair.pk])[repair.pk]


def plans_in_force(repairs: Collection[int]) -> dict[int, Plan]:
    """The plan in force of each repair, by repair id, in a fixed number of queries."""
    newer = Plan.objects.filter(repair=OuterRef("repair"), revision__gt=OuterRef("revision"))
    latest = Plan.objects.filter(~Exists(newer), repair__in=repairs)
    return {plan.repair_id: plan for plan in latest.prefetch_related("steps")}
