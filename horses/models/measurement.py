from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from barnrugs.barns.models import BarnOwned
from horses.enums import Clip, SizeSystem
from horses.models.horse import Horse


class Measurement(BarnOwned):
    """A horse measured on a day: the size line as given and in centimetres, and whatever else the tape gave.

    The line along the back is another line: it is kept apart and never converted.
    """

    horse = models.ForeignKey(Horse, on_delete=models.PROTECT, related_name="measurements")
    on = models.DateField()
    given = models.CharField("as given", max_length=20, blank=True)
    given_system = models.CharField(max_length=8, choices=SizeSystem, blank=True)
    chest_to_tail_cm = models.DecimalField(
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(75), MaxValueValidator(280)],
    )
    back_length_cm = models.DecimalField(
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(50), MaxValueValidator(200)],
    )
    girth_cm = models.DecimalField(
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(50), MaxValueValidator(280)],
    )
    body_length_cm = models.DecimalField(
        "point of shoulder to point of buttock",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(50), MaxValueValidator(280)],
    )

    class Meta:
        ordering: ClassVar = ["-on", "-pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(chest_to_tail_cm__isnull=False)
                | Q(back_length_cm__isnull=False)
                | Q(girth_cm__isnull=False),
                name="measurement_measures_something",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.horse} {self.on}"


class Coat(BarnOwned):
    """The coat on a day: how it is clipped and, where measured, how deep it stands."""

    horse = models.ForeignKey(Horse, on_delete=models.PROTECT, related_name="coats")
    on = models.DateField()
    clip = models.CharField(max_length=8, choices=Clip, default=Clip.NONE)
    clipped_now = models.BooleanField("clipped on this day", default=False)
    depth_mm = models.FloatField(
        "depth of the unclipped coat", null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(60)]
    )

    class Meta:
        ordering: ClassVar = ["-on", "-pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(depth_mm__isnull=True) | Q(depth_mm__gte=1, depth_mm__lte=60), name="coat_depth_in_range"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.horse} {self.get_clip_display()} {self.on}"


class Condition(BarnOwned):
    """Body condition on a day, 1 to 9 (Henneke et al. 1983)."""

    horse = models.ForeignKey(Horse, on_delete=models.PROTECT, related_name="conditions")
    on = models.DateField()
    score = models.DecimalField(max_digits=2, decimal_places=1, validators=[MinValueValidator(1), MaxValueValidator(9)])

    class Meta:
        ordering: ClassVar = ["-on", "-pk"]
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(score__gte=1, score__lte=9), name="condition_one_to_nine"),
        ]

    def __str__(self) -> str:
        return f"{self.horse} {self.score} {self.on}"
