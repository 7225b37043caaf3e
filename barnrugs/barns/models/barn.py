import zoneinfo
from datetime import time
from typing import ClassVar

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy


def known_time_zone(name: str) -> None:
    if name not in zoneinfo.available_timezones():
        raise ValidationError(_("This is not a time zone we know, for example America/Anchorage."))


class Units(models.TextChoices):
    US = "us", _("Inches, pounds, °F")
    METRIC = "metric", _("Centimetres, kilograms, °C")


class HouseModel(models.TextChoices):
    CHARTS_OBEYED = "charts", _("The owner's rule stands and staff follow it")
    STAFF_ADJUST = "adjust", _("The owner's rule stands, staff may adjust it with a reason")
    BARN_DECIDES = "barn", _("The barn decides, from what the owner supplied")


class Barn(models.Model):
    """One barn and its house rules."""

    name = models.CharField(max_length=80)
    slug = models.SlugField(max_length=40, unique=True)
    time_zone = models.CharField(max_length=64, default="UTC", validators=[known_time_zone])
    units = models.CharField(max_length=8, choices=Units, default=Units.US)
    latitude = models.FloatField(null=True, blank=True, validators=[MinValueValidator(-90), MaxValueValidator(90)])
    longitude = models.FloatField(null=True, blank=True, validators=[MinValueValidator(-180), MaxValueValidator(180)])
    indoor_gain_c = models.FloatField(
        "how much warmer the closed barn is", default=0, validators=[MinValueValidator(0), MaxValueValidator(15)]
    )
    house_model = models.CharField(max_length=8, choices=HouseModel, default=HouseModel.STAFF_ADJUST)
    rain_threshold = models.FloatField(
        "chance from which rain counts", default=0.3, validators=[MinValueValidator(0), MaxValueValidator(1)]
    )
    drying_hours = models.PositiveSmallIntegerField("hours a wet blanket needs to dry", default=12)
    proofing_months = models.PositiveSmallIntegerField("months a waterproofing lasts", default=12)
    currency = models.CharField(max_length=3, default="USD")

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(indoor_gain_c__gte=0, indoor_gain_c__lte=15), name="barn_indoor_gain_in_range"
            ),
            models.CheckConstraint(
                condition=Q(rain_threshold__gte=0, rain_threshold__lte=1), name="barn_rain_threshold_in_range"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> zoneinfo.ZoneInfo:
        return zoneinfo.ZoneInfo(self.time_zone)


class BarnOwned(models.Model):
    """A record of one barn. Triggers hold that nothing it refers to belongs to another barn (see barns/triggers.py)."""

    barn = models.ForeignKey(Barn, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True


class Session(models.TextChoices):
    TURNOUT = "turnout", pgettext_lazy("staffed time", "Turnout")
    MIDDAY = "midday", _("Midday")
    BRING_IN = "bring_in", _("Bring-in")
    NIGHT_CHECK = "night_check", _("Night check")


USUAL_TIMES = {
    Session.TURNOUT: time(7),
    Session.MIDDAY: time(12),
    Session.BRING_IN: time(16),
    Session.NIGHT_CHECK: time(21),
}


class StaffedTime(BarnOwned):
    """A time of day at which somebody is there to change blankets."""

    session = models.CharField(max_length=12, choices=Session)
    at = models.TimeField()

    class Meta:
        ordering: ClassVar = ["at"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["barn", "session"], name="staffed_time_once_a_day"),
        ]

    def __str__(self) -> str:
        return f"{self.get_session_display()} {self.at:%H:%M}"
