"""People of a barn: who comes, who changes part, who goes. A barn is never left without a manager who can sign in."""

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, Invitation, Person
from barnrugs.barns.queries import people


@transaction.atomic
def add_person(*, name: str, roles: Mapping[str, bool], actor: Actor, phone: str = "") -> Person:
    """A new person, who can sign in once they have taken up an invitation."""
    _refuse_without_role(roles)
    person = Person(
        barn=actor.barn, name=name, phone=phone, joined_on=actor.at.astimezone(actor.barn.zone).date(), **roles
    )
    editing.validate(person)
    person.save(force_insert=True)
    journal.write(actor, "person_added", about=[person], after={"name": name, **roles})
    return person


@transaction.atomic
def change_person(
    person: Person, *, values: Mapping[str, Any], actor: Actor, seen: Mapping[str, Any] | None = None
) -> Person:
    """Changes a name, a number or the roles. The barn keeps a manager."""
    _lock(actor.barn)
    _refuse_without_role({name: bool(value) for name, value in values.items() if name.startswith("is_")})
    edited = editing.edit(person, values=values, seen=seen)
    _refuse_without_manager(actor.barn)
    if edited.after:
        journal.write(
            actor,
            "person_changed",
            about=[edited.record],
            before=edited.before,
            after={**edited.after, "what": edited.what},
        )
    return edited.record


@transaction.atomic
def leaves(person: Person, *, actor: Actor, why: str = "") -> Person:
    """A person goes: from this moment no page of the barn opens for them, and no invitation of theirs holds."""
    _lock(actor.barn)
    person = Person.objects.select_for_update().get(pk=person.pk)
    if person.left_at:
        raise Refused(_("%(name)s has already left.") % {"name": person})
    person.left_at, person.pin = actor.now, ""
    person.save(update_fields=["left_at", "pin"])
    _refuse_without_manager(actor.barn)
    Invitation.objects.filter(person=person, used_at__isnull=True).delete()
    journal.write(actor, "person_left", about=[person], after={"left_at": person.left_at}, why=why)
    return person


@transaction.atomic
def returns(person: Person, *, actor: Actor) -> Person:
    """A person who left is back, in the roles they had."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    if not person.left_at:
        raise Refused(_("%(name)s is here already.") % {"name": person})
    before, person.left_at = person.left_at, None
    person.save(update_fields=["left_at"])
    journal.write(actor, "person_returned", about=[person], before={"left_at": before})
    return person


def _lock(barn: Barn) -> None:
    """Two managers who demote each other at once: the second waits here and then counts again."""
    Barn.objects.select_for_update().get(pk=barn.pk)


def _refuse_without_role(roles: Mapping[str, bool]) -> None:
    if roles and not any(roles.values()):
        raise Refused(_("Everybody has at least one part: manager, staff or owner."))


def _refuse_without_manager(barn: Barn) -> None:
    if not people.who_can_manage(barn).exists():
        raise Refused(_("This is the last manager who can sign in. Make somebody else a manager first."))
