"""Evidence: a file kept by its content, and what it shows."""

from django.db import models

from qc.accounts.models import Project, User
from qc.ledger.sealed import Sealed
from qc.records.models import (
    Calibration,
    DataSheet,
    PlanStep,
    Qualification,
    Repair,
)


class Evidence(Sealed):
    """A photograph or document that belongs to a step of a repair, or to the repair."""

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="evidence")
    step = models.ForeignKey(PlanStep, models.PROTECT, null=True, related_name="evidence_files")
    requirement = models.CharField(max_length=60, blank=True)
    caption = models.CharField(max_length=300, blank=True)
    sha256 = models.CharField(max_length=64)
    size = models.PositiveIntegerField()
    content_type = models.CharField(max_length=40)
    filename = models.CharField(max_length=200)
    uploaded_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    uploaded_by_name = models.CharField(max_length=200)
    party = models.CharField(max_length=10)
    uploaded_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class RegisterFile(Sealed):
    """A certificate or data sheet of one thing in a project's register."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="register_files")
    calibration = models.ForeignKey(Calibration, models.PROTECT, null=True, related_name="files")
    qualification = models.ForeignKey(
        Qualification, models.PROTECT, null=True, related_name="files"
    )
    data_sheet = models.ForeignKey(DataSheet, models.PROTECT, null=True, related_name="files")
    sha256 = models.CharField(max_length=64)
    size = models.PositiveIntegerField()
    content_type = models.CharField(max_length=40)
    filename = models.CharField(max_length=200)
    uploaded_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    uploaded_by_name = models.CharField(max_length=200)
    uploaded_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
