"""Lists of the staffed times: made once, worked off line by line, never overwritten where somebody did something."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Count, Max
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, JournalEntry
from barnrugs.barns.models.barn import Session
from barnrugs.matching import choose, share
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.reasons import TOO_WARM, Reason
from barnrugs.matching.weather import Hour
from barnrugs.matching.words import PrecipKind
from barnrugs.weather.spell import WeatherGap
from horses.models import Horse
from inventory.domain import advice, sessions, snapshot, wearing
from inventory.domain.advice import Line, Weather
from inventory.domain.otherwise import NOT_TO_BE_DONE, may_always_come_off, may_differ, refuse_differing
from inventory.domain.sessions import Slot
from inventory.domain.snapshot import Snapshot, Subject
from inventory.enums import DecidedBy, LineOutcome, Override
from inventory.models import Blanket, ChangeList, Chart, ListLine, Wearing
from inventory.queries import lists as queries
from inventory.queries import wearings

LIGHTER_BETTER_BY = 1.0
"""Score by which a lighter outfit must be better for the hours left to be worth a visit (A)."""


class Moved(Exception):
    """Something was written between computing and writing."""


@dataclass(frozen=True)
class Prepared:
    """A list's answers, computed where nobody waits for them. seen: the journal's end before the barn was read."""

    taken: Snapshot
    weather: Weather
    lines: tuple[Line, ...]
    expected: Mapping[int, "Worn"]
    seen: tuple[int, int]

    def refuse_moved(self, barn: Barn) -> None:
        """Raises Moved where anything was written since; all that an answer depends on is journaled, but weather."""
        if _journal_ends(barn) != self.seen:
            raise Moved


def _journal_ends(barn: Barn) -> tuple[int, int]:
    """The last entry and how many there are: one that was begun earlier may be written after a later one."""
    ends = JournalEntry.objects.filter(barn=barn).aggregate(last=Max("pk"), count=Count("pk"))
    return ends["last"] or 0, ends["count"]


def prepare(barn: Barn, slot: Slot, *, at: datetime, conditions: advice.Conditions | None = None) -> Prepared:
    """The answers for a staffed time from the barn of now. Raises Refused without weather for its hours.

    A list whose conditions were entered keeps them where there is no weather file.
    """
    seen = _journal_ends(barn)
    weather = _weather_to_come(barn, slot, at, conditions)
    taken = snapshot.read(barn, at)
    lines = advice.advise_barn(taken, weather).lines
    return Prepared(taken, weather, lines, expected_on(barn, slot.due_at, at), seen)


def _weather_to_come(barn: Barn, slot: Slot, at: datetime, conditions: advice.Conditions | None) -> Weather:
    try:
        return weather_of(barn, slot, at, conditions)
    except Refused:
        made = queries.of(barn).filter(day=slot.day, session=slot.session).first()
        if made is None or made.weather.get("source") != BY_HAND or at >= slot.until:
            raise
        return Weather(hours_left(made, at), BY_HAND)


def ensure(
    barn: Barn,
    slot: Slot,
    *,
    at: datetime,
    conditions: advice.Conditions | None = None,
    prepared: Prepared | None = None,
) -> ChangeList:
    """The list of a staffed time, made now if nobody made it before.

    Raises Refused without weather for its hours. Two at once: one makes it, the other gets it.
    """
    found = queries.of(barn).filter(day=slot.day, session=slot.session).first()
    return found or _make(barn, slot, at, conditions, prepared)


@transaction.atomic
def enter_conditions(
    barn: Barn, slot: Slot, *, conditions: advice.Conditions, actor: Actor, prepared: Prepared | None = None
) -> ChangeList:
    """The list from conditions that somebody entered; what is open on one that is there already is advised again.

    Also where somebody else made it at the same moment: what was entered counts.
    """
    found = queries.of(barn).filter(day=slot.day, session=slot.session).first()
    if found is None:
        prepared = _fresh(barn, slot, actor.at, conditions, prepared)
        found = _written(barn, slot, actor.at, prepared)
        if found:
            journal.write(actor, "list_conditions_entered", about=[barn], after={"list": str(found)})
            return found
        found = queries.of(barn).get(day=slot.day, session=slot.session)
    made = make_anew(found, actor=actor, at=actor.at, conditions=conditions, prepared=prepared)
    journal.write(actor, "list_conditions_entered", about=[barn], after={"list": str(made)})
    return made


def _fresh(
    barn: Barn, slot: Slot, at: datetime, conditions: advice.Conditions | None, prepared: Prepared | None
) -> Prepared:
    """What was prepared, if nothing moved since; else computed here."""
    if prepared is None:
        return prepare(barn, slot, at=at, conditions=conditions)
    prepared.refuse_moved(barn)
    return prepared


def _make(
    barn: Barn, slot: Slot, at: datetime, conditions: advice.Conditions | None, prepared: Prepared | None = None
) -> ChangeList:
    made = _written(barn, slot, at, _fresh(barn, slot, at, conditions, prepared))
    return made or queries.of(barn).get(day=slot.day, session=slot.session)


def _written(barn: Barn, slot: Slot, at: datetime, prepared: Prepared) -> ChangeList | None:
    """None where somebody else made it first."""
    made = ChangeList(
        barn=barn,
        day=slot.day,
        session=slot.session,
        due_at=slot.due_at,
        made_at=prepared.taken.at,
        weather=_figures(prepared.weather),
    )
    try:
        with refusing(dict.fromkeys(("list_once_a_session", "inventory_changelist.barn_id"), "made")):
            made.save(force_insert=True)
            ListLine.objects.bulk_create(
                _line(made, number, line, prepared.taken, slot, prepared.expected)
                for number, line in enumerate(prepared.lines)
            )
    except Refused:
        return None
    return made


def plan(change_list: ChangeList, taken: Snapshot, subject: Subject) -> Line:
    """One horse's answer for the hours that are left of a list, of what no other line of it has."""
    others = queries.lines(change_list).exclude(horse=subject.horse)
    promised = {tag for line in others for tag in (line.tags_done if line.outcome else line.tags_to)}
    return advice.advise_one(taken, subject, hours_left(change_list, taken.at), taken=promised)


