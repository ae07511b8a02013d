"""The ledger's tables."""

from typing import Any

from django.db import models

from qc.engine.lifecycle import Act, RegisterAct
from qc.ledger.sealed import Sealed
from qc.ledger.statement import table_of


class Kind(models.TextChoices):
    """What a chain tells the history of."""

    REPAIR = "repair"
    REGISTER = "register"


class Entry(Sealed):
    """One act on one subject, chained to the act before it.

    The subject is a repair, or a project's register. No foreign keys: history neither blocks nor
    follows what happens to other tables.
    """

    kind = models.CharField(max_length=8, choices=Kind.choices)
    subject_id = models.BigIntegerField()
    position = models.PositiveIntegerField()
    act = models.CharField(max_length=30)
    act_id = models.UUIDField(unique=True)
    actor_id = models.BigIntegerField()
    actor_name = models.CharField(max_length=200)
    party = models.CharField(max_length=10)
    observed_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    payload = models.JSONField()
    payload_digest = models.CharField(max_length=64)
    previous_hash = models.CharField(max_length=64)
    own_hash = models.CharField(max_length=64)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "subject_id", "position"], name="entry_no_fork"
            ),
            models.UniqueConstraint(
                fields=["kind", "subject_id", "previous_hash"], name="entry_one_heir"
            ),
            models.CheckConstraint(
                condition=models.Q(kind="repair", act__in=[str(a) for a in Act])
                | models.Q(kind="register", act__in=[str(a) for a in RegisterAct]),
                name="entry_known_act",
            ),
        ]
        ordering = ["kind", "subject_id", "position"]

    @property
    def repair_id(self) -> int:
        """The repair whose history this belongs to. ValueError for a register's entry."""
        if self.kind != Kind.REPAIR:
            raise ValueError(f"{self.act} belongs to a register, not to a repair")
        return self.subject_id

    def stated(self, model: type[models.Model]) -> list[dict[str, Any]]:
        """What this entry says of the rows of `model` that the act wrote; see `statement`."""
        rows: list[dict[str, Any]] = self.payload.get(table_of(model), [])
        return rows


class Checkpoint(Sealed):
    """The heads of all chains at a moment, chained to the checkpoint before.

    `heads` lists `[kind, subject, length, hash]`, in that order. Kept outside as well, it shows a
    tail that was cut off or a history that was written anew.
    """

    position = models.PositiveIntegerField(unique=True)
    taken_at = models.DateTimeField()
    occasion = models.CharField(max_length=80)
    heads = models.JSONField()
    previous_hash = models.CharField(max_length=64, unique=True)
    own_hash = models.CharField(max_length=64)

    class Meta:
        ordering = ["position"]
