"""Changing what a horse wears without a list: the veterinarian's note and the charts hold there as they do on one."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import islice

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.matching.words import Kind
from horses.models import Horse
from horses.rules import held_on
from inventory.domain import lists, sessions, wearing
from inventory.domain.otherwise import may_always_come_off, refuse_differing
from inventory.domain.precedence import OBEYED, obeys_note, vet_speaks
from inventory.enums import DecidedBy, Override
from inventory.models import Blanket, Chart, ListLine, Wearing
from inventory.queries import wearings


@transaction.atomic
def change(
    horse: Horse, *, to: Sequence[Blanket], actor: Actor, neck_on: bool, fate: wearing.Fate, why: str
) -> list[Wearing]:
    """As `wearing.change`, where whoever decides lets this person do so."""
    refuse_otherwise(horse, to=to, actor=actor, why=why, wet=fate.wet)
    return wearing.change(horse, to=to, actor=actor, neck_on=neck_on, fate=fate, why=why)


@transaction.atomic
def take_off(worn: Wearing, *, actor: Actor, fate: wearing.Fate, why: str) -> Wearing:
    """As `wearing.take_off`, where whoever decides lets this person do so."""
    if worn.off_at is None:
        rest = [one.blanket for one in wearings.open_on(worn.horse) if one.pk != worn.pk]
        refuse_otherwise(worn.horse, to=rest, actor=actor, why=why, wet=fate.wet)
    return wearing.take_off(worn, actor=actor, fate=fate, why=why)


def refuse_otherwise(horse: Horse, *, to: Sequence[Blanket], actor: Actor, why: str, wet: bool = False) -> None:
    """Refuses to let a horse wear this where a note or a chart says something else and bars this person.

    Whoever may needs a reason, but for owners and their own chart. What is soaked, wet or not to be used may always
    come off. wet: what comes off was found wet.
    """
    unchanged = {one.pk for one in to} == {one.blanket_id for one in wearings.open_on(horse)}
    if unchanged or may_always_come_off(horse, to=to, actor=actor, wet=wet):
        return
    barn, at, tags = actor.barn, actor.at, [one.tag for one in to]
    by_vet = vet_speaks(horse, timezone.localtime(at, barn.zone).date())
    if not by_vet and not _a_chart_speaks(horse, barn):
        return
    if by_vet and obeys_note(horse, tags, sum(one.fill_g for one in to if one.kind != Kind.NECK_COVER)):
        return
    answers = _answers(horse, barn, at, by_vet=by_vet)
    now = next(answers, None)
    if now is None and not by_vet:
        return
    by, who = (now.decided_by, lists.who_may_differ(now)) if now else (DecidedBy.VET, Override.MANAGER)
    if by == DecidedBy.COMPUTED or (by == DecidedBy.OWNER and _holds(actor, horse)):
        return
    if (now and now.tags_to == tags) or any(line.tags_to == tags for line in islice(answers, 1)):
        return
    refuse_differing(DecidedBy(by), who, actor)
    if not why.strip():
        raise Refused(
            _("%(who)s decides here and says something else: say why you do otherwise.") % {"who": DecidedBy(by).label},
            field="why",
        )


def _a_chart_speaks(horse: Horse, barn: Barn) -> bool:
    of = [horse.pk] if barn.house_model in OBEYED else []
    charts = Chart.objects.filter(barn=barn, until__isnull=True)
    return horse.must_be_covered or charts.filter(horse__in=of).exists() or charts.filter(horse__isnull=True).exists()


def _answers(horse: Horse, barn: Barn, at: datetime, *, by_vet: bool) -> Iterator[ListLine]:
    """What the list at hand says, then those of the coming day."""
    for slot in sessions.coming(barn, at):
        line = lists.line_at(horse, slot, at, by_vet=by_vet)
        if line:
            yield line


def _holds(actor: Actor, horse: Horse) -> bool:
    return Horse.objects.filter(held_on(actor.person), pk=horse.pk).exists()