def line_at(horse: Horse, slot: Slot, at: datetime, *, by_vet: bool) -> ListLine | None:
    """Its line on the list of a staffed time; without one, what that would say, unsaved. None without weather.

    by_vet: the veterinarian's note decides; a line made before the note was is not asked.
    """
    made = ListLine.objects.filter(horse=horse, change_list__day=slot.day, change_list__session=slot.session)
    line = made.select_related("horse", "barn", "change_list").first()
    if line and (not by_vet or line.decided_by == DecidedBy.VET):
        return line
    try:
        weather = _weather_to_come(horse.barn, slot, at, None)
    except Refused:
        return None
    taken = snapshot.read(horse.barn, at, only=horse)
    found = advice.advise_one(taken, taken.subject(horse), weather.hours)
    unsaved = ChangeList(barn=horse.barn, day=slot.day, session=slot.session, due_at=slot.due_at)
    return _line(unsaved, 0, found, taken, slot, {})


def replan(horse: Horse, *, at: datetime) -> ListLine | None:
    """One horse's open line on the list at hand, advised again after something was felt or noted of it.

    Must stand inside the transaction of what it follows. None where nothing of it is open.
    """
    slot = sessions.at_hand(horse.barn, at)
    open_lines = ListLine.objects.filter(
        change_list__day=slot.day, change_list__session=slot.session, barn=horse.barn, horse=horse, outcome=""
    )
    line = open_lines.select_for_update(of=("self",)).select_related("change_list").first()
    if line is None or not hours_of(line.change_list):
        return None
    taken = snapshot.read(horse.barn, at, only=horse)
    found = plan(line.change_list, taken, taken.subject(horse))
    fresh = _line(line.change_list, line.order, found, taken, slot, {})
    fresh.pk = line.pk
    fresh.save(update_fields=FRESH)
    return fresh


