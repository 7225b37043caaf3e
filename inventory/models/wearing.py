from datetime import datetime
from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from barnrugs.barns.models import BarnOwned, Person
from horses.models import Horse
from inventory.models.blanket import Blanket


class Wearing(BarnOwned):
    """A horse wears a blanket, from when it went on until it came off. A blanket has at most one that is open.

    overlaps: a late entry that contradicts another one in the past; both are kept. unbroken_since: it was on before
    already, and its taking off was taken back.
    """

    blanket = models.ForeignKey(Blanket, on_delete=models.PROTECT, related_name="wearings")
    horse = models.ForeignKey(Horse, on_delete=models.PROTECT, related_name="wearings")
    layer = models.PositiveSmallIntegerField(
        "layer, 1 is next to the coat", default=1, validators=[MinValueValidator(1), MaxValueValidator(4)]
    )
    neck_on = models.BooleanField(default=False)
    on_at = models.DateTimeField()
    on_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    off_at = models.DateTimeField(null=True, blank=True)
    off_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    unbroken_since = models.DateTimeField("on without a break since", null=True, blank=True)
    soaked_at = models.DateTimeField("found soaked", null=True, blank=True)
    overlaps = models.BooleanField(default=False)

    class Meta:
        ordering: ClassVar = ["-on_at", "-pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["blanket"], condition=Q(off_at__isnull=True), name="blanket_on_one_horse"),
            models.UniqueConstraint(
                fields=["horse", "layer"], condition=Q(off_at__isnull=True), name="horse_one_blanket_a_layer"
            ),
            models.CheckConstraint(
                condition=Q(off_at__isnull=True) | Q(off_at__gte=F("on_at")), name="wearing_ends_after_it_began"
            ),
            models.CheckConstraint(condition=Q(layer__gte=1, layer__lte=4), name="wearing_layer_in_range"),
            models.CheckConstraint(
                condition=Q(off_at__isnull=True, off_by__isnull=True) | Q(off_at__isnull=False, off_by__isnull=False),
                name="wearing_off_names_who",
            ),
        ]
        indexes: ClassVar = [models.Index(fields=["horse", "-on_at"], name="wearing_by_horse")]

    def __str__(self) -> str:
        return f"{self.blanket} on {self.horse}"

    @property
    def since(self) -> datetime:
        """From when on the horse has worn it without a break."""
        return self.unbroken_since or self.on_at
