"""The lines of a list as rows: one answer each, with everything a person at the stall door must know, in words.

What changed since the list was made is not stored: it is seen by comparing the line with the blankets of now.
"""

import uuid
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import partial
from typing import Any

from django.db.models import Q
from django.utils import formats, timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns import access
from barnrugs.barns.models import Barn, Person
from barnrugs.matching.body import layers_dry_m2kw
from barnrugs.matching.reasons import TOO_WARM, Code, Level, Reason, Voice
from barnrugs.matching.units import M2KW_PER_TOG
from barnrugs.matching.words import Front, Kind, State, Verdict, Waterproofing
from horses.models import Horse, PaddockStay
from inventory import chart_words
from inventory.domain import drying, felt, lists, sessions, turnout, whereabouts
from inventory.enums import DecidedBy, Felt, LineOutcome, Wet
from inventory.forms.hand_checks import SHIVERS
from inventory.forms.lists import why_in_words
from inventory.models import ChangeList, HandCheck, ListLine, Picture, Placing, Wearing
from inventory.queries import blankets, hand_checks, wearings
from inventory.views import answers
from inventory.views.decisions import DECIDES, against

OUTCOMES = {
    LineOutcome.DONE: gettext_lazy("Done"),
    LineOutcome.OTHER: gettext_lazy("Something else done"),
    LineOutcome.NOT_DONE: gettext_lazy("Not done"),
}
HOUR = timedelta(hours=1)
EXPECTED_AHEAD = frozenset({State.ON_HORSE, State.DRYING})
"""On a list hours ahead, a blanket may still be on another horse, or drying if it will be dry by then."""


@dataclass(frozen=True)
class Piece:
    """One blanket of the answer, the one next to the coat first. usual: the other horse whose it usually is."""

    tag: str
    words: str
    looks: str
    where: str
    usual: str
    pk: int | None
    picture: int | None
    worn: bool


@dataclass(frozen=True)
class ComesOff:
    """One blanket that the answer takes off, and where it belongs. warned: a warning says where it goes, being wet.
    aside: it goes back on no rack, being marked do not use.
    """

    tag: str
    words: str
    to: str
    warned: bool
    aside: bool


def come_back() -> str:
    return _("It cannot be put on yet: come back at that time.")


@dataclass(frozen=True)
class Row:
    """tags: of the answer, after the title. goes: where the horse is in the list's hours. order: it is to be
    cooled out before all else. blocked: why Done cannot be, and what to do. short: others have what it lacks;
    short_of: which, for those who may know. stays: Done changes nothing, what it has on stays on. nobody_off: it
    gets too warm and no later list takes it off. keeper: what a keeper's chart or note says in words. brief: for
    paper. early_h: of a list ahead, hours until its time, else 0. not_yet: of a list ahead, what goes on is not
    to be had now. soaked_off: what to do about what comes off soaked.
    """

    line: ListLine
    title: str
    tags: str
    goes: str
    keeps: bool
    stays: bool
    order: bool
    blocked: str
    short: bool
    short_of: str
    off: tuple[ComesOff, ...]
    verdict: str
    verdict_word: str
    pieces: tuple[Piece, ...]
    on_now: tuple[str, ...]
    in_all: str
    stay: PaddockStay | None
    decides: str
    changed: tuple[str, ...]
    off_with_it: tuple[str, ...]
    soaked: tuple[str, ...]
    felt_since: tuple[str, ...]
    warnings: tuple[str, ...]
    grave: tuple[str, ...]
    cautions: tuple[str, ...]
    brief: tuple[str, ...]
    against: tuple[str, ...]
    keeper: tuple[str, ...]
    why: tuple[str, ...]
    no_answer: str
    take_off_at: str
    nobody_off: bool
    early_h: int
    not_yet: bool
    soaked_off: str
    outcome: str
    outcome_why: str
    once: uuid.UUID = field(default_factory=uuid.uuid4)
    refused: str = ""
    shown: str = ""

    @property
    def horse(self) -> Horse:
        return self.line.horse

    @property
    def is_open(self) -> bool:
        return not self.line.outcome

    @property
    def is_one_tap(self) -> bool:
        """Whether Done of it asks nothing more: nothing bars it, what comes off needs no place, no look is due."""
        return self.is_open and not (self.blocked or self.not_yet or self.soaked_off or self.stays)

    @property
    def apart(self) -> str:
        """Why it wants looking at by itself; empty where one tap does it."""
        if self.is_one_tap:
            return ""
        return self.blocked or self.soaked_off or (self.title if self.stays else come_back())

    @property
    def picture(self) -> Piece | None:
        """The outermost blanket that has a picture: what one looks for on the rack."""
        return next((piece for piece in reversed(self.pieces) if piece.picture), None)