def hours_left(change_list: ChangeList, at: datetime) -> tuple[Hour, ...]:
    """The hours of a list that are not over; all of them where none is left."""
    hours, this_hour = hours_of(change_list), at.replace(minute=0, second=0, microsecond=0)
    return tuple(hour for hour in hours if hour.time >= this_hour) or hours


Worn = tuple[list[str], bool]
"""Tags, innermost first, and whether the neck is on."""


def expected_on(barn: Barn, due_at: datetime, at: datetime) -> dict[int, Worn]:
    """What earlier lists that are still to be worked off will have put on each horse by then."""
    earlier = ListLine.objects.filter(
        barn=barn, outcome="", change_list__due_at__lt=due_at, change_list__due_at__gt=at - sessions.AHEAD
    )
    return {line.horse_id: (line.tags_to, line.neck) for line in earlier.order_by("change_list__due_at")}


def weather_of(barn: Barn, slot: Slot, at: datetime, conditions: advice.Conditions | None = None) -> Weather:
    """The hours from now, or from the staffed time if that is to come, until what is put on comes off again."""
    begins = max(slot.due_at, at.replace(minute=0, second=0, microsecond=0))
    if begins >= slot.until:
        raise Refused(_("The hours of this list are over."))
    if conditions:
        return Weather(replace(conditions, hours=_hours_between(begins, slot.until)).spread(begins), BY_HAND)
    try:
        return advice.forecast(barn, begins, slot.until)
    except WeatherGap as gap:
        raise Refused(str(gap)) from gap


BY_HAND = "entered by hand"


def _hours_between(begins: datetime, until: datetime) -> int:
    return max(1, round((until - begins).total_seconds() / 3600))


def _figures(weather: Weather) -> dict[str, Any]:
    return {
        "source": weather.source,
        "unknown": list(weather.unknown),
        "hours": [
            {
                "time": hour.time,
                "air_c": hour.air_c,
                "wind_10m_ms": hour.wind_10m_ms,
                "rh": hour.rh,
                "precip_mm": hour.precip_mm,
                "precip_chance": hour.precip_chance,
                "precip_kind": hour.precip_kind,
                "irradiance_wm2": hour.irradiance_wm2,
                "clear_night": hour.clear_night,
            }
            for hour in weather.hours
        ],
    }


def hours_of(change_list: ChangeList) -> tuple[Hour, ...]:
    """The hours that a list was made for, as the matching takes them."""
    return tuple(_hour(figures) for figures in change_list.weather.get("hours", ()))


def _hour(figures: dict[str, Any]) -> Hour:
    time, kind = figures["time"], figures["precip_kind"]
    return Hour(
        **{
            **figures,
            "time": time if isinstance(time, datetime) else datetime.fromisoformat(time),
            "precip_kind": PrecipKind(kind) if kind else None,
        }
    )


def _line(
    made: ChangeList, number: int, line: Line, taken: Snapshot, slot: Slot, expected: Mapping[int, Worn]
) -> ListLine:
    given = line.given
    tags_from, neck_from = expected.get(line.horse.pk) or _worn(line.subject.wears)
    made_line = ListLine(
        barn=made.barn,
        change_list=made,
        horse=line.horse,
        order=number,
        tags_from=tags_from,
        neck_from=neck_from,
        tags_to=list(given.tags) if given else [],
        neck=given.neck if given else False,
        decided_by=line.decision.by if line.decision else DecidedBy.COMPUTED,
        verdict=given.verdict.value if given else "",
        reasons=_reasons(line),
        contradiction=_against(line),
        take_off_at=_take_off_at(line, taken, slot),
    )
    if stays(made_line):
        made_line.tags_to, made_line.neck = _worn(line.subject.wears)
    return made_line


