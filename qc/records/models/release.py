"""What leads to the certificate: closed points, signatures, returns, and the certificate itself."""

from django.db import models

from qc.accounts.models import User
from qc.engine.lifecycle import Act
from qc.engine.plan import Intervention, Party
from qc.ledger.sealed import Sealed
from qc.records.models.inspection import Inspection
from qc.records.models.plan import PlanStep
from qc.records.models.repair import Repair


class PointClosure(Sealed):
    """A party closed its intervention point: released, attended, waived or reviewed."""

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="point_closures")
    step = models.ForeignKey(PlanStep, models.PROTECT, related_name="closures")
    series = models.PositiveIntegerField()
    inspection = models.ForeignKey(Inspection, models.PROTECT, null=True, related_name="+")
    party = models.CharField(max_length=10)
    intervention = models.CharField(max_length=14)
    manner = models.CharField(max_length=10)
    note = models.CharField(max_length=500, blank=True)
    closed_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    closed_by_name = models.CharField(max_length=200)
    closed_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(party__in=[str(c) for c in Party])
                & models.Q(intervention__in=[str(c) for c in Intervention]),
                name="closure_known_point",
            )
        ]
        ordering = ["id"]


class Signature(Sealed):
    """A person signed for a party: printed name, meaning, moment, digest of what was signed."""

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="signatures")
    signing_round = models.PositiveIntegerField()
    party = models.CharField(max_length=10)
    signed_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    printed_name = models.CharField(max_length=200)
    organisation = models.CharField(max_length=120)
    meaning = models.CharField(max_length=200)
    signed_at = models.DateTimeField()
    record_digest = models.CharField(max_length=64)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["repair", "signing_round", "party"], name="one_signature_a_party"
            ),
            models.UniqueConstraint(
                fields=["repair", "signing_round", "signed_by"], name="one_signature_a_person"
            ),
        ]
        ordering = ["id"]


class Return(Sealed):
    """The record went back to site; the signatures of that round no longer count.

    `act` is what took it back: sending it back, or a correction or report made meanwhile.
    """

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="returns")
    signing_round = models.PositiveIntegerField()
    party = models.CharField(max_length=10)
    returned_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    returned_by_name = models.CharField(max_length=200)
    act = models.CharField(max_length=30, default=str(Act.RETURN_REPAIR))
    reason = models.CharField(max_length=1000)
    returned_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class Certificate(Sealed):
    """An issued certificate: its snapshot as canonical JSON, and the digest of its PDF file.

    `check_code` opens its public page; whoever does not hold the paper can't guess it.
    """

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="certificates")
    number = models.CharField(max_length=60)
    revision = models.PositiveIntegerField(default=1)
    check_code = models.CharField(max_length=24, unique=True, null=True)
    issued_at = models.DateTimeField()
    snapshot = models.TextField()
    snapshot_digest = models.CharField(max_length=64)
    pdf_digest = models.CharField(max_length=64)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["number", "revision"], name="certificate_number")
        ]
