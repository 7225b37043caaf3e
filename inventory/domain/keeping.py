"""Where a blanket is put when no horse wears it: one open placing at a time."""

from datetime import date, datetime

from barnrugs.barns.journal import Actor
from inventory.enums import Keeping
from inventory.models import Blanket, Placing


def place(
    blanket: Blanket, kind: Keeping, *, actor: Actor, where: str = "", soaked: bool = False, due_on: date | None = None
) -> Placing:
    """Ends the open placing and begins another. The blanket must be locked."""
    for former in Placing.objects.filter(blanket=blanket, until__isnull=True):
        former.until = max(actor.at, former.since)
        former.save(update_fields=["until"])
    return Placing.objects.create(
        barn=blanket.barn, blanket=blanket, kind=kind, place=where, soaked=soaked, due_on=due_on, since=actor.at
    )


def is_at(blanket: Blanket, *kinds: Keeping) -> bool:
    return Placing.objects.filter(blanket=blanket, until__isnull=True, kind__in=kinds).exists()


def back_on_rack(blanket: Blanket, *, actor: Actor) -> None:
    """After its work: back to its rack, wherever it was put before it left."""
    if not is_at(blanket, Keeping.RACK) and Placing.objects.filter(blanket=blanket, until__isnull=True).exists():
        place(blanket, Keeping.RACK, actor=actor, where=blanket.rack)


def take_back_rack(blanket: Blanket, *, at: datetime) -> None:
    """What was put back on its rack at that moment never went there: it is where it was before. It must be locked."""
    racked = Placing.objects.filter(blanket=blanket, kind=Keeping.RACK, since=at, until__isnull=True).first()
    former = Placing.objects.filter(blanket=blanket, until=at).order_by("pk").last()
    if racked and former:
        racked.delete()
        former.until = None
        former.save(update_fields=["until"])