@dataclass
class Surroundings:
    """What the rows of one page need besides the lines, read in a constant number of queries.

    rained: hours out in recorded rain of what is worn outermost and not waterproof, by its wearing.
    names_others: whether a row may say which other horses have what this one lacks.
    """

    barn: Barn
    now: datetime
    worn: Mapping[int, Sequence[Wearing]]
    stays: Mapping[int, PaddockStay]
    blankets: Mapping[str, Any]
    pictures: Mapping[int, int]
    hung: Mapping[int, str]
    checks: Mapping[int, HandCheck]
    worn_off: Mapping[int, HandCheck]
    rained: Mapping[int, int]
    names_others: bool

    @property
    def voice(self) -> Voice:
        return answers.voice(self.barn)


def read(person: Person, lines: Sequence[ListLine], now: datetime) -> Surroundings:
    """person: who reads them."""
    barn = person.barn
    horses = {line.horse_id for line in lines}
    worn: dict[int, list[Wearing]] = defaultdict(list)
    for wearing in wearings.open_in(barn).filter(horse__in=horses):
        worn[wearing.horse_id].append(wearing)
    tags = {tag for line in lines for tag in line.tags_to}
    tags |= {wearing.blanket.tag for several in worn.values() for wearing in several}
    checks = hand_checks.latest(horses, now)
    tags |= {tag for check in checks.values() for tag in check.tags}
    kept = blankets.of(barn).with_condition(barn, now).filter(tag__in=tags).select_related("usual_horse")
    found = {one.tag: one for one in kept}
    return Surroundings(
        barn=barn,
        now=now,
        worn=worn,
        stays=stays_of(barn, horses, now),
        blankets=found,
        pictures=pictures_of([one.pk for one in found.values()]),
        hung=hung([wearing.blanket_id for several in worn.values() for wearing in several]),
        checks={horse: check for horse, check in checks.items() if check.at > now - hand_checks.LATELY},
        worn_off={horse: check for horse, check in checks.items() if check.at <= now - hand_checks.LATELY},
        rained=_rained(worn, barn, now),
        names_others=access.may_any(person, "see", ChangeList),
    )


def _rained(worn: Mapping[int, Sequence[Wearing]], barn: Barn, now: datetime) -> dict[int, int]:
    outermost = [body[-1] for several in worn.values() if (body := [one for one in several if not _is_cover(one)])]
    open_to_rain = [one for one in outermost if one.blanket.waterproofing != Waterproofing.WATERPROOF]
    return {pk: rain.hours for pk, rain in drying.rain_on(open_to_rain, barn, now).rain.items() if rain.hours}


def _is_cover(wearing: Wearing) -> bool:
    return bool(wearing.blanket.kind == Kind.NECK_COVER)


def stays_of(barn: Barn, horses: Iterable[int], now: datetime) -> dict[int, PaddockStay]:
    today = timezone.localtime(now, barn.zone).date()
    current = PaddockStay.objects.filter(Q(until__isnull=True) | Q(until__gte=today), since__lte=today)
    found = current.filter(barn=barn, horse__in=list(horses)).select_related("paddock").order_by("since", "pk")
    return {stay.horse_id: stay for stay in found}


def pictures_of(pks: Sequence[int]) -> dict[int, int]:
    """The latest picture of each blanket."""
    found = Picture.objects.filter(blanket__in=pks, removed_at__isnull=True).order_by("at", "pk")
    return dict(found.values_list("blanket_id", "pk"))


def hung(pks: Sequence[int]) -> dict[int, str]:
    """Where each blanket hung before it went on."""
    found = Placing.objects.filter(blanket__in=pks, until__isnull=False).exclude(place="").order_by("since", "pk")
    return dict(found.values_list("blanket_id", "place"))


