"""How an answer is put before a person: each line or outfit as plain strings and figures for the templates."""

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.models import Barn
from barnrugs.matching import units
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.reasons import Code, Level, Reason, Voice
from barnrugs.matching.share import say_short
from barnrugs.matching.strength import fill_word
from barnrugs.matching.weather import Stay, outdoor
from barnrugs.matching.words import Kind, Verdict
from horses.enums import VetSays
from horses.models import Horse
from inventory import particulars
from inventory.domain import whereabouts
from inventory.domain.advice import Line
from inventory.voices import voice_of

VERDICTS = {
    Verdict.WEAR: gettext_lazy("Right"),
    Verdict.CAUTION: gettext_lazy("With caution"),
    Verdict.NO: gettext_lazy("Not right"),
}
ASSUMED = {
    "mass": gettext_lazy("Nobody has weighed or taped this horse: 500 kg is assumed."),
    "condition": gettext_lazy("No condition score yet: 5 is assumed."),
    "size": gettext_lazy("Not measured yet, so sizes cannot be checked."),
    "age": gettext_lazy("No birth year yet: an adult is assumed."),
}


@dataclass(frozen=True)
class Layer:
    """One blanket of an outfit, with its record where the reader may open it."""

    tag: str
    words: str
    where: str
    pk: int | None


@dataclass(frozen=True)
class Shown:
    """An outfit as a page shows it."""

    tags: str
    title: str
    layers: tuple[Layer, ...]
    neck: bool
    verdict: str
    verdict_word: str
    refused: bool
    band: str
    warmth: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    tog: float
    hay_kg: float
    worn_now: bool
    once: uuid.UUID


def voice(barn: Barn) -> Voice:
    return voice_of(barn)


COOL_OUT = frozenset({Code.COOL_FIRST, Code.WALK_FIRST})
"""The horse was sweating: an order, before all else."""


def must_cover() -> str:
    return _("Must be covered whatever the rule: nothing is advised, so ask the manager what it wears.")


def is_uncovered(horse: Horse, tags: Sequence[str], codes: Iterable[str], barn: Barn) -> bool:
    """Whether a horse that must be covered is to wear nothing. The veterinarian and cooling it out stand above that."""
    if tags or not horse.must_be_covered or COOL_OUT & set(codes):
        return False
    return horse.vet_says != VetSays.NOTHING_ON or not vet_holds(horse, barn, timezone.now())


def vet_holds(horse: Horse, barn: Barn, now: datetime) -> bool:
    return horse.vet_until is None or horse.vet_until >= timezone.localtime(now, barn.zone).date()


def vet_words(horse: Horse, barn: Barn, now: datetime) -> str:
    """The veterinarian's note in their words; empty once it no longer holds."""
    return horse.vet_note if vet_holds(horse, barn, now) else ""


def show(judged: JudgedOutfit, barn: Barn, blankets: Mapping[str, Any], *, horse: Horse, worn: bool) -> Shown:
    speaker = voice(barn)
    uncovered = is_uncovered(horse, judged.tags, [reason.code for reason in judged.reasons], barn)
    verdict = Verdict.CAUTION if uncovered and judged.verdict == Verdict.WEAR else judged.verdict
    cautions = (must_cover(),) if uncovered else ()
    layers = tuple(layer(tag, blankets) for tag in judged.tags)
    said = [(reason.level, reason.say(speaker)) for reason in judged.reasons]
    low, high = judged.band_c
    us = speaker.us_units
    return Shown(
        tags=" ".join(judged.tags),
        title=_title(judged, layers),
        layers=layers,
        neck=judged.neck,
        verdict=verdict.value,
        verdict_word=str(VERDICTS[verdict]),
        refused=judged.refused is not None,
        band=_("%(low)s to %(high)s")
        % {"low": units.whole_degrees(low, us=us), "high": units.whole_degrees(high, us=us)},
        warmth=tuple(text for level, text in said if level in (Level.WARMTH, Level.REFUSAL)),
        cautions=(*cautions, *(text for level, text in said if level == Level.CAUTION)),
        notes=tuple(text for level, text in said if level == Level.NOTE),
        tog=round(judged.tog, 1),
        hay_kg=round(judged.hay_kg_per_day, 1),
        worn_now=worn,
        once=uuid.uuid4(),
    )


def layer(tag: str, blankets: Mapping[str, Any]) -> Layer:
    blanket = blankets.get(tag)
    if blanket is None:
        return Layer(tag, "", "", None)
    return Layer(tag, words_of(blanket), whereabouts.phrase(blanket), blanket.pk)


def words_of(blanket: Any) -> str:
    """For example "Turnout 200 g, dark green"."""
    words = f"{blanket.get_kind_display()} {blanket.fill_g} g"
    return f"{words}, {blanket.looks}" if blanket.looks else words


def named(blanket: Any) -> str:
    """What one looks for on the rack, for example "Turnout, medium 200 g"."""
    kind, fill_g = blanket.get_kind_display(), blanket.fill_g
    word = str(particulars.FILL_WORDS[fill_word(fill_g)])
    if fill_g:
        return f"{kind}, {word} {fill_g} g"
    return f"{kind}, {word}" if blanket.kind in FILLED_KINDS else str(kind)


FILLED_KINDS = frozenset({Kind.TURNOUT, Kind.STABLE, Kind.LINER})
"""Of these one has to say that there is no fill in it."""


def named_outfit(tags: Sequence[str], blankets: Mapping[str, Any], *, neck: bool) -> str:
    """Kinds and grams from the skin outwards; a tag that is no longer kept stands for itself."""
    words = " + ".join(named(blankets[tag]) if tag in blankets else tag for tag in tags)
    return _("%(tags)s, neck on") % {"tags": words} if neck and tags else words


def short_words(short: Any, speaker: Voice, *, brief: bool = False) -> str:
    """Who has what a horse goes short of, in the reader's language; lists made earlier kept the sentence itself.

    brief: without what it means to the horse.
    """
    if isinstance(short, str):
        return short
    warmth = None if brief else kept_reason(short["warmth"])
    return say_short(short["name"], short["held"], short["given"], warmth, speaker)


def kept_reason(kept: Mapping[str, Any]) -> Reason:
    """A reason as a list line keeps it: its code with its figures."""
    figures = {name: _figure(name, value) for name, value in kept.items() if name != "code"}
    return Reason(Code(kept["code"]), figures)


def _figure(name: str, value: Any) -> Any:
    if name.endswith("_time"):
        return _moment(value)
    return [_moment(one) for one in value] if name.endswith("_times") else value


def _moment(value: Any) -> datetime:
    return value if isinstance(value, datetime) else datetime.fromisoformat(value)


def _title(judged: JudgedOutfit, layers: tuple[Layer, ...]) -> str:
    if not layers:
        return _("Nothing on")
    words = " + ".join(each.tag for each in layers)
    return _("%(tags)s, neck on") % {"tags": words} if judged.neck and judged.outfit.neck_cover is None else words


def assumed(line: Line) -> list[str]:
    return [str(ASSUMED[word]) for word in line.subject.assumed]


def stands(stay: Stay) -> str:
    """Where the horse is in these hours: what is right in a stall may be wrong outside."""
    out, hours = int(outdoor(stay).sum()), len(stay.hours)
    if not out:
        return _("In its stall all the time.")
    return (
        _("Outside all the time.")
        if out == hours
        else _("Outside for %(out)d of %(hours)d hours.")
        % {
            "out": out,
            "hours": hours,
        }
    )
