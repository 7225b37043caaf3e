"""Paddocks, and who stands in which from a day on."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from horses.models import Horse, Paddock, PaddockStay
from horses.queries import horse as horses
from horses.queries import paddock as queries


@transaction.atomic
def add_paddock(*, values: Mapping[str, Any], actor: Actor) -> Paddock:
    paddock = Paddock(barn=actor.barn, walk_order=queries.of(actor.barn).count() + 1, **values)
    _refuse_twice(paddock)
    editing.validate(paddock)
    with refusing(_twice()):
        paddock.save(force_insert=True)
    journal.write(
        actor, "paddock_added", about=[actor.barn], after={"paddock": paddock.name, "shelter": paddock.shelter}
    )
    return paddock


@transaction.atomic
def change_paddock(
    paddock: Paddock, *, values: Mapping[str, Any], actor: Actor, seen: Mapping[str, Any] | None = None
) -> Paddock:
    _refuse_twice(Paddock(pk=paddock.pk, barn=actor.barn, name=values.get("name", paddock.name)))
    with refusing(_twice()):
        edited = editing.edit(paddock, values=values, seen=seen)
    if edited.after:
        journal.write(
            actor,
            "paddock_changed",
            about=[actor.barn],
            before=edited.before,
            after={**edited.after, "what": edited.what, "paddock": edited.record.name},
        )
    return edited.record


@transaction.atomic
def move_to(horse: Horse, *, paddock: Paddock | None, since: date, actor: Actor) -> PaddockStay | None:
    """Lets a horse stand in another paddock, or in none, from a day on; the day before is its last where it stood."""
    Horse.objects.select_for_update().get(pk=horse.pk)
    was = queries.open_stay(horse)
    if was is None and paddock is None:
        raise Refused(_("%(horse)s stands in no paddock already.") % {"horse": horse})
    if was and was.paddock == paddock:
        raise Refused(
            _("%(horse)s stands in %(paddock)s already.") % {"horse": horse, "paddock": was.paddock}, field="paddock"
        )
    if was:
        _end(was, since)
    stay = PaddockStay(barn=actor.barn, horse=horse, paddock=paddock, since=since) if paddock else None
    if stay:
        with refusing({"horse_in_one_paddock": _taken(horse), "horses_paddockstay.horse_id": _taken(horse)}):
            stay.save(force_insert=True)
    journal.write(
        actor,
        "horse_moved" if stay else "horse_out_of_paddock",
        about=[horse],
        before={"paddock": was.paddock.name if was else ""},
        after={"paddock": paddock.name if paddock else "", "since": since},
    )
    return stay


def leave(horse: Horse, *, actor: Actor) -> None:
    """Ends the stay of a horse that is gone for good; part of that entry, none of its own."""
    stay = queries.open_stay(horse)
    if stay:
        _end(stay, horses.today_in(actor.barn) + timedelta(days=1))


def _end(stay: PaddockStay, next_since: date) -> None:
    """The last day is the one before; a stay that would end before it began was never stood."""
    if stay.since > next_since:
        raise Refused(
            _("It stands in %(paddock)s only since %(day)s. Choose a day from then on.")
            % {"paddock": stay.paddock, "day": stay.since},
            field="since",
        )
    if stay.since == next_since:
        stay.delete()
        return
    stay.until = next_since - timedelta(days=1)
    stay.save(update_fields=["until"])


def _taken(horse: Horse) -> str:
    return _("Somebody moved %(horse)s just now.") % {"horse": horse}


def _refuse_twice(paddock: Paddock) -> None:
    if Paddock.objects.filter(barn=paddock.barn, name=paddock.name).exclude(pk=paddock.pk).exists():
        raise Refused(_("There is a paddock of this name already."), field="name")


def _twice() -> dict[str, str]:
    twice = _("There is a paddock of this name already.")
    return {"paddock_name_once": twice, "horses_paddock.barn_id, horses_paddock.name": twice}
