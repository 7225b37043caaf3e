"""What each horse should wear: the barn is read once, the matching asked once, the answers put beside what is worn."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from typing import Any

from django.utils import timezone

from barnrugs.barns.models import Barn, StaffedTime
from barnrugs.barns.models.barn import USUAL_TIMES, Session
from barnrugs.matching import choose, share
from barnrugs.matching.heat import NoAnswer
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.reasons import Reason
from barnrugs.matching.weather import Hour, Stay
from barnrugs.matching.words import PlaceKind, PrecipKind
from barnrugs.weather.queries import spell_between
from horses.models import Horse
from inventory.domain.precedence import Decision, decide, named_for
from inventory.domain.snapshot import Snapshot, Subject
from inventory.enums import DecidedBy
from inventory.voices import voice_of

WIND_MS = {"calm": 1.0, "breezy": 4.0, "windy": 8.0, "gale": 14.0}
"""What the words for wind are taken to mean, 10 m wind in m/s (A)."""

FALLING_MM_H = 1.0
"""What "rain" and "snow" are taken to mean, mm an hour (A)."""

SHARE_SECONDS = 3.0

SHORTEST_NIGHT = timedelta(hours=4)
"""With less than this left until turnout, tonight is the night to come (A)."""


@dataclass(frozen=True)
class Conditions:
    """Weather in a few figures, the same for every hour. falling None is dry."""

    air_c: float
    wind_10m_ms: float
    falling: PrecipKind | None = None
    rh: float = 0.8
    hours: int = 12

    def spread(self, start: datetime) -> tuple[Hour, ...]:
        falling = FALLING_MM_H if self.falling else 0.0
        return tuple(
            Hour(
                time=start + timedelta(hours=number),
                air_c=self.air_c,
                wind_10m_ms=self.wind_10m_ms,
                rh=self.rh,
                precip_mm=falling,
                precip_kind=self.falling,
            )
            for number in range(self.hours)
        )


@dataclass(frozen=True)
class Weather:
    """The hours advised for, where they come from, and what that source says of itself."""

    hours: tuple[Hour, ...]
    source: str = ""
    note: str = ""
    unknown: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class Line:
    """One horse's answer: `given` is what it gets when the barn shares, None when there is no answer, and why not."""

    subject: Subject
    advice: choose.Advice | None
    given: JudgedOutfit | None
    no_answer: Reason | None = None
    short: share.Short | None = None
    decision: Decision | None = None

    @property
    def horse(self) -> Horse:
        return self.subject.horse

    @property
    def on_now(self) -> tuple[str, ...]:
        return self.subject.value.on_now

    @property
    def keeps(self) -> bool:
        return self.given is not None and set(self.given.tags) == set(self.on_now)


@dataclass(frozen=True)
class BarnList:
    weather: Weather
    lines: tuple[Line, ...]
    blankets: dict[str, Any]
    message: str = ""


def night(barn: Barn, at: datetime) -> tuple[datetime, datetime]:
    """The coming night: from bring-in, or now when that is past, to the next turnout; whole hours, UTC.

    What is left of a night shortly before turnout is nothing to change blankets for: then it is the next one.
    """
    local = timezone.localtime(at, barn.zone).replace(minute=0, second=0, microsecond=0)
    times: dict[str, time] = {session.value: usual for session, usual in USUAL_TIMES.items()}
    times |= dict(StaffedTime.objects.filter(barn=barn).values_list("session", "at"))
    turnout, bring_in = times[Session.TURNOUT], times[Session.BRING_IN]
    morning = local.replace(hour=turnout.hour)
    evening = local.replace(hour=bring_in.hour)
    if local <= morning - SHORTEST_NIGHT:
        return _utc(local), _utc(morning)
    return _utc(max(local, evening)), _utc(morning + timedelta(days=1))


def _utc(local: datetime) -> datetime:
    return local.astimezone(timezone.get_default_timezone())


def forecast(barn: Barn, start: datetime, end: datetime) -> Weather:
    """The hours of the barn's weather file. Raises WeatherGap when it has none."""
    spell = spell_between(barn, start, end)
    return Weather(tuple(spell.hours), spell.source, spell.note, spell.counted)


def request(subject: Subject, barn: Barn, hours: Sequence[Hour], kind: PlaceKind | None = None) -> choose.Request:
    """What the matching is asked for one horse: in its stall, at turnout, or wherever its schedule has it each hour."""
    places = [subject.place(kind, barn) if kind else subject.place_at(barn, _local(hour, barn)) for hour in hours]
    placed = tuple(replace(hour, place=place) for hour, place in zip(hours, places, strict=True))
    stay = Stay(placed, places[0], rain_threshold=barn.rain_threshold)
    value = subject.value_from(hours[0].time)
    return choose.Request(value, stay, subject.wardrobe, named_for(subject.horse, subject.chart))


def _local(hour: Hour, barn: Barn) -> datetime:
    return hour.time.astimezone(barn.zone)


def advise(snapshot: Snapshot, horse: Horse, hours: Sequence[Hour], kind: PlaceKind | None = None) -> Line:
    """One horse's answer from all it may wear, as if no other horse wanted any of it."""
    return advise_one(snapshot, snapshot.subject(horse), hours, kind)