def rows(lines: Sequence[ListLine], around: Surroundings) -> list[Row]:
    return [row(line, around) for line in lines]


def row(line: ListLine, around: Surroundings, refused: str = "") -> Row:
    worn = around.worn.get(line.horse_id, ())
    on_now = tuple(wearing.blanket.tag for wearing in worn)
    stays = not line.outcome and lists.stays(line)
    to = list(on_now) if stays else line.tags_to
    keeps = stays or (to == list(on_now) and line.neck == any(wearing.neck_on for wearing in worn))
    grave = tuple(_warnings(line, around))
    objections = tuple(objection(one, line, around.voice) for one in line.contradiction)
    by = str(DECIDES[DecidedBy(line.decided_by)])
    told = [one for one in line.reasons if around.names_others or "short" not in one]
    said = [(_level(one), spoken(one, around.voice)) for one in told if "short" not in one]
    cautions = tuple(text for level, text in said if level == Level.CAUTION)
    note = answers.vet_words(line.horse, around.barn, around.now)
    stay = around.stays.get(line.horse_id)
    order = is_order(line)
    off = tuple(_off(wearing, around) for wearing in worn if wearing.blanket.tag not in to)
    soaked = () if line.outcome else tuple(one for one in on_now if _is_soaked(one, around))
    verdict, verdict_word = _verdict(line, on_now, around)
    return Row(
        line=line,
        title=_title(line, off, around, keeps=keeps, neck_only=to == list(on_now)),
        tags="" if stays else " + ".join(line.tags_to),
        goes=_goes(line, stay, around.barn),
        keeps=keeps,
        stays=stays,
        order=order,
        verdict=verdict,
        verdict_word=verdict_word,
        blocked=_blocked(line, on_now, around),
        short=any("short" in one for one in line.reasons),
        short_of=next(
            (answers.short_words(one["short"], around.voice, brief=True) for one in told if "short" in one), ""
        ),
        pieces=tuple(_piece(tag, tag in on_now, line, around) for tag in to),
        on_now=on_now,
        off=off,
        in_all=_in_all(to, around),
        stay=stay,
        decides=by,
        changed=() if line.outcome else tuple(_changed(line, worn, around)),
        off_with_it=tuple(_off_with_it(line, around)),
        soaked=soaked,
        felt_since=tuple(_felt_since(line, around)),
        warnings=(*grave, *cautions),
        grave=grave,
        cautions=cautions,
        brief=(*grave, *(() if line.decided_by == DecidedBy.COMPUTED else (f"{by}.", *objections))),
        against=objections,
        keeper=tuple(text for text in map(partial(_keeper_says, voice=around.voice), told) if text and text != note),
        why=tuple(text for level, text in said if level != Level.CAUTION and text != note),
        take_off_at=_clock(line.take_off_at, around.barn) if line.take_off_at else "",
        no_answer=" ".join(spoken(one, around.voice) for one in told if "code" in one) if not line.verdict else "",
        nobody_off=_nobody_off(line),
        early_h=round((line.change_list.due_at - around.now) / HOUR) if is_ahead(line, around.now) else 0,
        not_yet=_not_yet(line, on_now, around),
        soaked_off=lists.soaked_off(line, worn, staying=to),
        outcome=_outcome(line, around.barn),
        outcome_why=why_in_words(line.why) if line.why else "",
        shown=lists.as_shown(line),
        refused=refused,
    )


def _is_soaked(tag: str, around: Surroundings) -> bool:
    return tag in around.blankets and around.blankets[tag].wet == Wet.SOAKED


def _nobody_off(line: ListLine) -> bool:
    """Whether it gets too warm and no later list takes it off. What a keeper decided is asked of the manager."""
    too_warm = any(one.get("code") in TOO_WARM for one in line.reasons)
    return too_warm and not line.take_off_at and line.decided_by == DecidedBy.COMPUTED


def is_order(line: ListLine) -> bool:
    """Whether what is on comes off and nothing goes on before the horse is cooled out."""
    return not line.tags_to and any(reason.get("code") in answers.COOL_OUT for reason in line.reasons)