def stays(line: ListLine) -> bool:
    """Whether the line changes nothing: without advice, or where the horse is kept in because nothing here may be worn.

    What it has on when somebody taps Done stays on, whatever the line was made from; and nobody does it unseen.
    """
    return not line.verdict or keeps_in(line)


def _refuse_unseen(line: ListLine) -> None:
    if stays(line):
        raise Refused(_("Look at it yourself, and note it by itself."))


def keeps_in(line: ListLine) -> bool:
    """Whether it is kept in for want of a blanket; where a keeper's "nothing on" is obeyed, that is the answer."""
    obeyed = line.decided_by != DecidedBy.COMPUTED and not _could_not_be_carried_out(line)
    return not obeyed and any(reason.get("code") in choose.KEEP_IN for reason in line.reasons)


def _could_not_be_carried_out(line: ListLine) -> bool:
    return bool(NOT_TO_BE_DONE & set(_against_it(line)))


def _against_it(line: ListLine) -> list[str]:
    return [one["kind"] for one in line.contradiction]


def _reasons(line: Line) -> list[dict[str, Any]]:
    if line.no_answer:
        return [_coded(line.no_answer)]
    reasons = [_coded(reason) for reason in (line.given.reasons if line.given else ())]
    if line.decision and line.decision.keeper_says:
        reasons.insert(0, {"said": line.decision.keeper_says})
    if line.decision:
        reasons[:0] = [{"note": name} for name in line.decision.picked]
    if line.short:
        reasons.append({"short": _short(line.short)})
    return reasons


def _short(short: share.Short) -> dict[str, Any]:
    """As `share.say_short` takes it."""
    warmth = short.given.warmth
    return {
        "name": short.name,
        "held": [list(pair) for pair in short.because],
        "given": list(short.given.tags),
        "warmth": _coded(warmth),
    }


def _coded(reason: Reason) -> dict[str, Any]:
    return {"code": reason.code.value, **reason.params}


def _worn(wears: Iterable[Wearing]) -> Worn:
    wears = list(wears)
    return [one.blanket.tag for one in wears], any(one.neck_on for one in wears)


def _against(line: Line) -> list[dict[str, Any]]:
    if not line.decision:
        return []
    return [
        {
            "kind": one.kind.value,
            "degrees_c": one.degrees_c,
            "reason": _coded(one.reason) if one.reason else None,
        }
        for one in line.decision.against
    ]


def _take_off_at(line: Line, taken: Snapshot, slot: Slot) -> datetime | None:
    """The staffed time within the stay from which a lighter outfit is better, where the answer gets too warm.

    None where a keeper decides: that time's list asks the keeper's chart or note again, and nothing can be promised.
    """
    if line.decision or not line.advice or not line.given:
        return None
    if not TOO_WARM & {reason.code for reason in line.given.reasons}:
        return None
    times = sessions.times_of(taken.barn)
    within = [
        one
        for one in sessions.slots(taken.barn, slot.day, 2, times)
        if slot.due_at < one.due_at < slot.until and one.session in (Session.MIDDAY, Session.NIGHT_CHECK)
    ]
    return next((one.due_at for one in within if _lighter_is_better(line, line.given, one.due_at)), None)


def _lighter_is_better(line: Line, given: JudgedOutfit, moment: datetime) -> bool:
    """Whether, over the hours left, an outfit with less on scores better by 1 than what was put on."""
    if line.advice is None:
        return False
    left = [hour.time >= moment for hour in line.advice.stay.hours]
    if not any(left):
        return False

    def score(one: JudgedOutfit) -> float:
        return float((one.cold_c[left] + 1.5 * (one.warm_c[left] if one.tags else 0 * one.warm_c[left])).mean())

    now = score(given)
    lighter = [
        one
        for one in line.advice.outfits
        if one.refused is None and (one.outfit.fill_g, len(one.tags)) < (given.outfit.fill_g, len(given.tags))
    ]
    return any(now - score(one) >= LIGHTER_BETTER_BY for one in lighter)


