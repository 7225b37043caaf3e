from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from barnrugs.barns.models import BarnOwned
from horses.enums import OutPlan, Shelter


class Paddock(BarnOwned):
    name = models.CharField(max_length=60)
    shelter = models.CharField(max_length=10, choices=Shelter, default=Shelter.OPEN)
    walk_order = models.PositiveSmallIntegerField("place in the walking order", default=0)
    out_plan = models.CharField("turnout", max_length=8, choices=OutPlan, default=OutPlan.DAY)
    out_from = models.TimeField("out from", null=True, blank=True)
    out_until = models.TimeField("in again at", null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["walk_order", "name"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["barn", "name"], name="paddock_name_once")]

    def __str__(self) -> str:
        return self.name


class PaddockStay(BarnOwned):
    """Who stands where, from a day to the day before another."""

    horse = models.ForeignKey("horses.Horse", on_delete=models.PROTECT, related_name="stays")
    paddock = models.ForeignKey(Paddock, on_delete=models.PROTECT, related_name="stays")
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["-since", "-pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["horse"], condition=Q(until__isnull=True), name="horse_in_one_paddock"),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=F("since")), name="paddock_stay_ends_after_it_began"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.horse} in {self.paddock}"
