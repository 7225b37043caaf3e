"""Sending the letters that are due, each once, and choosing which ones to get."""

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone, translation

from barnrugs.barns import journal
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, Person
from inventory.enums import Letter
from inventory.models import MailChoice, MailSent
from inventory.queries.mail import Desk, Due

log = logging.getLogger(__name__)

CLAIM_HOLDS: Final = timedelta(hours=1)
"""A sender that died between its claim and the letter holds it up for so long, no longer."""


@dataclass
class Posted:
    sent: int = 0
    failed: int = 0


def send_due(now: datetime) -> Posted:
    """Sends what is due in every barn. Run twice, or by two at once, each letter still goes once.

    A letter is claimed in a short transaction of its own, and sent outside any: a slow mail server holds up nobody.
    """
    posted = Posted()
    for barn in Barn.objects.order_by("pk"):
        for due in Desk(barn, now).due():
            _send(due, now, posted)
    return posted


def _send(due: Due, now: datetime, posted: Posted) -> None:
    claim = _claim(due, now)
    if claim is None:
        return
    try:
        message(due).send()
    except Exception:
        # Whatever is wrong with one letter, or with the way it goes, holds up no other; it is tried again next time.
        log.exception("Letter %s about %s to person %s", due.letter, due.about, due.person.pk)
        MailSent.objects.filter(pk=claim.pk, sent_at__isnull=True).delete()
        posted.failed += 1
        return
    MailSent.objects.filter(pk=claim.pk).update(sent_at=timezone.now())
    posted.sent += 1


def _claim(due: Due, now: datetime) -> MailSent | None:
    """The right to send this letter; None when it was sent or somebody else is about to."""
    with transaction.atomic():
        claim, new = MailSent.objects.get_or_create(
            person=due.person,
            letter=due.letter,
            about=due.about,
            defaults={"barn": due.person.barn, "claimed_at": now},
        )
    if new:
        return claim
    stale = MailSent.objects.filter(pk=claim.pk, sent_at__isnull=True, claimed_at__lt=now - CLAIM_HOLDS)
    return claim if stale.update(claimed_at=now) else None


def message(due: Due) -> EmailMessage:
    """The letter, in its reader's language and the barn's own time."""
    person, barn = due.person, due.person.barn
    language = person.user.language if person.user else "en"
    address = person.user.email if person.user else ""
    with translation.override(language), timezone.override(barn.zone):
        context = {
            "due": due,
            "job": due.job,
            "blanket": due.job.blanket,
            "barn": barn,
            "person": person,
            "link": link(reverse("care_job", args=[barn.slug, due.job.pk])),
            "choices": link(reverse("mail", args=[barn.slug])),
        }
        subject = render_to_string(f"inventory/mail/{due.letter}_subject.txt", context)
        body = render_to_string(f"inventory/mail/{due.letter}.txt", context)
    return EmailMessage(" ".join(f"[{barn.name}] {subject}".split()), body, to=[address])


def link(path: str) -> str:
    """The whole address, by the first host that this installation answers to."""
    scheme = "https" if settings.SECURE_SSL_REDIRECT else "http"
    return f"{scheme}://{settings.ALLOWED_HOSTS[0]}{path}"


@transaction.atomic
def choose(person: Person, *, wanted: Mapping[Letter, bool], actor: Actor) -> None:
    """Which letters a person gets."""
    before = {choice.letter: choice.wanted for choice in MailChoice.objects.filter(person=person)}
    for letter, yes in wanted.items():
        MailChoice.objects.update_or_create(person=person, letter=letter, defaults={"wanted": yes, "barn": person.barn})
    journal.write(
        actor, "mail_chosen", about=[person], before=before, after={str(one): yes for one, yes in wanted.items()}
    )