def _verdict(line: ListLine, on_now: Sequence[str], around: Surroundings) -> tuple[str, str]:
    """The verdict of now and its word: what was right when the list was made may have become wrong since."""
    if is_order(line):
        return Verdict.NO, _("Sweating")
    overtaken = None if line.outcome else _overtaken(line, on_now, around)
    if overtaken:
        return overtaken
    return line.verdict or Verdict.NO, _verdict_word(line)


def _verdict_word(line: ListLine) -> str:
    return str(answers.VERDICTS[Verdict(line.verdict)]) if line.verdict else _("No advice")


def _overtaken(line: ListLine, on_now: Sequence[str], around: Surroundings) -> tuple[str, str] | None:
    """What stands instead of the verdict that the list was made with; None where that still holds."""
    if any(_is_soaked(tag, around) for tag in on_now):
        return Verdict.NO, _("Soaked: off first")
    if any(_is_unsafe(tag, around) for tag in on_now):
        return Verdict.NO, _("Do not use: off first")
    return (
        _overtaken_by_blankets(line, on_now, around)
        or _overtaken_by_the_horse(line, around)
        or _overtaken_by_rain(line, on_now, around)
    )


def _overtaken_by_blankets(line: ListLine, on_now: Sequence[str], around: Surroundings) -> tuple[str, str] | None:
    unusable = _unusable(line, on_now, around) if line.verdict else []
    if any(_is_unsafe(tag, around) for tag in unusable):
        return Verdict.NO, _("Do not use")
    worse = Verdict.NO if line.verdict == Verdict.NO else Verdict.CAUTION
    if any(tag in around.blankets and around.blankets[tag].wet != Wet.DRY for tag in unusable):
        ahead = _("Still drying then: advise again")
        return worse, ahead if is_ahead(line, around.now) else _("Still wet: advise again")
    return (worse, _("Advise again")) if unusable else None


def _overtaken_by_the_horse(line: ListLine, around: Surroundings) -> tuple[str, str] | None:
    check = _standing(line, around) if line.verdict else None
    if check and felt.speaks_against(check, line.tags_to, around.blankets):
        if check.felt == Felt.SWEATING:
            return Verdict.NO, _("Sweating")
        if line.verdict == Verdict.WEAR:
            return Verdict.CAUTION, _("Felt otherwise: advise again")
    if line.verdict == Verdict.WEAR and _is_uncovered(line, around):
        return Verdict.CAUTION, str(answers.VERDICTS[Verdict.CAUTION])
    return None


def _overtaken_by_rain(line: ListLine, on_now: Sequence[str], around: Surroundings) -> tuple[str, str] | None:
    stay_on = lists.after_done(line, on_now)
    if line.verdict == Verdict.WEAR and any(one.blanket.tag in stay_on for one, _hours in _out_in_rain(line, around)):
        return Verdict.CAUTION, str(answers.VERDICTS[Verdict.CAUTION])
    return None


def _out_in_rain(line: ListLine, around: Surroundings) -> list[tuple[Wearing, int]]:
    """What it wears that may be soaked, as far as the weather record tells, and nobody has felt."""
    worn = around.worn.get(line.horse_id, ())
    return [(one, around.rained[one.pk]) for one in worn if one.pk in around.rained and not one.soaked_at]


def _is_uncovered(line: ListLine, around: Surroundings) -> bool:
    if line.outcome or not line.verdict:
        return False
    codes = [reason["code"] for reason in line.reasons if "code" in reason]
    return answers.is_uncovered(line.horse, line.tags_to, codes, around.barn)


def _standing(line: ListLine, around: Surroundings) -> HandCheck | None:
    """What was felt so lately that it still holds: on the list at hand, and on one that begins so soon."""
    check = around.checks.get(line.horse_id)
    if check is None or (is_ahead(line, around.now) and line.change_list.due_at >= check.at + hand_checks.LATELY):
        return None
    return check


def is_ahead(line: ListLine, now: datetime) -> bool:
    """Whether it stands on a list that is not yet to be worked off."""
    return sessions.is_ahead(line.change_list.due_at, now)


def ahead_of(due_at: datetime, barn: Barn, now: datetime) -> str:
    """The time of a list ahead, for example "16:00", with the day where that is another; empty for any other list."""
    if not sessions.is_ahead(due_at, now):
        return ""
    then = timezone.localtime(due_at, barn.zone)
    other_day = then.date() != timezone.localtime(now, barn.zone).date()
    return formats.date_format(then, "D H:i" if other_day else "H:i")


