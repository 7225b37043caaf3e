from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from barnrugs.barns.models.barn import BarnOwned
from barnrugs.matching.words import PrecipKind
from barnrugs.weather import notes
from barnrugs.weather.sources import KINDS


class WeatherSource(BarnOwned):
    """A typical year at or near a barn. It counts once loaded_at is set: its hours take many transactions."""

    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=8, choices=KINDS)
    place = models.CharField(max_length=120, blank=True)
    latitude = models.FloatField(validators=[MinValueValidator(-90), MaxValueValidator(90)])
    longitude = models.FloatField(validators=[MinValueValidator(-180), MaxValueValidator(180)])
    utc_offset_h = models.FloatField(
        "local standard time, hours ahead of UTC", validators=[MinValueValidator(-12), MaxValueValidator(14)]
    )
    altitude_m = models.FloatField(default=0)
    notes = models.JSONField("what a reader must know of it", default=list, blank=True)
    begun_at = models.DateTimeField()
    loaded_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["barn", "name"], condition=Q(loaded_at__isnull=False), name="weather_source_name_once"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def note(self) -> str:
        """In the reader's language."""
        return notes.say(self.notes)


class WeatherHour(models.Model):
    """One hour of a typical year. time: its beginning, UTC, in the calendar of 2000. Null is unknown, never zero."""

    source = models.ForeignKey(WeatherSource, on_delete=models.CASCADE, related_name="hours")
    time = models.DateTimeField()
    air_c = models.FloatField(null=True, blank=True)
    wind_10m_ms = models.FloatField(null=True, blank=True)
    rh = models.FloatField(null=True, blank=True)
    precip_mm = models.FloatField(null=True, blank=True)
    precip_kind = models.CharField(max_length=4, choices=[(kind.value, kind.value) for kind in PrecipKind], blank=True)
    irradiance_wm2 = models.FloatField(null=True, blank=True)
    clear_night = models.FloatField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["source", "time"], name="weather_hour_once"),
            models.CheckConstraint(condition=Q(wind_10m_ms__gte=0), name="weather_wind_not_negative"),
            models.CheckConstraint(condition=Q(rh__gte=0, rh__lte=1), name="weather_rh_is_a_fraction"),
            models.CheckConstraint(condition=Q(precip_mm__gte=0), name="weather_precip_not_negative"),
            models.CheckConstraint(
                condition=Q(clear_night__gte=0, clear_night__lte=1), name="weather_clear_night_is_a_fraction"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.time:%m-%d %H:%M}: {self.air_c} °C"
