from typing import ClassVar

from django.db import models
from django.db.models import Q

from barnrugs.barns.models import BarnOwned
from horses.models import Horse
from inventory.enums import Fit, RubPlace
from inventory.models.blanket import Blanket


class FitNote(BarnOwned):
    """What trying a blanket on a horse showed; it beats arithmetic until it is closed."""

    blanket = models.ForeignKey(Blanket, on_delete=models.PROTECT, related_name="fit_notes")
    horse = models.ForeignKey(Horse, on_delete=models.PROTECT, related_name="fit_notes")
    fit = models.CharField(max_length=8, choices=Fit)
    rubs_where = models.CharField(max_length=10, choices=RubPlace, blank=True)
    on = models.DateField()
    closed_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["-on", "-pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["blanket", "horse", "fit", "rubs_where"],
                condition=Q(closed_on__isnull=True),
                name="fit_note_open_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.blanket} on {self.horse}: {self.get_fit_display()}"