def _is_unsafe(tag: str, around: Surroundings) -> bool:
    return tag in around.blankets and around.blankets[tag].is_unsafe


def spoken(reason: Mapping[str, Any], voice: Voice) -> str:
    """A reason as it was stored: a sentence, a keeper's common note, or a code with its figures."""
    if "note" in reason:
        return f"{chart_words.picked(reason['note'])}."
    if "said" in reason:
        return str(reason["said"])
    return answers.kept_reason(reason).say(voice)


def _keeper_says(reason: Mapping[str, Any], voice: Voice) -> str:
    return spoken(reason, voice) if "said" in reason or "note" in reason else ""


def _level(reason: Mapping[str, Any]) -> Level:
    """A keeper's own words stand with the reasons of warmth."""
    if "said" in reason or "note" in reason:
        return Level.WARMTH
    return Reason(Code(reason["code"])).level


def objection(one: Mapping[str, Any], line: ListLine, voice: Voice) -> str:
    """What speaks against a decision, in a sentence."""
    why = spoken(one["reason"], voice) if one.get("reason") else ""
    return against(one["kind"], voice, degrees_c=one.get("degrees_c") or 0.0, why=why)


def _piece(tag: str, worn: bool, line: ListLine, around: Surroundings) -> Piece:
    blanket = around.blankets.get(tag)
    if blanket is None:
        return Piece(tag, "", "", _("not in the inventory any more"), "", None, None, worn)
    others = blanket.usual_horse_id not in (None, line.horse_id)
    return Piece(
        tag=tag,
        words=answers.named(blanket),
        looks=blanket.looks,
        where="" if worn else whereabouts.phrase(blanket),
        usual=blanket.usual_horse.name if others else "",
        pk=blanket.pk,
        picture=around.pictures.get(blanket.pk),
        worn=worn,
    )


def _off(wearing: Wearing, around: Surroundings) -> ComesOff:
    """A wet one hangs somewhere to dry; a dry one goes where it belongs, or back to where it hung."""
    blanket = around.blankets.get(wearing.blanket.tag, wearing.blanket)
    place = blanket.rack or around.hung.get(blanket.pk) or _("its rack")
    wet = bool(wearing.soaked_at)
    aside = not wet and bool(getattr(blanket, "is_unsafe", False))
    if wet:
        place = _("where it can dry")
    elif aside:
        place = _("aside, to be repaired")
    return ComesOff(tag=blanket.tag, words=answers.named(blanket), to=place, warned=wet, aside=aside)


def _goes(line: ListLine, stay: PaddockStay | None, barn: Barn) -> str:
    """Whether the horse goes out or stays in, in the hours of the list."""
    hours = lists.hours_of(line.change_list)
    out = turnout.hours_out(hours, line.horse, stay, barn)
    if not hours:
        return ""
    if not out:
        return _("stays in")
    if len(out) == len(hours):
        return _("goes out")
    return _("out %(out)d of %(hours)d h") % {"out": len(out), "hours": len(hours)}


def _title(
    line: ListLine, off: Sequence[ComesOff], around: Surroundings, *, keeps: bool, neck_only: bool = False
) -> str:
    if not line.verdict:
        vet = line.decided_by == DecidedBy.VET
        return _("No advice: ask the veterinarian") if vet else _("No advice: look at it yourself")
    if is_order(line):
        tags = " + ".join(one.tag for one in off)
        off_with = _("Take off %(tags)s, cool the horse out and dry it first") % {"tags": tags}
        return off_with if off else _("Cool it out and dry it before anything goes on")
    if lists.keeps_in(line):
        return _("Keep it in; what it has on stays on") if around.worn.get(line.horse_id) else _("Keep it in")
    if not line.tags_to:
        return _take_off(off) if off else _("Stays bare")
    title = answers.named_outfit(line.tags_to, around.blankets, neck=line.neck)
    if line.outcome or not (keeps or neck_only):
        return title
    return _kept(title if keeps else answers.named_outfit(line.tags_to, around.blankets, neck=False), line, keeps=keeps)


def _kept(title: str, line: ListLine, *, keeps: bool) -> str:
    kept = {"what": title[:1].lower() + title[1:]}
    if keeps:
        return _("Keeps %(what)s") % kept
    return _("Keeps %(what)s: put the neck on") % kept if line.neck else _("Keeps %(what)s: take the neck off") % kept


