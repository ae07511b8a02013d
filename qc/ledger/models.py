"""The ledger's table."""

from django.db import models

from qc.engine.lifecycle import Act
from qc.ledger.sealed import Sealed


class Entry(Sealed):
    """One act on one repair, chained to the act before it.

    No foreign keys: history neither blocks nor follows what happens to other tables.
    """

    repair_id = models.BigIntegerField()
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
            models.UniqueConstraint(fields=["repair_id", "position"], name="entry_no_fork"),
            models.UniqueConstraint(fields=["repair_id", "previous_hash"], name="entry_one_heir"),
            models.CheckConstraint(
                condition=models.Q(act__in=[str(c) for c in Act]), name="entry_known_act"
            ),
        ]
        ordering = ["repair_id", "position"]
