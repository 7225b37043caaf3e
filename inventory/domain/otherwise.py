"""Who may do otherwise than what is decided for a horse: one rule for lists, for direct changes and for the pages."""

from collections.abc import Collection, Sequence
from typing import Any

from django.utils.translation import gettext_lazy

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models.barn import HouseModel
from horses.models import Horse
from inventory.domain.precedence import Against
from inventory.enums import DecidedBy, Override
from inventory.models import Blanket
from inventory.queries import blankets, wearings

NOT_TO_BE_DONE = frozenset({Against.REFUSED, Against.NOT_HERE})
"""What speaks so against a decision that it was not followed."""


def may_differ(by: str, override: str, house_model: str, against: Collection[str] = ()) -> Override:
    """by: who decides. override: what the deciding chart says of it. against: what speaks against the decision.

    Where the decision could not be carried out, whoever is there may. Where the house has staff follow the owner's
    rule, staff may not adjust it, whatever the chart says.
    """
    if NOT_TO_BE_DONE & set(against) or by == DecidedBy.COMPUTED:
        return Override.STAFF
    if by == DecidedBy.VET:
        return Override.MANAGER
    if by == DecidedBy.OWNER and house_model == HouseModel.CHARTS_OBEYED and override == Override.STAFF:
        return Override.MANAGER
    return Override(override)


DIFFER = {
    Override.MANAGER: gettext_lazy(
        "%(who)s decides here, and only the manager may do otherwise. "
        "Ask the manager, or note that it was not done and why."
    ),
    Override.NOBODY: gettext_lazy(
        "%(who)s decides here, and nobody may do otherwise. Note that it was not done and why; "
        "where the horse would suffer, call the manager."
    ),
}


def refuse_differing(by: DecidedBy, who: Override, actor: Actor) -> None:
    """Refuses where only others than this person may do otherwise. by: who decides."""
    if who == Override.STAFF or (who == Override.MANAGER and actor.person.is_manager):
        return
    raise Refused(DIFFER[who] % {"who": by.label})


def may_always_come_off(horse: Horse, *, to: Sequence[Blanket], actor: Actor, wet: bool = False) -> bool:
    """Whether this only takes off what may always come off: soaked, found wet now, or not to be used."""
    worn = {one.blanket_id: one for one in wearings.open_on(horse)}
    wanted = {one.pk for one in to}
    off = set(worn) - wanted
    if wanted - set(worn) or not off:
        return False
    must = {pk for pk, one in worn.items() if one.soaked_at}
    kept: Any = blankets.of(actor.barn).with_condition(actor.barn, actor.at).filter(pk__in=off)
    must |= {one.pk for one in kept if one.is_unsafe}
    return wet or off <= must