def _take_off(off: Sequence[ComesOff]) -> str:
    """For example "Take off WRN22, to Rack 1"."""
    each = [
        f"{one.tag}, {one.to}" if one.aside else _("%(tag)s, to %(place)s") % {"tag": one.tag, "place": one.to}
        for one in off
    ]
    return _("Take off %(tags)s") % {"tags": "; ".join(each)}


def _in_all(tags: Iterable[str], around: Surroundings) -> str:
    """How warm it is in all, where more than one layer is worn."""
    layers = [around.blankets[tag] for tag in tags if tag in around.blankets]
    layers = [one for one in layers if one.kind != Kind.NECK_COVER]
    if not layers:
        return ""
    fill = sum(one.fill_g for one in layers)
    tog = float(layers_dry_m2kw(fill)) / M2KW_PER_TOG
    return _("%(fill)d g in all, %(tog).1f tog") % {"fill": fill, "tog": tog}


def _changed(line: ListLine, worn: Sequence[Wearing], around: Surroundings) -> Iterator[str]:
    """What is no longer as it was when the list was made."""
    on_now = [wearing.blanket.tag for wearing in worn]
    if not is_ahead(line, around.now) and on_now not in (line.tags_from, line.tags_to):
        yield _("It wears %(now)s now, not %(then)s as when the list was made.") % {
            "now": _tags(on_now),
            "then": _tags(line.tags_from),
        }
    for tag in _unusable(line, on_now, around):
        trouble = _trouble(around.blankets.get(tag))
        yield _drying_then(tag, line, around) or _("%(tag)s cannot be used any more: %(why)s.") % {
            "tag": tag,
            "why": trouble,
        }
    if is_order(line) and line.horse_id not in around.checks:
        yield _("It was sweating more than two hours ago: feel it again, then have the list advised again.")
    elif _was_held(line, around, Felt.WARM):
        yield _("It felt warm more than two hours ago: feel it again, then have the list advised again.")
    elif _was_held(line, around, Felt.COLD, Felt.COOL):
        yield _("It felt cold more than two hours ago: feel it again, then have the list advised again.")


def _was_held(line: ListLine, around: Surroundings, *felt_then: Felt) -> bool:
    """Whether the line was advised while a hand had felt the horse so, and that no longer counts."""
    check = around.worn_off.get(line.horse_id)
    if check is None or check.felt not in felt_then:
        return False
    return check.at + hand_checks.LATELY > line.change_list.made_at


def _drying_then(tag: str, line: ListLine, around: Surroundings) -> str:
    """Of a list ahead: that this one will not be dry by then; else empty."""
    blanket = around.blankets.get(tag)
    if not is_ahead(line, around.now) or blanket is None or blanket.is_unsafe or blanket.wet == Wet.DRY:
        return ""
    then = {"tag": tag, "time": _clock(line.change_list.due_at, around.barn)}
    return _("%(tag)s will still be drying at %(time)s: have the list advised again.") % then


def _unusable(line: ListLine, on_now: Sequence[str], around: Surroundings) -> list[str]:
    found = {tag: around.blankets.get(tag) for tag in lists.after_done(line, on_now)}
    return [tag for tag, one in found.items() if one is None or not _still_good(one, tag in on_now, line, around)]


def _blocked(line: ListLine, on_now: Sequence[str], around: Surroundings) -> str:
    """Why a Done would be refused, and what to do next; empty where it may be tapped."""
    if line.outcome:
        return ""
    for tag in _unusable(line, on_now, around):
        why = {"tag": tag, "why": _trouble(around.blankets.get(tag))}
        return _drying_then(tag, line, around) or (
            _("%(tag)s cannot be put on now, %(why)s: take another with Other.") % why
        )
    return ""


def _still_good(blanket: Any, worn: bool, line: ListLine, around: Surroundings) -> bool:
    if blanket.is_unsafe:
        return False
    if is_ahead(line, around.now) and blanket.state in EXPECTED_AHEAD:
        return drying.dry_from(blanket, around.barn, around.now) <= line.change_list.due_at
    return blanket.wet == Wet.DRY if worn else blanket.state == State.READY


