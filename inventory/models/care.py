from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models

from barnrugs.barns.models import BarnOwned, Person
from horses.models import Horse
from inventory.enums import CareKind, CareStep, DamagedPart
from inventory.models.blanket import Blanket


class CareJob(BarnOwned):
    """A wash, repair or waterproofing of one blanket, from the report to the check on its return."""

    blanket = models.ForeignKey(Blanket, on_delete=models.PROTECT, related_name="care_jobs")
    kind = models.CharField(max_length=14, choices=CareKind)
    step = models.CharField(max_length=10, choices=CareStep, default=CareStep.REPORTED)
    part = models.CharField("what is wrong", max_length=10, choices=DamagedPart, blank=True)
    do_not_use = models.BooleanField(default=False)
    note = models.CharField(max_length=300, blank=True)
    on_horse = models.ForeignKey(Horse, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    company = models.JSONField("who was out with it", default=list, blank=True)
    reported_at = models.DateTimeField()
    reported_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    temporary_fix_until = models.DateField(null=True, blank=True)
    limit = models.DecimalField(
        "ask above", max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    cost = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)])
    sent_to = models.CharField("cleaner or repairer", max_length=80, blank=True)
    due_on = models.DateField("due back", null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["reported_at", "pk"]
        indexes: ClassVar = [models.Index(fields=["barn", "step"], name="care_job_by_step")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.blanket}"


class CareMove(BarnOwned):
    """One step of a care job: who moved it, when, what it cost, with a note."""

    job = models.ForeignKey(CareJob, on_delete=models.PROTECT, related_name="moves")
    came_from = models.CharField(max_length=10, choices=CareStep, blank=True)
    went_to = models.CharField(max_length=10, choices=CareStep)
    at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    cost = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)])
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering: ClassVar = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.job}: {self.get_went_to_display()}"
