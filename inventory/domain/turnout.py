"""Where a horse stands at an hour of the day, by its turnout schedule or its paddock's."""

from collections.abc import Iterable
from datetime import datetime, time

from barnrugs.barns.models import Barn
from barnrugs.matching import weather, words
from horses.enums import OutPlan
from horses.models import Horse, PaddockStay

DAY_OUT, DAY_IN = time(7), time(16)
"""When a horse that is out by day goes out and comes in, unless its paddock or it says otherwise (common practice)."""


def place_at(
    horse: Horse, stay: PaddockStay | None, barn: Barn, local: datetime, *, companions_chew: bool
) -> weather.Place:
    """local: the hour in the barn's own time."""
    if not is_out(horse, stay, local.time()):
        return stall(barn)
    return outdoors(stay, companions_chew=companions_chew)


def stall(barn: Barn) -> weather.Place:
    return weather.Place(words.PlaceKind.STALL, indoor_gain_c=barn.indoor_gain_c)


def outdoors(stay: PaddockStay | None, *, companions_chew: bool) -> weather.Place:
    shelter = words.Shelter(stay.paddock.shelter) if stay else words.Shelter.OPEN
    return weather.Place(words.PlaceKind.TURNOUT, shelter, companions_chew=companions_chew)


def is_out(horse: Horse, stay: PaddockStay | None, clock: time) -> bool:
    """Whether it is out at this time of day; a horse without a paddock is not."""
    if stay is None:
        return False
    own = horse if horse.out_plan else stay.paddock
    plan = own.out_plan
    if plan in (OutPlan.ALWAYS, OutPlan.IN):
        return plan == OutPlan.ALWAYS
    night = plan == OutPlan.NIGHT
    out_from = own.out_from or (DAY_IN if night else DAY_OUT)
    out_until = own.out_until or (DAY_OUT if night else DAY_IN)
    if out_from <= out_until:
        return out_from <= clock < out_until
    return clock >= out_from or clock < out_until


def hours_out(hours: Iterable[weather.Hour], horse: Horse, stay: PaddockStay | None, barn: Barn) -> list[weather.Hour]:
    """Those in which the horse is out."""
    return [hour for hour in hours if is_out(horse, stay, hour.time.astimezone(barn.zone).time())]