def _not_yet(line: ListLine, on_now: Sequence[str], around: Surroundings) -> bool:
    """Whether a line of a list ahead gives what is still on another horse or drying: now it would be refused."""
    if line.outcome or not is_ahead(line, around.now):
        return False
    to = lists.after_done(line, on_now)
    given = [around.blankets[tag] for tag in to if tag in around.blankets and tag not in on_now]
    return any(one.state != State.READY for one in given)


def _trouble(blanket: Any) -> str:
    if blanket is None:
        return _("it is not in the inventory any more")
    if blanket.is_unsafe:
        return _("it is marked do not use")
    if blanket.wet != Wet.DRY:
        return _("it is wet")
    return _("it is %(where)s") % {"where": whereabouts.phrase(blanket)}


def _tags(tags: Sequence[str]) -> str:
    return " + ".join(tags) or _("nothing")


def _warnings(line: ListLine, around: Surroundings) -> Iterator[str]:
    """The gravest first."""
    horse = line.horse
    check = _standing(line, around)
    if check:
        yield from _felt(check, around.barn)
    yield from _off_with_it(line, around)
    yield from _may_be_soaked(line, around)
    if _is_uncovered(line, around):
        yield answers.must_cover()
    if note := answers.vet_words(horse, around.barn, around.now):
        yield _("Veterinarian's note: %(note)s") % {"note": note}
    if horse.two_people:
        yield _("Needs two people.")
    if horse.handling_note:
        yield horse.handling_note
    for tag in line.tags_to:
        if tag in around.blankets and around.blankets[tag].front == Front.CLOSED:
            yield _("%(tag)s goes on over the head.") % {"tag": tag}


def _may_be_soaked(line: ListLine, around: Surroundings) -> Iterator[str]:
    for wearing, hours in _out_in_rain(line, around):
        yield _("%(tag)s is not waterproof and was out in rain for %(hours)d h: feel it, it may be soaked.") % {
            "tag": wearing.blanket.tag,
            "hours": hours,
        }


def _felt(check: HandCheck, barn: Barn) -> Iterator[str]:
    """What a hand felt in the last hours, where something is to be done about it."""
    at = {"time": _clock(check.at, barn)}
    if check.note.startswith(SHIVERS):
        yield _("It shivered at %(time)s: rub it down if it is wet, hay, and call the veterinarian.") % at
    if check.felt == Felt.SWEATING:
        yield (
            _(
                "It was sweating at %(time)s: nothing filled or waterproof on it before it is cool and dry; "
                "if it goes on sweating, call the veterinarian."
            )
            % at
        )
    elif check.felt == Felt.WARM:
        until = {"until": _clock(check.at + hand_checks.LATELY, barn)}
        yield _("It felt warm at %(time)s: nothing warmer than it wore then until %(until)s; feel it again then.") % (
            at | until
        )
    elif check.felt == Felt.COLD:
        yield _("It felt cold at %(time)s: more on, and hay; if it shivers, call the veterinarian.") % at


def _felt_since(line: ListLine, around: Surroundings) -> Iterator[str]:
    """What was felt after the line was done: the line stays as it is, the horse does not."""
    check = around.checks.get(line.horse_id)
    if check and line.done_at and check.at > line.done_at:
        yield from _felt(check, around.barn)


def _off_with_it(line: ListLine, around: Surroundings) -> Iterator[str]:
    for wearing in around.worn.get(line.horse_id, ()):
        blanket = around.blankets.get(wearing.blanket.tag)
        if blanket and blanket.is_unsafe:
            yield _("%(tag)s on it is marked do not use: take it off.") % {"tag": blanket.tag}
        elif blanket and blanket.wet != Wet.DRY:
            yield _("%(tag)s on it is wet: take it off and hang it up.") % {"tag": blanket.tag}


def _outcome(line: ListLine, barn: Barn) -> str:
    if not line.outcome or not line.done_at:
        return ""
    return _("%(what)s %(time)s, %(who)s") % {
        "what": OUTCOMES[LineOutcome(line.outcome)],
        "time": _clock(line.done_at, barn),
        "who": line.done_by,
    }


def _clock(moment: datetime, barn: Barn) -> str:
    return f"{timezone.localtime(moment, barn.zone):%H:%M}"
