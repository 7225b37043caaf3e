"""What answers a question about one horse at the stall door: its blankets, the next best, rain, wet, a turn."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns import access
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import Barn
from barnrugs.barns.views.writing import actor_of
from barnrugs.matching import choose
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.limits import NoAnswer
from barnrugs.matching.weather import Hour
from barnrugs.matching.words import PrecipKind
from horses.enums import VetSays
from horses.models import Horse
from inventory import particulars
from inventory.domain import advice, drying, snapshot, whereabouts
from inventory.domain import lists as domain
from inventory.domain.snapshot import Subject
from inventory.models import Blanket, ListLine
from inventory.queries import drying as drying_queries
from inventory.queries import wearings
from inventory.views import answers
from inventory.views.answers import vet_holds
from inventory.views.list_rows import Row, pictures_of
from inventory.views.subjects import subject_of

NEXT_BEST = 5
WET_COAT = 0.5
"""A horse that came in wet from rain or sweat (A)."""

CALM_MS, WINDY_MS = advice.WIND_MS["calm"], advice.WIND_MS["windy"]


@dataclass(frozen=True)
class Own:
    """One blanket that this horse could wear, as one tells it from the others."""

    blanket: Any
    warmth: str
    where: str
    picture: int | None
    outside: tuple[str, str]
    not_now: str


@dataclass(frozen=True)
class Offer:
    """An outfit to be taken instead. value: its tags and neck, as the form sends them."""

    value: str
    label: str
    shown: answers.Shown | None


@dataclass(frozen=True)
class IfSo:
    """What would be right if the weather, or the horse, were otherwise."""

    condition: str
    answer: str


def facts(request: HttpRequest, line: ListLine, row: Row) -> dict[str, Any]:
    barn, now = request.barn, timezone.now()
    taken = snapshot.read(barn, now, only=line.horse)
    subject = subject_of(taken, line.horse)
    worn = list(wearings.open_on(line.horse).select_related("horse", "blanket"))
    record = drying.rain_on(worn, barn, now)
    asked = _asked(subject, barn, line)
    advised = None if vet_advises_nothing(line.horse, barn, now) else asked
    return {
        "own": _own(request, subject, taken, asked),
        "rain": [(one, record.rain[one.pk]) for one in worn if one.pk in record.rain],
        "rain_gap": record.gap if worn else "",
        "if_so": list(_if_so(advised)) if advised else [],
        "if_wet": _if_wet(advised, taken) if advised else None,
        "learned": subject.learned,
        "drying_places": drying_queries.places(barn, now) if worn else [],
    }


def vet_advises_nothing(horse: Horse, barn: Barn, now: datetime) -> bool:
    return horse.vet_says == VetSays.NO_ADVICE and vet_holds(horse, barn, now)


def _asked(subject: Subject, barn: Barn, line: ListLine) -> choose.Request | None:
    hours = domain.hours_of(line.change_list)
    return advice.request(subject, barn, hours) if hours else None


def _advice(asked: choose.Request, hours: Sequence[Hour] | None = None, **stay: Any) -> choose.Advice | None:
    changed = replace(asked.stay, hours=tuple(hours or asked.stay.hours), **stay)
    try:
        return choose.choose(asked.horse, changed, asked.blankets)
    except NoAnswer:
        return None


def _own(request: HttpRequest, subject: Subject, taken: snapshot.Snapshot, asked: choose.Request | None) -> list[Own]:
    found = _advice(asked) if asked else None
    voice = answers.voice(request.barn)
    left_out = {one.blanket.tag: one.reason.say(voice) for one in found.left_out} if found else {}
    seen = set(access.rows(request.person, Blanket).values_list("pk", flat=True))
    own = [taken.blankets[value.tag] for value in subject.wardrobe if value.mine or value.tag in subject.value.on_now]
    own = sorted((one for one in own if one.pk in seen), key=lambda one: (one.fill_g, one.tag))
    pictures = pictures_of([one.pk for one in own])
    return [
        Own(
            blanket=one,
            warmth=particulars.warmth(one),
            where=whereabouts.phrase(one),
            picture=pictures.get(one.pk),
            outside=particulars.outside_now(one),
            not_now=left_out.get(one.tag, ""),
        )
        for one in own
    ]


def _if_so(asked: choose.Request) -> list[IfSo]:
    """The same hours dry and calm, and the same hours wet and windy."""
    hours = asked.stay.hours
    calm = [replace(hour, wind_10m_ms=CALM_MS, precip_mm=0.0, precip_kind=None) for hour in hours]
    rough = [
        replace(
            hour,
            wind_10m_ms=max(WINDY_MS, hour.wind_10m_ms),
            precip_mm=max(advice.FALLING_MM_H, hour.precip_mm or 0.0),
            precip_kind=hour.precip_kind or (PrecipKind.RAIN if hour.air_c > 0 else PrecipKind.SNOW),
        )
        for hour in hours
    ]
    return [
        IfSo(words, _tags(found.chosen, found))
        for words, found in (
            (_("If it stays dry and calm:"), _advice(asked, calm)),
            (_("If it rains or snows and blows:"), _advice(asked, rough)),
        )
        if found
    ]


def _if_wet(asked: choose.Request, taken: snapshot.Snapshot) -> dict[str, Any] | None:
    """The horse itself is wet: which coolers first, and what may go on after."""
    found = _advice(asked, coat_wet=WET_COAT, coat_wet_under=WET_COAT)
    if found is None:
        return None
    return {
        "first": [answers.layer(one.tag, taken.blankets) for one in found.first],
        "then": _tags(found.chosen, found),
    }


def _tags(chosen: JudgedOutfit, found: choose.Advice) -> str:
    if found.keep_in:
        return _("keep it in")
    return " + ".join(chosen.tags) or _("nothing on")


def next_best(barn: Barn, line: ListLine, now: datetime) -> list[Offer]:
    """The best outfits other than the list's that are not refused, best first; the bare horse always among them.

    Nothing where the veterinarian's note allows no advice.
    """
    if vet_advises_nothing(line.horse, barn, now):
        return []
    taken = snapshot.read(barn, now, only=line.horse)
    subject = subject_of(taken, line.horse)
    asked = _asked(subject, barn, line)
    found = _advice(asked) if asked else None
    if found is None:
        return [_bare()]
    listed = (set(line.tags_to), line.neck)
    fit = [one for one in found.outfits if one.refused is None and (set(one.tags), one.neck) != listed]
    best = fit[:NEXT_BEST]
    best += [one for one in fit if not one.tags and one not in best]
    worn = set(subject.value.on_now)
    return [_offer(one, line.horse, barn, taken, worn=set(one.tags) == worn) for one in best]


def _offer(judged: JudgedOutfit, horse: Horse, barn: Barn, taken: snapshot.Snapshot, *, worn: bool) -> Offer:
    shown = answers.show(judged, barn, taken.blankets, horse=horse, worn=worn)
    neck = judged.neck and judged.outfit.neck_cover is None
    label = answers.named_outfit(judged.tags, taken.blankets, neck=neck) or shown.title
    return Offer(f"{shown.tags}|{'neck' if neck else ''}", label, shown)


def _bare() -> Offer:
    return Offer("|", _("Nothing on"), None)


def barred(request: HttpRequest, line: ListLine) -> str:
    """Why this person may do nothing else than the line says; empty where they may."""
    try:
        domain.refuse_otherwise(line, actor_of(request))
    except Refused as refused:
        return refused.sentence
    return ""
