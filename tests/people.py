"""The cast of every test: three people of three parties, and an outsider of another project."""

from dataclasses import dataclass
from typing import Any

import pytest

from qc.accounts.models import Membership, Organisation, Project, User
from qc.engine.plan import Party

PASSWORD = "tide-table-and-lantern"


@dataclass(frozen=True)
class People:
    """Ines inspects, Carl contracts, Clara is the client; Olu belongs to another project."""

    project: Project
    ines: User
    carl: User
    clara: User
    olu: User
    elsewhere: Project

    def of(self, party: Party) -> User:
        """The person who acts for `party` in the project."""
        return {
            Party.INSPECTOR: self.ines,
            Party.CONTRACTOR: self.carl,
            Party.CLIENT: self.clara,
        }[party]


@pytest.fixture
def people(db: None, settings: Any) -> People:
    """The cast, in two projects."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    ines, carl, clara, olu = (
        User.objects.create_user(name.lower(), password=PASSWORD, first_name=name, last_name=last)
        for name, last in (
            ("Ines", "Dunmore"),
            ("Carl", "Vale"),
            ("Clara", "Kestle"),
            ("Olu", "Farrow"),
        )
    )
    here = project(
        "SQT", "Saltmarsh Quay", {ines: "inspector", carl: "contractor", clara: "client"}
    )
    elsewhere = project("ELS", "Elsewhere", {olu: "inspector"})
    return People(here, ines, carl, clara, olu, elsewhere)


def project(code: str, title: str, members: dict[User, str]) -> Project:
    """A project with its three firms and these members."""
    client, contractor, inspector = (
        Organisation.objects.create(name=f"{title} {what}")
        for what in ("Terminal", "Repairs", "Inspection")
    )
    made = Project.objects.create(
        code=code,
        title=f"{title} repairs",
        site=f"{title} Terminal",
        time_zone="Europe/Dublin",
        client=client,
        contractor=contractor,
        inspector=inspector,
    )
    for user, party in members.items():
        Membership.objects.create(project=made, user=user, party=party)
    return made
