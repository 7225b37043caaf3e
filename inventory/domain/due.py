"""What is due: which lists a person may turn to now, who gets no good answer, and what was left."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Session
from barnrugs.matching.weather import EXPECTED_IN_AN_HOUR_MM, Hour
from barnrugs.matching.words import Verdict
from horses.models import PaddockStay
from inventory.domain import lists, sessions
from inventory.domain.sessions import Slot
from inventory.models import ChangeList, ListLine
from inventory.queries import lists as queries

NEAR_DAYS = 3
"""Days from today beyond which no list is near, in any time zone."""


@dataclass(frozen=True)
class Place:
    """A paddock or an aisle, as one walks through it."""

    key: str
    name: str
    is_paddock: bool


def place_of(line: ListLine, stay: PaddockStay | None, *, by_paddock: bool) -> Place:
    """Where one finds the horse on this walk: in its paddock, or else in its aisle, which its stall is named after."""
    if by_paddock and stay:
        return Place(f"paddock-{stay.paddock_id}", stay.paddock.name, is_paddock=True)
    aisle = "".join(letter for letter in line.horse.stall if letter.isalpha())
    return Place(f"aisle-{aisle}", aisle, is_paddock=False)


def places(lines: Iterable[ListLine], stays: Mapping[int, PaddockStay]) -> dict[Place, list[ListLine]]:
    """Open lines by paddock and by aisle: a horse with both is in both, since it is changed in either."""
    found: dict[Place, list[ListLine]] = {}
    for line in lines:
        stay = stays.get(line.horse_id)
        both = {place_of(line, stay, by_paddock=True), place_of(line, stay, by_paddock=not line.horse.stall)}
        for place in sorted(both, key=lambda one: not one.is_paddock):
            if not line.outcome:
                found.setdefault(place, []).append(line)
    return found


def slot_named(barn: Barn, day: str, session: str, at: datetime) -> Slot | None:
    """The staffed time of an address: one of yesterday to tomorrow that this barn has, or that a list was made for."""
    try:
        named_day, named = date.fromisoformat(day), Session(session)
    except ValueError:
        return None
    if abs((named_day - at.date()).days) > NEAR_DAYS:
        return None
    times = sessions.times_of(barn)
    slot = sessions.slot(barn, named_day, named, times)
    near = at - timedelta(hours=24) <= slot.due_at <= at + timedelta(hours=26)
    return slot if named in times and near else None


def make_coming(barn: Barn, at: datetime) -> tuple[list[ChangeList], str]:
    """Makes what is missing of the lists of the coming 24 hours. Returns those made, and why one could not be."""
    coming = sessions.coming(barn, at)
    known = set(queries.of(barn).filter(day__in={slot.day for slot in coming}).values_list("day", "session"))
    made, gap = [], ""
    for slot in coming:
        if (slot.day, slot.session) not in known:
            try:
                made.append(lists.ensure(barn, slot, at=at))
            except Refused as refused:
                gap = refused.sentence
    return made, gap


def falls(hours: Iterable[Hour]) -> bool:
    """Whether rain or snow is to be reckoned with, or unknown, in these hours."""
    return any(hour.precip_mm is None or hour.precip_mm >= EXPECTED_IN_AN_HOUR_MM for hour in hours)


@dataclass(frozen=True)
class Gap:
    """A horse that lacks something. short: what the barn has too few of, as the line keeps it."""

    line: ListLine
    bare_in_rain: bool
    short: Any


def gaps(lines: Sequence[ListLine], *, rain: bool) -> list[Gap]:
    """Horses whose best answer is not right, that go short, or that must be covered and stay bare in coming rain."""
    return [gap for line in lines if (gap := _gap(line, rain=rain))]


def _gap(line: ListLine, *, rain: bool) -> Gap | None:
    short = next((reason["short"] for reason in line.reasons if "short" in reason), None)
    bare = rain and line.horse.must_be_covered and not line.tags_to
    return Gap(line, bare, short) if short or bare or line.verdict in ("", Verdict.NO) else None
