"""A list of the staffed time at hand, for tests that ask the pages for it."""

from datetime import UTC, datetime, timedelta

from inventory.domain import lists, sessions
from inventory.domain.advice import Conditions
from inventory.models import ChangeList, ListLine
from tests.cast import Cast

COLD = Conditions(air_c=-12, wind_10m_ms=4)


def now() -> datetime:
    return datetime.now(UTC)


def make_list(cast: Cast, conditions: Conditions = COLD, ahead: timedelta = timedelta()) -> ChangeList:
    """The list at hand at the clock of the pages, or one of the coming day."""
    slot = sessions.at_hand(cast.barn, now() + ahead)
    return lists.ensure(cast.barn, slot, at=now(), conditions=conditions)


def line_of(cast: Cast, horse: str = "owners_horse") -> ListLine:
    return ListLine.objects.get(change_list=make_list(cast), horse=getattr(cast, horse))
