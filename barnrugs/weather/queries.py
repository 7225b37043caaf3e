"""A barn's weather on the dates asked about."""

from datetime import date, datetime

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext as _

from barnrugs.barns.models import Barn
from barnrugs.matching.weather import Hour
from barnrugs.weather.hours import Slot, year_time
from barnrugs.weather.models import WeatherHour, WeatherSource
from barnrugs.weather.spell import Spell, WeatherGap, assemble, day_before_leap_day, hours_asked


def source_of(barn: Barn) -> WeatherSource | None:
    """The barn's weather file: the one loaded last."""
    return sources(barn).first()


def sources(barn: Barn) -> QuerySet[WeatherSource]:
    """Every file that is loaded, the one in use first."""
    return WeatherSource.objects.filter(barn=barn, loaded_at__isnull=False).order_by("-loaded_at", "-pk")


def hours_without(source: WeatherSource) -> dict[str, int]:
    """How many hours of the file lack air or wind, in which nothing can be advised; and how many lack precipitation."""
    unusable = Q(air_c__isnull=True) | Q(wind_10m_ms__isnull=True)
    return source.hours.aggregate(
        hours=Count("pk"),
        unusable=Count("pk", filter=unusable),
        dry_unknown=Count("pk", filter=Q(precip_mm__isnull=True)),
    )


def spell_between(where: Barn | WeatherSource, start: datetime, end: datetime, *, like: date | None = None) -> Spell:
    """Hours, what is unknown in them, and the source's note. Raises WeatherGap, also for a barn without a weather file.

    like: take the weather of this calendar date for the day on which start falls.
    """
    source = where if isinstance(where, WeatherSource) else source_of(where)
    if source is None:
        raise WeatherGap(_("%(barn)s has no weather file.") % {"barn": where})
    asked = hours_asked(start, end, source.utc_offset_h, like)
    rows = _rows(source, [slot for _, slot in asked])
    return assemble(
        asked, lambda slot: rows.get(year_time(slot, source.utc_offset_h)), source=source.name, note=source.note
    )


def hours_between(
    where: Barn | WeatherSource, start: datetime, end: datetime, *, like: date | None = None
) -> list[Hour]:
    return list(spell_between(where, start, end, like=like).hours)


def _rows(source: WeatherSource, slots: list[Slot]) -> dict[datetime, WeatherHour]:
    wanted = {slot for asked in slots for slot in (asked, day_before_leap_day(asked))}
    times = [year_time(slot, source.utc_offset_h) for slot in wanted]
    return {row.time: row for row in source.hours.filter(time__in=times)}
