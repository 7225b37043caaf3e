"""Shared phones: enrolled by a manager with a code taken up once, named, revoked; and the staff's PINs for them."""

import hashlib
import hmac
import uuid
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Final

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.invitations import LETTERS, digest_of
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Device, JournalEntry, Person

CODE_LASTS: Final = timedelta(hours=24)
CODE_LETTERS: Final = 12
"""Twelve of 31 letters: 59 bits, good for a day, and tries are counted."""

LEAST_FIGURES: Final = 4
MOST_FIGURES: Final = 8


def code_for(once: uuid.UUID) -> str:
    """The code that a form with this number makes, from the house's secret: sent again, the same; kept nowhere."""
    drawn = int.from_bytes(salted_hmac("barnrugs.device", str(once), algorithm="sha256").digest(), "big")
    letters = []
    for _place in range(CODE_LETTERS):
        drawn, letter = divmod(drawn, len(LETTERS))
        letters.append(LETTERS[letter])
    return "-".join("".join(letters[start : start + 4]) for start in range(0, CODE_LETTERS, 4))


@transaction.atomic
def enrol(name: str, *, code: str, actor: Actor) -> Device:
    """A phone that may come in with this code, once, within a day."""
    device = Device(
        barn=actor.barn,
        name=name,
        enrolled_at=actor.now,
        code_digest=digest_of(code),
        code_until=actor.now + CODE_LASTS,
    )
    editing.validate(device)
    device.save(force_insert=True)
    journal.write(actor, "device_enrolled", about=[actor.barn], after={"name": name, "device": device.key})
    return device


def find(code: str, now: datetime) -> Device:
    """The phone that a code still lets in. Every other code gets the same sentence: nothing to guess from."""
    found = (
        Device.objects.select_related("barn")
        .filter(code_digest=digest_of(code), code_until__gt=now, revoked_at__isnull=True)
        .first()
    )
    if found is None:
        raise Refused(
            _("This code opens nothing: it may be mistyped, used already, or older than a day. Ask for a new one."),
            field="code",
        )
    return found


@transaction.atomic
def come_in(code: str, *, now: datetime) -> Device:
    """The phone takes up its code, which opens nothing from then on.

    Nobody is signed in: the journal names whoever enrolled it, who gave the code away.
    """
    device = Device.objects.select_for_update(of=("self",)).select_related("barn").get(pk=find(code, now).pk)
    if not device.code_digest:
        return find(code, now)
    device.code_digest, device.came_in_at = "", now
    device.save(update_fields=["code_digest", "came_in_at"])
    actor = Actor(_enrolled_by(device), device=device, now=now)
    journal.write(actor, "device_came_in", about=[device.barn], after={"name": device.name, "device": device.key})
    return device


def _enrolled_by(device: Device) -> Person:
    entry = JournalEntry.objects.get(barn=device.barn_id, action="device_enrolled", after__device=str(device.key))
    return Person.objects.select_related("barn").get(barn=device.barn_id, key=entry.person_key)


@transaction.atomic
def rename(device: Device, *, name: str, actor: Actor) -> Device:
    device = Device.objects.select_for_update().get(pk=device.pk)
    before, device.name = device.name, name
    editing.validate(device)
    device.save(update_fields=["name"])
    journal.write(
        actor,
        "device_renamed",
        about=[actor.barn],
        before={"name": before},
        after={"name": name, "before_name": before, "device": device.key},
    )
    return device


@transaction.atomic
def revoke(device: Device, *, actor: Actor, why: str = "") -> Device:
    """From this moment nothing from this phone is applied; what it still sends is kept for a manager to look at."""
    device = Device.objects.select_for_update().get(pk=device.pk)
    if device.revoked_at:
        raise Refused(_("%(name)s is revoked already.") % {"name": device})
    device.revoked_at, device.code_digest = actor.now, ""
    device.save(update_fields=["revoked_at", "code_digest"])
    journal.write(
        actor, "device_revoked", about=[actor.barn], after={"name": device.name, "device": device.key}, why=why
    )
    return device


@transaction.atomic
def set_pin(person: Person, *, pin: str, actor: Actor) -> Person:
    """A PIN of one's own for the barn's shared phones. Only a salted, slow digest of it is kept."""
    _refuse_easy(pin)
    person = Person.objects.select_for_update().get(pk=person.pk)
    person.pin = make_password(pin)
    person.save(update_fields=["pin"])
    journal.write(actor, "pin_set", about=[person])
    return person


def _refuse_easy(pin: str) -> None:
    if not (pin.isascii() and pin.isdigit() and LEAST_FIGURES <= len(pin) <= MOST_FIGURES):
        raise Refused(_("Four to eight figures, nothing else."), field="pin")
    steps = {int(after) - int(before) for before, after in pairwise(pin)}
    if len(steps) == 1 and steps <= {-1, 0, 1}:
        raise Refused(_("This is the first that anybody would try. Choose another one."), field="pin")


def is_pin_of(person: Person, pin: str) -> bool:
    """Takes as long for somebody without a PIN as for a wrong one."""
    if not person.pin:
        make_password(pin)
        return False
    return check_password(pin, person.pin)


def seal_key(device: Device, person: Person) -> str:
    """With what this person's writes are sealed on this phone, 64 hexadecimal figures.

    The phone gets it only when the person comes in with their PIN, and keeps it locked by that PIN: so that nobody at
    the same phone can write in another's name, with signal or without.
    """
    return salted_hmac("barnrugs.seal", f"{device.key}:{person.key}", algorithm="sha256").hexdigest()


def is_sealed(device: Device, person: Person, body: str, seal: str) -> bool:
    right = hmac.new(bytes.fromhex(seal_key(device, person)), body.encode(), hashlib.sha256).hexdigest()
    return hmac.compare_digest(right.encode(), seal.encode(errors="replace"))


def note_contact(device: Device, *, now: datetime, clock_off_s: float) -> None:
    """When the phone was last heard of, and by how much its clock was behind then. No journal: nobody did anything."""
    Device.objects.filter(pk=device.pk).update(seen_at=now, clock_off_s=clock_off_s)
