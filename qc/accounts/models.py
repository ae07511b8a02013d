"""People, their organisations, and the party each is in a project."""

from datetime import time
from zoneinfo import ZoneInfo

from django.contrib.auth.models import AbstractUser
from django.core.validators import RegexValidator
from django.db import models

from qc.engine.plan import Party, WorkingHours


class User(AbstractUser):
    """A person who signs in with a name and a password."""

    @property
    def printed_name(self) -> str:
        """The name that stands on records."""
        return self.get_full_name() or self.username


class Organisation(models.Model):
    """A firm."""

    name = models.CharField(max_length=120, unique=True)

    def __str__(self) -> str:
        return self.name


class Project(models.Model):
    """A job the three parties share: its site, its clock and its working hours.

    `working_days` are ISO weekdays, 1 for Monday; notice in working hours counts only these.
    """

    code = models.SlugField(max_length=20, unique=True)
    title = models.CharField(max_length=160)
    site = models.CharField(max_length=160)
    time_zone = models.CharField(max_length=64, default="UTC")
    client = models.ForeignKey(Organisation, models.PROTECT, related_name="+")
    contractor = models.ForeignKey(Organisation, models.PROTECT, related_name="+")
    inspector = models.ForeignKey(Organisation, models.PROTECT, related_name="+")
    working_days = models.CharField(
        max_length=7,
        default="12345",
        validators=[RegexValidator("^[1-7]+$", "Give the days as digits, 1 for Monday.")],
    )
    day_starts = models.TimeField(default=time(7))
    day_ends = models.TimeField(default=time(17))
    members: models.ManyToManyField = models.ManyToManyField(User, through="Membership")

    def __str__(self) -> str:
        return f"{self.code} {self.title}"

    @property
    def working_hours(self) -> WorkingHours:
        """The hours of the site, by its clock."""
        return WorkingHours(
            days=frozenset(int(day) for day in self.working_days),
            starts=self.day_starts,
            ends=self.day_ends,
            zone=ZoneInfo(self.time_zone),
        )

    def organisation_of(self, party: Party) -> Organisation:
        """The firm that is `party` in this project."""
        return {
            Party.CLIENT: self.client,
            Party.CONTRACTOR: self.contractor,
            Party.INSPECTOR: self.inspector,
        }[party]


class Membership(models.Model):
    """A person's one party in a project, and whether they are listed to release its holds."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="memberships")
    user = models.ForeignKey(User, models.PROTECT, related_name="memberships")
    party = models.CharField(max_length=10, choices=[(str(p), p.capitalize()) for p in Party])
    releases_holds = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["project", "user"], name="one_party_a_person"),
            models.CheckConstraint(
                condition=models.Q(party__in=[str(c) for c in Party]), name="membership_known_party"
            ),
        ]

    @property
    def acts_for(self) -> Party:
        """The party, as the engine knows it."""
        return Party(self.party)
