"""Invitations: a code that lets one person in, once, within 72 hours. Only its digest is kept."""

import hashlib
import uuid
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from django.db import transaction
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Invitation, Person, User
from barnrugs.barns.models.user import Language

LASTS: Final = timedelta(hours=72)
LETTERS: Final = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Without 0 O 1 I L: 31 letters, nearly five bits each."""

GROUPS: Final = 5
GROUP: Final = 4
"""Twenty letters: 99 bits."""


@dataclass(frozen=True)
class Account:
    """What somebody new signs in with."""

    username: str
    password: str
    email: str = ""
    language: str = Language.ENGLISH


def code_for(person: Person, once: uuid.UUID) -> str:
    """The code of an invitation, from the form that asked for it and the house's secret: so that the same form, sent
    again, shows the same code, although only a digest is kept."""
    drawn = int.from_bytes(
        salted_hmac("barnrugs.invitation", f"{person.key}:{once}", algorithm="sha256").digest(), "big"
    )
    letters = []
    for _place in range(GROUPS * GROUP):
        drawn, letter = divmod(drawn, len(LETTERS))
        letters.append(LETTERS[letter])
    return "-".join("".join(letters[start : start + GROUP]) for start in range(0, GROUPS * GROUP, GROUP))


def digest_of(code: str) -> str:
    """The digest of a code as somebody types it: lower case, spaces and dashes make no difference."""
    return hashlib.sha256("".join(letter for letter in code.upper() if letter.isalnum()).encode()).hexdigest()


@transaction.atomic
def invite(person: Person, *, code: str, actor: Actor, email: str = "") -> Invitation:
    """Makes the code good for this person; any earlier one stops to be."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    if person.left_at:
        raise Refused(_("%(name)s has left. Let them come back first.") % {"name": person})
    if person.user_id:
        raise Refused(_("%(name)s can already sign in.") % {"name": person})
    Invitation.objects.filter(person=person, used_at__isnull=True).delete()
    invitation = Invitation.objects.create(
        barn=actor.barn,
        person=person,
        digest=digest_of(code),
        email=email,
        made_at=actor.now,
        expires_at=actor.now + LASTS,
    )
    journal.write(actor, "person_invited", about=[person], after={"expires_at": invitation.expires_at})
    return invitation


def find(code: str, now: datetime) -> Invitation:
    """The invitation that a code still opens. Every other code gets the same sentence: nothing to guess from."""
    found = (
        Invitation.objects.select_related("person", "barn")
        .filter(digest=digest_of(code), used_at__isnull=True, expires_at__gt=now, person__left_at__isnull=True)
        .first()
    )
    if found is None:
        raise _opens_nothing()
    return found


def _opens_nothing() -> Refused:
    return Refused(
        _("This code opens nothing: it may be mistyped, used already, or older than 72 hours. Ask for a new one."),
        field="code",
    )


@transaction.atomic
def accept(code: str, *, user: User, now: datetime) -> Person:
    """Somebody who signs in here already takes up an invitation."""
    found = Invitation.objects.select_for_update(of=("self",)).select_related("person", "barn")
    invitation = found.filter(pk=find(code, now).pk).first()
    if invitation is None:
        raise _opens_nothing()
    if invitation.used_at:
        return find(code, now).person
    if Person.objects.filter(barn=invitation.barn, user=user).exists():
        raise Refused(_("You belong to this barn already."))
    invitation.used_at = now
    invitation.save(update_fields=["used_at"])
    person = invitation.person
    person.user = user
    with refusing(
        {
            "person_once_in_a_barn": _("You belong to this barn already."),
            "barns_person.barn_id, barns_person.user_id": _("You belong to this barn already."),
        }
    ):
        person.save(update_fields=["user"])
    journal.write(Actor(person=person, now=now), "invitation_accepted", about=[person])
    return person


@transaction.atomic
def accept_as_new(code: str, *, account: Account, now: datetime) -> Person:
    """Somebody new takes up an invitation and gets a name and password to sign in with."""
    find(code, now)
    if account.email and User.objects.filter(email__iexact=account.email).exists():
        raise Refused(
            _("Somebody signs in with this address already. If that is you, sign in first and then enter the code."),
            field="email",
        )
    if User.objects.filter(username__iexact=account.username).exists():
        raise Refused(_("This name is taken. Choose another one."), field="username")
    user = User(username=account.username, email=account.email, language=account.language)
    user.set_password(account.password)
    editing.validate(user)
    with refusing({"username": _("This name is taken. Choose another one.")}):
        user.save(force_insert=True)
    return accept(code, user=user, now=now)
