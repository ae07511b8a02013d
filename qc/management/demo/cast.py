"""The invented terminal, the three invented firms, and a person of each."""

from dataclasses import dataclass

from qc.accounts.models import Membership, Organisation, Project, User
from qc.engine.plan import Party

PROJECT = "VESSMOOR"
PASSWORD = "kittiwake-ledge-at-low-water"
"""Of all three accounts. For the demo only: it is printed, and protects nothing."""

_FIRMS = {
    Party.CLIENT: "Vessmoor Terminal Operating Company",
    Party.CONTRACTOR: "Skellhythe Pipe and Steel Repairs",
    Party.INSPECTOR: "Corrowyn Inspection",
}
_PEOPLE = {
    Party.INSPECTOR: ("ines", "Ines", "Tamsleyworth"),
    Party.CONTRACTOR: ("carl", "Carl", "Ostbrinkle"),
    Party.CLIENT: ("clara", "Clara", "Venmoorby"),
}


@dataclass(frozen=True)
class Cast:
    """The project and who acts in it."""

    project: Project
    people: dict[Party, User]

    @property
    def ines(self) -> User:
        """The inspector."""
        return self.people[Party.INSPECTOR]

    @property
    def carl(self) -> User:
        """The contractor's supervisor."""
        return self.people[Party.CONTRACTOR]

    @property
    def clara(self) -> User:
        """The client's engineer."""
        return self.people[Party.CLIENT]


def engage() -> Cast:
    """Found the firms, the project and the accounts."""
    firms = {party: Organisation.objects.create(name=name) for party, name in _FIRMS.items()}
    project = Project.objects.create(
        code=PROJECT,
        title="Piping and tank repairs, spring campaign",
        site="Vessmoor Terminal, Skell Coast",
        time_zone="Atlantic/Canary",
        client=firms[Party.CLIENT],
        contractor=firms[Party.CONTRACTOR],
        inspector=firms[Party.INSPECTOR],
    )
    people = {}
    for party, (name, first, last) in _PEOPLE.items():
        people[party] = User.objects.create_user(
            name,
            password=PASSWORD,
            email=f"{name}@vessmoor.example",
            first_name=first,
            last_name=last,
        )
        Membership.objects.create(project=project, user=people[party], party=party)
    return Cast(project, people)


def log_ins() -> list[tuple[str, Party, str]]:
    """(account, party, printed name) of each person, for the command to print."""
    return [(name, party, f"{first} {last}") for party, (name, first, last) in _PEOPLE.items()]
