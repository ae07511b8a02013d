"""Which rows a person may see, and which plan is in force."""

from collections.abc import Collection

from django.db.models import QuerySet

from qc.accounts.access import membership_of, projects_of
from qc.accounts.models import Membership, User
from qc.records.models import Asset, Plan, Repair


def repairs_visible_to(user: User) -> QuerySet[Repair]:
    """The repairs of the projects that `user` is a member of."""
    return Repair.objects.filter(project__in=projects_of(user)).select_related("project", "asset")


def components_visible_to(user: User) -> QuerySet[Asset]:
    """The components of the projects that `user` is a member of."""
    return Asset.objects.filter(project__in=projects_of(user)).select_related("project")


def membership_in(user: User, repair: Repair) -> Membership:
    """The party that `user` is in the repair's project; NotAMember if none."""
    return membership_of(user, repair.project_id)


def plan_in_force(repair: Repair) -> Plan:
    """The plan by which a repair is inspected, with its steps."""
    return plans_in_force([repair.pk])[repair.pk]


def plans_in_force(repairs: Collection[int]) -> dict[int, Plan]:
    """The plan in force of each repair, by repair id, in a fixed number of queries.

    It is the latest revision that the client has agreed; before any, the latest drafted.
    """
    plans = Plan.objects.filter(repair__in=repairs).select_related("agreement")
    found: dict[int, Plan] = {}
    for plan in plans.prefetch_related("steps").order_by("revision"):
        known = found.get(plan.repair_id)
        if known is None or is_agreed(plan) or not is_agreed(known):
            found[plan.repair_id] = plan
    return found


def drafts_of(repairs: Collection[int]) -> dict[int, Plan]:
    """The revision of each repair that waits for agreement, by repair id, in one query."""
    plans = Plan.objects.filter(repair__in=repairs).select_related("agreement")
    latest = {plan.repair_id: plan for plan in plans.order_by("revision")}
    return {repair: plan for repair, plan in latest.items() if not is_agreed(plan)}


def is_agreed(plan: Plan) -> bool:
    """Whether the client has agreed this revision."""
    return hasattr(plan, "agreement")


def draft_of(repair: Repair) -> Plan | None:
    """The revision that waits for the client's agreement, if there is one."""
    latest = (
        Plan.objects.filter(repair=repair)
        .select_related("agreement")
        .prefetch_related("steps")
        .latest("revision")
    )
    return None if is_agreed(latest) else latest
