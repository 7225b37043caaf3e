from typing import ClassVar

from django.db import models

from barnrugs.barns.models import BarnOwned, Person
from horses.models import Horse
from inventory.enums import Felt


class HandCheck(BarnOwned):
    """A hand under the blanket at the shoulder, and where the air stood then against the band computed at offset 0."""

    horse = models.ForeignKey(Horse, on_delete=models.PROTECT, related_name="hand_checks")
    at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    felt = models.CharField(max_length=8, choices=Felt)
    tags = models.JSONField("what it wore", default=list, blank=True)
    above_low_c = models.FloatField(null=True, blank=True)
    above_high_c = models.FloatField(null=True, blank=True)
    taken_back_at = models.DateTimeField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.horse}: {self.get_felt_display()}"
