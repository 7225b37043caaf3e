"""A hand under the blanket at the shoulder: what it felt, kept with where the air stood to the computed band."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.matching.heat import NoAnswer, comfort
from barnrugs.matching.outfit import BARE, Outfit, as_worn
from barnrugs.matching.weather import Hour, Stay
from barnrugs.weather.spell import WeatherGap
from horses.models import Horse
from inventory.domain import advice, lists, sessions, snapshot
from inventory.domain.snapshot import Snapshot, Subject
from inventory.models import ChangeList, HandCheck
from inventory.queries import lists as list_queries
from inventory.queries import wearings


@dataclass(frozen=True)
class Standing:
    """Air minus the ends of the band computed at offset 0 for what the horse wears in this hour, degC."""

    above_low_c: float
    above_high_c: float


@transaction.atomic
def note(horse: Horse, *, felt: str, actor: Actor, note: str = "") -> HandCheck:
    """Keeps what a hand felt; without weather or a band, or if the horse was changed since, it teaches nothing."""
    worn = wearings.tags_at(horse, actor.at)
    changed = worn != [each.blanket.tag for each in wearings.open_on(horse)]
    standing = None if changed else standing_now(horse, actor.barn, actor.at)
    check = HandCheck(
        barn=actor.barn,
        horse=horse,
        at=actor.at,
        by=actor.person,
        felt=felt,
        tags=worn,
        above_low_c=standing.above_low_c if standing else None,
        above_high_c=standing.above_high_c if standing else None,
        note=note,
    )
    check.full_clean()
    check.save(force_insert=True)
    after = {"felt": check.felt, "tags": check.tags, "check": check.pk, **_replanned(horse, actor)}
    journal.write(actor, "hand_check_noted", about=[horse], after=after, why=note)
    return check


def _replanned(horse: Horse, actor: Actor) -> dict[str, Any]:
    """The open line of the list at hand obeys at once what was felt; which it was, and what it says now."""
    line = lists.replan(horse, at=actor.now)
    return {"line": line.pk, "advised": line.tags_to} if line else {}


@transaction.atomic
def take_back(check: HandCheck, *, actor: Actor, why: str = "") -> HandCheck:
    check = HandCheck.objects.select_for_update(of=("self",)).select_related("horse").get(pk=check.pk)
    if check.taken_back_at:
        raise Refused(_("This hand check is taken back already."))
    check.taken_back_at = actor.at
    check.save(update_fields=["taken_back_at"])
    journal.write(
        actor,
        "hand_check_taken_back",
        about=[check.horse],
        before={"felt": check.felt, "at": check.at},
        after={"check": check.pk, **_replanned(check.horse, actor)},
        why=why,
    )
    return check


def standing_now(horse: Horse, barn: Barn, at: datetime) -> Standing | None:
    """Where the air stands to the band of what the horse wears; None without weather, or outside the model's limits."""
    hour = hour_at(barn, at)
    subject = snapshot.read(barn, at, only=horse).subject(horse)
    outfit = worn_outfit(subject)
    if hour is None or outfit is None:
        return None
    place = subject.place_at(barn, timezone.localtime(at, barn.zone))
    stay = Stay((hour,), place, rain_threshold=barn.rain_threshold)
    try:
        found = comfort(replace(subject.value, offset_c=0.0), stay, [outfit])
    except NoAnswer:
        return None
    air = float(found.air_c[0])
    return Standing(air - float(found.low_c[0, 0]), air - float(found.high_c[0, 0]))


def worn_outfit(subject: Subject) -> Outfit | None:
    """What the horse wears as the matching sees it; None where it is nothing that can be worn so."""
    if not subject.wears:
        return BARE
    outfit = as_worn(subject.value.on_now, subject.wardrobe)
    neck = any(worn.neck_on for worn in subject.wears)
    return replace(outfit, neck=True) if outfit and neck else outfit


def hour_at(barn: Barn, at: datetime) -> Hour | None:
    """The hour's weather from the file, else from the list at hand."""
    begins = at.replace(minute=0, second=0, microsecond=0)
    try:
        return advice.forecast(barn, begins, begins + timedelta(hours=1)).hours[0]
    except WeatherGap:
        return next((hour for hour in _hours_at_hand(barn, at) if hour.time == begins), None)


def _hours_at_hand(barn: Barn, at: datetime) -> tuple[Hour, ...]:
    slot = sessions.at_hand(barn, at)
    made = list_queries.of(barn).filter(day=slot.day, session=slot.session).first()
    return lists.hours_of(made) if made else ()


@dataclass(frozen=True)
class Compared:
    """The answer for what is left of the list at hand with what hand checks taught, and without any of them."""

    taught: advice.Line
    untaught: advice.Line


def compare(taken: Snapshot, horse: Horse, change_list: ChangeList) -> Compared | None:
    """By the planner of the list itself. None without an answer."""
    subject = taken.subject(horse)
    plain = replace(subject, value=replace(subject.value, offset_c=0.0), as_felt=None)
    found = Compared(*(lists.plan(change_list, taken, one) for one in (subject, plain)))
    return found if found.taught.advice and found.untaught.advice else None
