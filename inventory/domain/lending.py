"""Lending a blanket out of the barn, and its coming back. Lending within the barn is a leave: see leave.py."""

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.domain import care_checks as checks
from inventory.domain import keeping
from inventory.enums import Keeping
from inventory.models import Blanket, CareJob, Placing
from inventory.models.care import TRAVELLING


@transaction.atomic
def lend_out(blanket: Blanket, *, to_whom: str, actor: Actor, due_on: date | None = None, why: str = "") -> Placing:
    """Somebody outside the barn has it until it is brought back."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    checks.refuse_worn(blanket)
    checks.refuse_elsewhere(blanket)
    _refuse_travelling(blanket)
    checks.refuse_past(due_on, actor)
    placing = keeping.place(blanket, Keeping.LENT, actor=actor, due_on=due_on)
    placing.to_whom = to_whom
    placing.save(update_fields=["to_whom"])
    journal.write(actor, "blanket_lent", about=[blanket], after={"to_whom": to_whom, "due_on": due_on}, why=why)
    return placing


@transaction.atomic
def bring_back(blanket: Blanket, *, actor: Actor, wet: bool = False, place: str = "", why: str = "") -> Placing:
    """A lent blanket is here again: on its rack, or drying."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    lent = Placing.objects.filter(blanket=blanket, until__isnull=True, kind=Keeping.LENT).first()
    if lent is None:
        raise Refused(_("%(blanket)s is not lent.") % {"blanket": blanket})
    kind = Keeping.DRYING if wet else Keeping.RACK
    placing = keeping.place(blanket, kind, actor=actor, where=place or ("" if wet else blanket.rack))
    journal.write(
        actor,
        "blanket_brought_home",
        about=[blanket],
        before={"due_on": lent.due_on},
        after={"to_whom": lent.to_whom, "where": placing.kind, "place": placing.place},
        why=why,
    )
    return placing


def _refuse_travelling(blanket: Blanket) -> None:
    if CareJob.objects.filter(blanket=blanket, closed_at__isnull=True, step__in=TRAVELLING).exists():
        raise Refused(_("%(blanket)s is bagged or at the cleaner or repairer.") % {"blanket": blanket})