def as_shown(line: ListLine) -> str:
    """What a line says goes on, as a page sends it back with a tap."""
    return " ".join(line.tags_to or ["-"]) + (" +neck" if line.neck else "")


@transaction.atomic
def mark_done(
    line: ListLine,
    *,
    actor: Actor,
    fate: wearing.Fate = wearing.Fate(),  # noqa: B008
    shown: str = "",
) -> ListLine:
    """The horse now wears what the list said. shown: what that was to whoever tapped, by `as_shown`, where it is known.

    Where the line changes nothing, what is on stays on. Refused where the line says something else by now.
    """
    line = _open(line)
    if shown and shown != as_shown(line):
        raise Refused(
            _("The list was advised again meanwhile and says something else for %(horse)s now: look again.")
            % {"horse": line.horse}
        )
    if stays(line):
        return _close(line, LineOutcome.DONE, [worn.blanket.tag for worn in _note_worn(line)], "", actor)
    return _change(line, _blankets(line.barn, line.tags_to), actor, neck_on=line.neck, fate=fate)


def after_done(line: ListLine, on_now: Sequence[str]) -> list[str]:
    """What the horse wears once the line is done. on_now: what it has on."""
    return list(on_now if stays(line) else line.tags_to)


def refuse_done_unplaced(line: ListLine, *, place: str = "") -> None:
    """As `refuse_unplaced`, of what Done takes off."""
    refuse_unplaced(line, staying=after_done(line, _on_now(line)), place=place)


def refuse_unplaced(line: ListLine, *, staying: Collection[str], place: str = "") -> None:
    """Refuses to leave unsaid where what comes off soaked hangs; a late note of a phone may leave it so."""
    sentence = soaked_off(line, wearings.open_on(line.horse), staying=staying)
    if sentence and not place:
        raise Refused(sentence, field="place")


def soaked_off(line: ListLine, worn: Iterable[Wearing], *, staying: Collection[str]) -> str:
    """What to do about what comes off and is known to be soaked; empty where nothing is. worn: of its horse, now."""
    soaked = [tag for tag in known_soaked(worn) if tag not in staying]
    if line.outcome or not soaked:
        return ""
    return _("%(tags)s comes off soaked: rub the horse down, and say where it hangs to dry.") % {
        "tags": " + ".join(soaked)
    }


def known_soaked(worn: Iterable[Wearing]) -> list[str]:
    return [one.blanket.tag for one in worn if one.soaked_at]


@transaction.atomic
def mark_other(
    line: ListLine,
    *,
    to: Sequence[Blanket],
    why: str,
    actor: Actor,
    neck_on: bool = False,
    fate: wearing.Fate = wearing.Fate(),  # noqa: B008
) -> ListLine:
    """Something else was put on, with the reason. Refused where the note or the chart lets this person not do so."""
    line = _open(line)
    _refuse_without_why(why)
    if not may_always_come_off(line.horse, to=to, actor=actor, wet=fate.wet):
        refuse_otherwise(line, actor)
    return _change(line, to, actor, neck_on=neck_on, fate=fate, why=why)


@transaction.atomic
def mark_not_done(line: ListLine, *, why: str, actor: Actor) -> ListLine:
    line = _open(line)
    _refuse_without_why(why)
    _note_worn(line)
    return _close(line, LineOutcome.NOT_DONE, line.tags_from, why, actor)


