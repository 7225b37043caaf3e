"""Putting blankets away at the end of the season, and fetching them in autumn, many at once."""

from collections.abc import Sequence

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.domain import care, keeping
from inventory.domain import care_checks as checks
from inventory.domain.care_many import each
from inventory.enums import CareKind, Keeping
from inventory.models import Blanket, CareJob, Placing
from inventory.models.care import TRAVELLING

ASKS = {
    "ask_wash": CareKind.WASH,
    "ask_repair": CareKind.REPAIR,
    "ask_proofing": CareKind.WATERPROOFING,
}


@transaction.atomic
def store(blanket: Blanket, *, place: str, actor: Actor) -> Placing:
    """Put away at a named place; without a name, where it is always stored. Wet ones are refused: they would rot."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    checks.refuse_worn(blanket)
    checks.refuse_elsewhere(blanket)
    if CareJob.objects.filter(blanket=blanket, step__in=TRAVELLING).exists():
        raise Refused(_("%(blanket)s is bagged or at the cleaner or repairer.") % {"blanket": blanket})
    checks.refuse_wet(blanket, actor)
    where = place.strip() or blanket.storage_place
    if not where:
        raise Refused(_("Say where it is stored."), field="place")
    if blanket.storage_place != where:
        blanket.storage_place = where
        blanket.save(update_fields=["storage_place"])
    placing = keeping.place(blanket, Keeping.STORED, actor=actor, where=where)
    journal.write(actor, "blanket_stored", about=[blanket], after={"place": where})
    return placing


@transaction.atomic
def fetch(blanket: Blanket, *, actor: Actor) -> Placing:
    """Out of storage and onto its rack."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    if not keeping.is_at(blanket, Keeping.STORED):
        raise Refused(_("%(blanket)s is not stored away.") % {"blanket": blanket})
    placing = keeping.place(blanket, Keeping.RACK, actor=actor, where=blanket.rack)
    journal.write(actor, "blanket_fetched", about=[blanket], after={"place": placing.place})
    return placing


@transaction.atomic
def act(name: str, *, blankets: Sequence[Blanket], place: str, actor: Actor) -> list[str]:
    """One action on each; answers the sentences of those that could not follow."""
    if name == "store":
        return each(blankets, lambda blanket: store(blanket, place=place, actor=actor))
    if name == "fetch":
        return each(blankets, lambda blanket: fetch(blanket, actor=actor))
    return each(blankets, lambda blanket: care.ask(blanket, ASKS[name], actor=actor))
