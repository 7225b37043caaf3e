"""A write that can be sent again happens once: unique per person or device and UUID, kept 90 days."""

import uuid
from collections.abc import Callable
from datetime import datetime, timedelta

from django.db import IntegrityError, transaction

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import SentWrite

KEPT = timedelta(days=90)


class OtherContent(Exception):
    """The same UUID came with other content."""


def do_once(actor: Actor, once: uuid.UUID, digest: str, call: Callable[[], str]) -> tuple[str, bool]:
    """Runs `call` and keeps its answer under the UUID, in one transaction; a repeat gets the kept answer.

    Returns the answer and whether it was done now. A call that raises leaves no trace, so its UUID can be used again.
    """
    sender = actor.device.key if actor.device else actor.person.key
    known = _known(sender, once, digest)
    if known is not None:
        return known, False
    try:
        with transaction.atomic():
            sent = SentWrite(barn=actor.barn, sender_key=sender, once=once, digest=digest, at=actor.now)
            with transaction.atomic():
                sent.save(force_insert=True)
            sent.answer = call()
            sent.save(update_fields=["answer"])
            return sent.answer, True
    except IntegrityError:
        known = _known(sender, once, digest)
        if known is None:
            raise
        return known, False


def _known(sender: uuid.UUID, once: uuid.UUID, digest: str) -> str | None:
    sent = SentWrite.objects.filter(sender_key=sender, once=once).first()
    if sent is None:
        return None
    if sent.digest != digest:
        raise OtherContent
    return sent.answer


def forget_old(now: datetime) -> int:
    return SentWrite.objects.filter(at__lt=now - KEPT).delete()[0]