@transaction.atomic
def take_back(line: ListLine, *, actor: Actor, why: str = "") -> ListLine:
    """Opens a line again and puts the horse back into what it wore; refused when it was changed since."""
    line = _locked(line)
    if not line.outcome:
        raise Refused(_("Nothing is noted for %(horse)s, so there is nothing to take back.") % {"horse": line.horse})
    if _on_now(line) != line.tags_done:
        raise Refused(
            _("%(horse)s was changed again since, so this can no longer be taken back. Change it on its own page.")
            % {"horse": line.horse}
        )
    before = {"outcome": line.outcome, "tags": line.tags_done, "why": line.why}
    if line.outcome != LineOutcome.NOT_DONE:
        _dress_as_before(line, actor, why)
    line.outcome, line.tags_done, line.why, line.done_at, line.done_by = "", [], "", None, None
    line.save(update_fields=["outcome", "tags_done", "why", "done_at", "done_by"])
    journal.write(actor, "line_taken_back", about=[line.horse], before=before, after={"line": line.pk}, why=why)
    return line


def _dress_as_before(line: ListLine, actor: Actor, why: str) -> None:
    """What a mis-tap took off never left the horse, even if nobody may put it on: it is back on as it was."""
    ended = {
        worn.blanket_id: worn
        for worn in wearings.ended_on(line.horse, since=line.done_at)
        if worn.blanket.tag in line.tags_from
    }
    for worn in wearings.open_on(line.horse):
        if worn.blanket.tag not in line.tags_from or worn.blanket_id in ended:
            wearing.take_off(worn, actor=actor, why=why)
    for worn in sorted(ended.values(), key=lambda one: one.layer):
        wearing.put_back(worn, actor=actor, why=why)


def _refuse_without_why(why: str) -> None:
    if not why.strip():
        raise Refused(_("Say why, so that the owner and the next shift know."), field="why")


def refuse_otherwise(line: ListLine, actor: Actor) -> None:
    """Refuses another answer than the list's where whoever decides lets this person give none."""
    refuse_differing(DecidedBy(line.decided_by), who_may_differ(line), actor)


def who_may_differ(line: ListLine) -> Override:
    """Who may do otherwise than the line says."""
    of = {DecidedBy.OWNER: line.horse, DecidedBy.HOUSE: None}
    override = None
    if line.decided_by in of:
        charts = Chart.objects.filter(barn=line.barn, horse=of[DecidedBy(line.decided_by)], until=None)
        override = charts.values_list("override", flat=True).first()
    return may_differ(line.decided_by, override or Override.STAFF, line.barn.house_model, _against_it(line))


def _change(
    line: ListLine, to: Sequence[Blanket], actor: Actor, *, neck_on: bool, fate: wearing.Fate, why: str = ""
) -> ListLine:
    _note_worn(line)
    wearing.change(line.horse, to=to, actor=actor, neck_on=neck_on, fate=fate, why=why)
    outcome = LineOutcome.OTHER if why else LineOutcome.DONE
    return _close(line, outcome, [blanket.tag for blanket in to], why, actor)


def _note_worn(line: ListLine) -> list[Wearing]:
    """The line goes from what the horse really wears, whatever was expected when the list was made."""
    worn = list(wearings.open_on(line.horse))
    line.tags_from, line.neck_from = _worn(worn)
    return worn


@transaction.atomic
def mark_rest_done(
    change_list: ChangeList, *, shown: Mapping[int, str], actor: Actor
) -> tuple[list[ListLine], list[tuple[ListLine, str]]]:
    """All of these lines that are still open are done; shown: what each said to whoever tapped.

    Returns those done, and those that could not be, with why. Where something soaked comes off somebody has to say
    where it hangs, and where the line changes nothing somebody has to look at the horse, so such a line stays open.
    """
    done: list[ListLine] = []
    left: list[tuple[ListLine, str]] = []
    for line in queries.lines(change_list).filter(pk__in=shown, outcome=""):
        try:
            with transaction.atomic():
                _refuse_unseen(line)
                refuse_done_unplaced(line)
                done.append(mark_done(line, actor=actor, shown=shown[line.pk]))
        except Refused as refused:
            left.append((line, refused.sentence))
    return done, left