def advise_one(
    snapshot: Snapshot,
    subject: Subject,
    hours: Sequence[Hour],
    kind: PlaceKind | None = None,
    taken: Collection[str] = (),
) -> Line:
    """taken: tags that other horses are to have."""
    advice, why_none = _answer(request(subject, snapshot.barn, hours, kind))
    if advice is None:
        return Line(subject, None, None, why_none)
    decision = _keeper(snapshot, subject, advice, taken)
    given = decision.outfit if decision else _without(advice, taken).chosen
    return Line(subject, advice, given, decision=decision)


def advise_barn(snapshot: Snapshot, weather: Weather, kind: PlaceKind | None = None) -> BarnList:
    """The whole barn's answer, in walking order: one that can be carried out, since no blanket is given twice.

    Keepers' decisions come first, in walking order; what they leave is shared so that the sum is best.
    """
    subjects = snapshot.subjects
    answers = _cheapest_answers(snapshot, [request(one, snapshot.barn, weather.hours, kind) for one in subjects])
    labels = _labels(subjects)
    named = {label: (one, advice) for label, one, (advice, _) in zip(labels, subjects, answers, strict=True) if advice}
    decisions, taken = _decisions(snapshot, named)
    shared = share.share(
        {label: _without(advice, taken) for label, (_, advice) in named.items() if label not in decisions},
        time_limit_s=SHARE_SECONDS,
    )
    voice = voice_of(snapshot.barn)
    short = {shortage.name: shortage for shortage in shared.short}
    lines = tuple(
        Line(
            subject,
            advice,
            decisions[label].outfit if label in decisions else shared.outfits.get(label),
            why_none,
            short.get(label),
            decisions.get(label),
        )
        for subject, label, (advice, why_none) in zip(subjects, labels, answers, strict=True)
    )
    return BarnList(weather, lines, snapshot.blankets, shared.inexact.say(voice) if shared.inexact else "")


def _keeper(
    snapshot: Snapshot, subject: Subject, advice: choose.Advice, taken: Collection[str] = ()
) -> Decision | None:
    """The decision of a keeper over this horse; None leaves it to the computed advice."""
    decision = decide(
        subject.horse,
        advice,
        owners=subject.chart,
        house=snapshot.house_chart,
        house_model=snapshot.barn.house_model,
        day=advice.stay.hours[0].time.astimezone(snapshot.barn.zone).date(),
        taken=taken,
    )
    return None if decision.by == DecidedBy.COMPUTED else decision


def _decisions(
    snapshot: Snapshot, named: Mapping[str, tuple[Subject, choose.Advice]]
) -> tuple[dict[str, Decision], set[str]]:
    """Keepers' decisions in walking order, and the tags they take: what one was given is not to be had for the next."""
    decisions: dict[str, Decision] = {}
    taken: set[str] = set()
    for label, (subject, advice) in named.items():
        decision = _keeper(snapshot, subject, advice, taken)
        if decision:
            decisions[label] = decision
            taken |= set(decision.outfit.tags) if decision.outfit else set()
    return decisions, taken


def _without(advice: choose.Advice, taken: Collection[str]) -> choose.Advice:
    return replace(advice, outfits=tuple(one for one in advice.outfits if not set(one.tags) & set(taken)))


Answer = tuple[choose.Advice | None, Reason | None]


def _cheapest_answers(snapshot: Snapshot, requests: Sequence[choose.Request]) -> list[Answer]:
    """Answers good enough to share from: spares are tried only on horses that they could serve better.

    A horse with an outfit of its own that costs less than a spare costs for not being its own, of pieces that no other
    horse may wear, gets such an outfit in every best sharing. Nothing is lost, and most horses of a barn are such.
    """
    answers = _answers([_with(one, [blanket for blanket in one.blankets if blanket.mine]) for one in requests])
    wanted = Counter(blanket.tag for one in requests for blanket in one.blankets)
    unserved = [
        number
        for number, (subject, (advice, _)) in enumerate(zip(snapshot.subjects, answers, strict=True))
        if advice is None or not _well_served(snapshot, subject, advice, wanted)
    ]
    for number, answer in zip(unserved, _answers([requests[number] for number in unserved]), strict=True):
        answers[number] = answer
    return answers


def _well_served(snapshot: Snapshot, subject: Subject, advice: choose.Advice, wanted: Mapping[str, int]) -> bool:
    decision = _keeper(snapshot, subject, advice)
    if decision:
        return bool(decision.acceptable) or decision.outfit is None
    return any(
        share.cost(judged) < share.NOT_ITS_OWN_COSTS and all(wanted[tag] == 1 for tag in judged.tags)
        for judged in advice.outfits
        if judged.refused is None
    )


def _with(one: choose.Request, blankets: Sequence[Blanket]) -> choose.Request:
    return replace(one, blankets=blankets)


def _answers(requests: Sequence[choose.Request]) -> list[Answer]:
    try:
        return [(advice, None) for advice in choose.choose_herd(requests)]
    except NoAnswer:
        return [_answer(one) for one in requests]


def _answer(one: choose.Request) -> Answer:
    try:
        return choose.choose_herd([one])[0], None
    except NoAnswer as fault:
        return None, fault.reason


def _labels(subjects: Sequence[Subject]) -> list[str]:
    """A name for each horse that no other horse of the list has."""
    many = Counter(subject.horse.name for subject in subjects)
    return [
        subject.horse.name
        if many[subject.horse.name] == 1
        else f"{subject.horse.name} ({subject.horse.stall or subject.horse.pk})"
        for subject in subjects
    ]
