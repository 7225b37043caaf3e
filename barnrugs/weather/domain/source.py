"""A weather file becomes a barn's hours."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import islice

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.weather.hours import WeatherYear, YearHour, year_time
from barnrugs.weather.models import WeatherHour, WeatherSource
from barnrugs.weather.queries import source_of

CHUNK = 500
"""Rows of one transaction: nobody at a stall door waits for a weather file."""
ABANDONED = timedelta(hours=1)


def load_year(barn: Barn, year: WeatherYear, *, name: str, actor: Actor | None = None) -> WeatherSource:
    """Writes the year in chunks; it counts, and replaces the barn's file of that name, once it is whole.

    Loaded again, the result is the same. With an actor the journal has an entry; hours are not journaled.
    """
    source = prepare(barn, year, name=name)
    make_count(source, actor)
    remove_uncounted(barn, timezone.now())
    return source


def prepare(barn: Barn, year: WeatherYear, *, name: str) -> WeatherSource:
    """Writes the year in chunks; it does not count yet."""
    source = _begin(barn, year, name)
    hours = iter(year.hours)
    while chunk := list(islice(hours, CHUNK)):
        WeatherHour.objects.bulk_create(_row(source, hour) for hour in chunk)
    return source


def _begin(barn: Barn, year: WeatherYear, name: str) -> WeatherSource:
    site = year.site
    source = WeatherSource(
        barn=barn,
        name=name,
        kind=year.kind,
        place=site.name[: WeatherSource._meta.get_field("place").max_length],
        latitude=site.latitude,
        longitude=site.longitude,
        utc_offset_h=site.utc_offset_h,
        altitude_m=site.altitude_m,
        notes=list(year.notes),
        begun_at=timezone.now(),
    )
    source.full_clean()
    source.save(force_insert=True)
    return source


def _row(source: WeatherSource, hour: YearHour) -> WeatherHour:
    return WeatherHour(
        source=source,
        time=year_time(hour.slot, source.utc_offset_h),
        air_c=hour.air_c,
        wind_10m_ms=hour.wind_10m_ms,
        rh=hour.rh,
        precip_mm=hour.precip_mm,
        precip_kind=hour.precip_kind or "",
        irradiance_wm2=hour.irradiance_wm2,
        clear_night=hour.clear_night,
    )


@transaction.atomic
def make_count(source: WeatherSource, actor: Actor | None) -> None:
    """From now on a prepared year is the barn's weather, in the place of the file of its name."""
    Barn.objects.select_for_update().get(pk=source.barn_id)
    same = WeatherSource.objects.filter(barn_id=source.barn_id, name=source.name, loaded_at__isnull=False)
    same.update(loaded_at=None, begun_at=source.begun_at - ABANDONED)
    source.loaded_at = timezone.now()
    source.save(update_fields=["loaded_at"])
    if actor:
        journal.write(actor, "weather_loaded", about=[source.barn], after={"name": source.name})


@transaction.atomic
def use(source: WeatherSource, *, actor: Actor) -> None:
    """One of the files that are loaded is the barn's weather from now on."""
    Barn.objects.select_for_update().get(pk=source.barn_id)
    source = WeatherSource.objects.select_for_update().get(pk=source.pk)
    if source.loaded_at is None:
        raise Refused(_("This file was replaced by another one of its name."))
    before = source_of(source.barn)
    if before == source:
        raise Refused(_("This file is used already."))
    source.loaded_at = actor.now
    source.save(update_fields=["loaded_at"])
    journal.write(
        actor,
        "weather_chosen",
        about=[source.barn],
        before={"name": before.name if before else ""},
        after={"name": source.name},
    )


def remove_uncounted(barn: Barn, now: datetime) -> None:
    """Replaced files, and those whose loading broke off; one still being loaded is younger."""
    for source in WeatherSource.objects.filter(barn=barn, loaded_at__isnull=True, begun_at__lte=now - ABANDONED):
        for keys in _chunks(source):
            WeatherHour.objects.filter(pk__in=keys).delete()
        source.delete()


def _chunks(source: WeatherSource) -> Iterator[list[int]]:
    while keys := list(source.hours.values_list("pk", flat=True)[:CHUNK]):
        yield keys