@transaction.atomic
def leave_note(change_list: ChangeList, *, note: str, actor: Actor) -> ChangeList:
    """A word to the next shift."""
    change_list = ChangeList.objects.select_for_update().get(pk=change_list.pk)
    before = {"note": change_list.note}
    change_list.note, change_list.note_by = note, actor.person
    change_list.save(update_fields=["note", "note_by"])
    journal.write(actor, "list_note_written", about=[actor.barn], before=before, after={"note": note})
    return change_list


@transaction.atomic
def make_anew(
    change_list: ChangeList,
    *,
    actor: Actor,
    at: datetime,
    conditions: advice.Conditions | None = None,
    prepared: Prepared | None = None,
) -> ChangeList:
    """What is still open is advised again from the blankets and the weather of now; what is done stays.

    A horse that came since gets a line. Raises Moved where something was written since it was prepared.
    """
    change_list = ChangeList.objects.select_for_update().get(pk=change_list.pk)
    known = {line.horse_id: line for line in queries.lines(change_list).select_for_update(of=("self",))}
    slot = sessions.slot(change_list.barn, change_list.day, Session(change_list.session))
    prepared = _fresh(change_list.barn, slot, at, conditions, prepared)
    _renew(change_list, known, prepared, slot)
    change_list.made_at, change_list.weather = prepared.taken.at, _figures(prepared.weather)
    change_list.save(update_fields=["made_at", "weather"])
    journal.write(actor, "list_made_anew", about=[actor.barn], after={"list": str(change_list)})
    return change_list


def _renew(change_list: ChangeList, known: Mapping[int, ListLine], prepared: Prepared, slot: Slot) -> None:
    for number, line in enumerate(prepared.lines):
        old = known.get(line.horse.pk)
        if old and old.outcome:
            continue
        fresh = _line(change_list, number, line, prepared.taken, slot, prepared.expected)
        if old:
            fresh.pk = old.pk
            fresh.save(update_fields=FRESH)
        else:
            fresh.save(force_insert=True)


FRESH = (
    "order", "tags_from", "neck_from", "tags_to", "neck", "decided_by", "verdict", "reasons", "contradiction",
    "take_off_at",
)  # fmt: skip


def _locked(line: ListLine) -> ListLine:
    return ListLine.objects.select_for_update(of=("self",)).select_related("horse", "barn").get(pk=line.pk)


def _open(line: ListLine) -> ListLine:
    line = _locked(line)
    if line.outcome and line.done_at:
        raise Refused(
            _("%(who)s noted “%(outcome)s” for %(horse)s at %(time)s. Take that back first if it is wrong.")
            % {
                "who": line.done_by,
                "outcome": line.get_outcome_display(),
                "horse": line.horse,
                "time": f"{timezone.localtime(line.done_at):%H:%M}",
            }
        )
    return line


SAID = {
    LineOutcome.DONE: "line_done",
    LineOutcome.OTHER: "line_done_otherwise",
    LineOutcome.NOT_DONE: "line_not_done",
}


def _close(line: ListLine, outcome: LineOutcome, tags: Sequence[str], why: str, actor: Actor) -> ListLine:
    line.outcome, line.tags_done, line.why = outcome, list(tags), why
    line.done_at, line.done_by = actor.at, actor.person
    line.save(update_fields=["tags_from", "neck_from", "outcome", "tags_done", "why", "done_at", "done_by"])
    journal.write(
        actor,
        SAID[outcome],
        about=[line.horse],
        before={"tags": line.tags_from},
        after={"tags": line.tags_done, "advised": line.tags_to, "list": str(line.change_list)},
        why=why,
    )
    return line


def _on_now(line: ListLine) -> list[str]:
    return [worn.blanket.tag for worn in wearings.open_on(line.horse)]


def _blankets(barn: Barn, tags: Sequence[str]) -> list[Blanket]:
    found = {blanket.tag: blanket for blanket in Blanket.objects.filter(barn=barn, tag__in=tags)}
    return [found[tag] for tag in tags if tag in found]
