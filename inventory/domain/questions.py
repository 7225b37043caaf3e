"""Questions to the manager: what was done without signal and cannot stand by itself, kept as it was sent."""

import uuid

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from barnrugs.barns import journal
from barnrugs.barns.journal import Actor
from inventory.domain.events import Sent
from inventory.enums import QuestionKind
from inventory.models import Question


def ask(sent: Sent, kind: QuestionKind, *, actor: Actor, action: str, why: str = "") -> Question:
    """Keeps an event as it was sent; must stand inside the transaction that answers it."""
    question = Question.objects.create(
        barn=actor.barn,
        kind=kind,
        person=actor.person,
        device=actor.device,
        once=sent.event.once,
        event={"body": sent.event.body},
        horse=sent.horse,
        tags=sent.tags or ([sent.blanket.tag] if sent.blanket else []),
        sentence=why[:500],
        picture_key=_keep_picture(sent),
        there_at=actor.at,
        asked_at=actor.now,
    )
    about = [thing for thing in (sent.horse, sent.blanket, *sent.claimed) if thing]
    after = {"what": sent.what, "kind": sent.kind, "tags": question.tags}
    journal.write(actor, action, about=[*about, actor.person], after=after, why=why)
    return question


def _keep_picture(sent: Sent) -> uuid.UUID | None:
    if not sent.picture:
        return None
    key = uuid.uuid4()
    default_storage.save(picture_path(key), ContentFile(sent.picture.full))
    return key


def picture_path(key: uuid.UUID) -> str:
    return f"held/{key.hex}.jpg"


def picture_of(question: Question) -> bytes | None:
    if not question.picture_key:
        return None
    with default_storage.open(picture_path(question.picture_key)) as file:
        return bytes(file.read())
