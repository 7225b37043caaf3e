"""Wet blankets: found wet and hung up; and how many hours of rain the blankets on horses have stood in."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.matching.weather import EXPECTED_IN_AN_HOUR_MM, RAIN_FROM_C, Hour
from barnrugs.matching.words import PrecipKind
from barnrugs.weather.queries import spell_between
from barnrugs.weather.spell import WeatherGap
from horses.models import PaddockStay
from inventory.domain import care_checks as checks
from inventory.domain import keeping
from inventory.domain.turnout import is_out
from inventory.enums import Keeping, Wet
from inventory.models import Blanket, CareJob, Placing, Wearing
from inventory.models.care import TRAVELLING

LOOKED_BACK: Final = timedelta(days=60)
"""Rain longer ago than this is not counted: whatever it wetted has been seen since."""


@dataclass(frozen=True)
class Rain:
    """Hours out in rain since a blanket went on, and hours out of which nobody knows."""

    hours: int = 0
    unknown: int = 0


@dataclass(frozen=True)
class Record:
    """What the weather record says of each wearing, by its number; a gap says why it says nothing."""

    rain: dict[int, Rain]
    note: str = ""
    gap: str = ""


@transaction.atomic
def mark_wet(blanket: Blanket, *, place: str, actor: Actor, soaked: bool = False) -> Placing:
    """A blanket that no horse wears was found wet and hung to dry at a named place."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    checks.refuse_worn(blanket)
    checks.refuse_elsewhere(blanket)
    if CareJob.objects.filter(blanket=blanket, step__in=TRAVELLING).exists():
        raise Refused(_("%(blanket)s is bagged or at the cleaner or repairer.") % {"blanket": blanket})
    if not place.strip():
        raise Refused(_("Say where it hangs, so that somebody finds it."), field="place")
    placing = keeping.place(blanket, Keeping.DRYING, actor=actor, where=place.strip(), soaked=soaked)
    journal.write(actor, "blanket_marked_wet", about=[blanket], after={"place": placing.place, "soaked": soaked})
    return placing


def dry_from(blanket: Any, barn: Barn, at: datetime) -> datetime:
    """When a blanket counts as dry, by the barn's hours. What a horse wears soaked is hung up now at the earliest.

    Needs the blanket with its condition as of `at`.
    """
    if blanket.wet == Wet.DRY:
        return at
    hung = blanket.placing_since if blanket.placing_kind == Keeping.DRYING else at
    return hung + timedelta(hours=barn.drying_hours)


def rain_on(worn: Sequence[Wearing], barn: Barn, at: datetime) -> Record:
    """Counts, for each open wearing, the hours since it went on in which its horse was out and it rained.

    The hours come from the barn's weather record; three queries for any number of wearings.
    """
    if not worn:
        return Record({})
    first = max(min(wearing.since for wearing in worn), at - LOOKED_BACK)
    if first >= at:
        return Record({wearing.pk: Rain() for wearing in worn})
    try:
        spell = spell_between(barn, first, at)
    except WeatherGap as gap:
        return Record({}, gap=str(gap))
    stays = _stays(worn, barn, at)
    return Record(
        {wearing.pk: _rain(wearing, stays.get(wearing.horse_id), spell.hours, barn) for wearing in worn}, spell.note
    )


def _stays(worn: Iterable[Wearing], barn: Barn, at: datetime) -> dict[int, PaddockStay]:
    today = timezone.localtime(at, barn.zone).date()
    now = PaddockStay.objects.filter(Q(until__isnull=True) | Q(until__gte=today), since__lte=today)
    found = now.filter(horse__in={wearing.horse_id for wearing in worn}).select_related("paddock").order_by("since")
    return {stay.horse_id: stay for stay in found}


def _rain(wearing: Wearing, stay: PaddockStay | None, hours: Iterable[Hour], barn: Barn) -> Rain:
    begun = wearing.since.replace(minute=0, second=0, microsecond=0)
    out = [
        hour
        for hour in hours
        if hour.time >= begun and is_out(wearing.horse, stay, hour.time.astimezone(barn.zone).time())
    ]
    return Rain(sum(map(rains, out)), sum(hour.precip_mm is None for hour in out))


def rains(hour: Hour) -> bool:
    """Whether it rained in this hour, from the same amount and temperature on as the matching counts rain."""
    if hour.precip_mm is None or hour.precip_mm < EXPECTED_IN_AN_HOUR_MM:
        return False
    return hour.precip_kind == PrecipKind.RAIN if hour.precip_kind else hour.air_c >= RAIN_FROM_C
