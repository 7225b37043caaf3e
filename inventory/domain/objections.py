"""What the matching refuses of a blanket on a horse in any weather, for whoever puts it on by its tag."""

from collections.abc import Iterable
from datetime import datetime

from barnrugs.barns.models import Person
from barnrugs.matching import refusals
from barnrugs.matching.reasons import Reason
from horses.models import Horse
from inventory.domain import snapshot
from inventory.domain.values import habits_of
from inventory.models import Blanket
from inventory.queries import wearings


def objections(horse: Horse, to: Iterable[Blanket], *, person: Person, at: datetime) -> list[Reason]:
    """Against what goes on now. Whoever owns a blanket needs nobody's leave for it."""
    worn = {one.blanket_id for one in wearings.open_on(horse)}
    new = [one for one in to if one.pk not in worn]
    own = {one.tag for one in new if one.owner_id == person.pk}
    values = snapshot.blankets_for(horse, new, at, granted=own) if new else []
    return [reason for value in values for reason in refusals.lasting(value, habits_of(horse))]
