"""The staffed times of a day: which one is at hand, when it is due, and until when what is put on there stays on."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from barnrugs.barns.models import Barn, StaffedTime
from barnrugs.barns.models.barn import USUAL_TIMES, Session

AHEAD = timedelta(hours=2)
"""How long before its time a list is the one at hand."""

WHOLE_STAYS = (Session.TURNOUT, Session.BRING_IN)
"""Midday and night check correct what turnout and bring-in chose for the whole stay (common practice, no source)."""


@dataclass(frozen=True, order=True)
class Slot:
    """One staffed time of one day."""

    due_at: datetime
    session: Session
    day: date
    until: datetime


def times_of(barn: Barn) -> dict[Session, time]:
    """The barn's own times; the usual four where it has set none."""
    own = {Session(session): at for session, at in StaffedTime.objects.filter(barn=barn).values_list("session", "at")}
    return own or dict(USUAL_TIMES)


def slots(barn: Barn, first: date, days: int, times: dict[Session, time] | None = None) -> list[Slot]:
    """Every staffed time of these days, in order."""
    times = times or times_of(barn)
    return sorted(slot(barn, first + timedelta(days=n), session, times) for n in range(days) for session in times)


def slot(barn: Barn, day: date, session: Session, times: dict[Session, time] | None = None) -> Slot:
    times = times or times_of(barn)
    at = times.get(session, USUAL_TIMES[session])
    until = _comes_off(times, at)
    return Slot(
        due_at=_moment(barn, day, at),
        session=session,
        day=day,
        until=_moment(barn, day if until > at else day + timedelta(days=1), until),
    )


def _comes_off(times: dict[Session, time], at: time) -> time:
    """The next turnout or bring-in after a time of day, of those that are staffed; without either, the same time."""
    ends = sorted(times[session] for session in WHOLE_STAYS if session in times)
    return next((end for end in ends if end > at), ends[0] if ends else at)


def at_hand(barn: Barn, at: datetime) -> Slot:
    """The staffed time whose list is worked on now: the last that is due, or due within two hours."""
    today = timezone.localtime(at, barn.zone).date()
    begun = [one for one in slots(barn, today - timedelta(days=1), 3) if one.due_at - AHEAD <= at]
    return begun[-1]


def is_ahead(due_at: datetime, at: datetime) -> bool:
    """Whether a list of that time is not yet one to be worked off."""
    return due_at - AHEAD > at


def coming(barn: Barn, at: datetime, hours: int = 24) -> list[Slot]:
    """The one at hand and those of the coming hours."""
    current = at_hand(barn, at)
    later = slots(barn, current.day, 3)
    return [one for one in later if current <= one and one.due_at <= at + timedelta(hours=hours)]


def _moment(barn: Barn, day: date, at: time) -> datetime:
    return datetime.combine(day, at, tzinfo=barn.zone).astimezone(timezone.get_default_timezone())
