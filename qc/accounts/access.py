"""Who may see what: a person sees the projects they are a member of, and nothing else."""

from collections import defaultdict
from collections.abc import Mapping

from django.db.models import QuerySet

from qc.accounts.models import Membership, Project, User
from qc.engine.plan import Party


class NotAMember(Exception):
    """The person has no part in the project: to them it does not exist."""


def projects_of(user: User) -> QuerySet[Project]:
    """The projects that `user` is a member of."""
    return Project.objects.filter(memberships__user=user)


def membership_of(user: User, project_id: int) -> Membership:
    """The membership of `user` in a project; NotAMember if there is none or they left."""
    found = Membership.objects.filter(user=user, project_id=project_id).first()
    if found is None or not user.is_active:
        raise NotAMember
    return found


def memberships_of(user: User) -> QuerySet[Membership]:
    """The parties that `user` is, one in each project, with the project and its firms."""
    return (
        Membership.objects.filter(user=user)
        .select_related("project__client", "project__contractor", "project__inspector")
        .order_by("project__code")
    )


def listed_for(project_id: int) -> Mapping[Party, tuple[str, ...]]:
    """The names of those who may release the holds of each party, in one query."""
    found: dict[Party, tuple[str, ...]] = defaultdict(tuple)
    listed = Membership.objects.filter(
        project=project_id, releases_holds=True, user__is_active=True
    ).select_related("user")
    for membership in listed.order_by("user__last_name", "user__pk"):
        found[membership.acts_for] += (membership.user.printed_name,)
    return found
