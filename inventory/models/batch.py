from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q

from barnrugs.barns.models import BarnOwned, Person
from inventory.enums import CheckOutcome
from inventory.models.care import CareJob


class Batch(BarnOwned):
    """What goes to one cleaner or repairer at one time, and comes back against its list."""

    number = models.PositiveIntegerField()
    to_whom = models.CharField("cleaner or repairer", max_length=80)
    note = models.CharField(max_length=300, blank=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    due_on = models.DateField("due back", null=True, blank=True)
    handed_at = models.DateTimeField("handed over", null=True, blank=True)
    handed_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["-number"]
        verbose_name_plural = "batches"
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["barn", "number"], name="batch_number_once"),
            models.CheckConstraint(
                condition=Q(handed_at__isnull=True, handed_by__isnull=True)
                | Q(handed_at__isnull=False, handed_by__isnull=False),
                name="batch_hand_over_names_who",
            ),
            models.CheckConstraint(
                condition=Q(handed_at__isnull=True) | Q(handed_at__gte=F("made_at")), name="batch_made_before_handed"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number}"


class BatchLine(BarnOwned):
    """One job in a batch: what was asked and up to what cost, and what came back."""

    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="lines")
    job = models.ForeignKey(CareJob, on_delete=models.PROTECT, related_name="lines")
    asked = models.CharField("work asked", max_length=300)
    limit = models.DecimalField(
        "ask above", max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    outcome = models.CharField(max_length=8, choices=CheckOutcome, blank=True)
    cost = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)])
    note = models.CharField(max_length=300, blank=True)
    checked_at = models.DateTimeField(null=True, blank=True)
    checked_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["batch", "job"], name="batch_line_once"),
            models.UniqueConstraint(
                fields=["job"], condition=Q(outcome__in=["", CheckOutcome.MISSING]), name="batch_line_open_once"
            ),
            models.CheckConstraint(
                condition=Q(outcome="", checked_at__isnull=True) | (~Q(outcome="") & Q(checked_at__isnull=False)),
                name="batch_line_checked_at",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.batch}: {self.job}"
