"""The last change on a horse that was made off the lists, and taking it back: a mis-tap is no change."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from django.db import transaction
from django.db.models import Max, Q
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from horses.models import Horse
from inventory.domain import wearing
from inventory.enums import Keeping
from inventory.models import Blanket, ListLine, Placing, Question, Wearing
from inventory.queries.damage import wore_last

LATELY: Final = timedelta(hours=12)
"""For so long a change can be taken back as a mis-tap; later it is changed again."""


A_MOMENT: Final = timedelta(minutes=1)


@dataclass(frozen=True)
class LastChange:
    """What went on and what came off at one moment, and who did it."""

    horse: Horse
    at: datetime
    by: Person
    on: tuple[Wearing, ...]
    off: tuple[Wearing, ...]

    def is_for(self, person: Person) -> bool:
        """Whoever did it knows that it was a mis-tap; to others but the manager it is a change like any other."""
        return person == self.by or person.is_manager


def of(horse: Horse, now: datetime) -> LastChange | None:
    """None where nothing was changed of late, or where it stands on a list, which takes back its own.

    Nor where what came off has no layer to go back to, where a manager settled what others noted, or where two things
    are noted of the same time.
    """
    worn = Wearing.objects.filter(horse=horse)
    ends = worn.aggregate(on=Max("on_at"), off=Max("off_at"))
    at = max((moment for moment in ends.values() if moment), default=None)
    if at is None or at < now - LATELY or ListLine.objects.filter(horse=horse, done_at=at).exists():
        return None
    near = (at - A_MOMENT, at + A_MOMENT)
    if Question.objects.filter(horse=horse, answered_at__range=near).exists():
        return None
    then = worn.filter(Q(on_at=at) | Q(off_at=at)).select_related("blanket", "on_by", "off_by")
    known = list(then.order_by("layer", "pk"))
    if any(one.overlaps for one in known):
        return None
    on = tuple(one for one in known if one.on_at == at and one.off_at is None)
    off = tuple(one for one in known if one.off_at == at)
    by = on[0].on_by if on else off[0].off_by
    over = worn.filter(off_at=None, layer__in=[one.layer for one in off]).exclude(on_at=at)
    return LastChange(horse, at, by, on, off) if by and not over.exists() else None


def of_blanket(blanket: Blanket, now: datetime) -> LastChange | None:
    """That of the horse that wears it or wore it last, if this blanket went on or came off in it."""
    wore = wore_last(blanket, now)
    last = of(wore, now) if wore else None
    if last is None or all(one.blanket_id != blanket.pk for one in (*last.on, *last.off)):
        return None
    return last


@transaction.atomic
def take_back(horse: Horse, *, at: datetime, actor: Actor) -> Horse:
    """Puts the horse back into what it wore before the change of that moment, and each blanket where it was.

    What never truly came off is on again as it was, whatever is wrong with it. Refused when it was changed again since.
    """
    horse = Horse.objects.select_for_update().get(pk=horse.pk)
    last = of(horse, actor.now)
    if last is None or last.at != at:
        raise Refused(_("%(horse)s was changed again since: look at what it wears now.") % {"horse": horse})
    staying = {one.blanket_id for one in last.off}
    if not last.is_for(actor.person):
        raise Refused(_("%(who)s did this: only %(who)s or the manager can take it back.") % {"who": last.by})
    for worn in last.on:
        wearing.take_off(worn, actor=actor, moved=worn.blanket_id in staying)
        _return(worn)
    for worn in last.off:
        wearing.put_back(worn, actor=actor)
    before = {"on": [one.blanket.tag for one in last.on], "off": [one.blanket.tag for one in last.off]}
    journal.write(actor, "wearing_taken_back", about=[horse], before=before, after={"of": str(last.at)})
    return horse


def _return(worn: Wearing) -> None:
    """What came off dry hangs where it hung before it was put on."""
    before = Placing.objects.filter(blanket=worn.blanket, until=worn.on_at).order_by("pk").last()
    if before:
        hangs = Placing.objects.filter(blanket=worn.blanket, until=None, kind=Keeping.RACK)
        hangs.update(kind=before.kind, place=before.place)
