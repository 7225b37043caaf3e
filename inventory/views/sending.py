"""Where phones send what was done without signal: a batch of events in their order, an answer to each."""

import json
import logging
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.db import OperationalError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from barnrugs.barns.domain import devices
from barnrugs.barns.domain.once import OtherContent
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.here import leavers
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Device, Person
from barnrugs.barns.this_device import narrow
from inventory.domain import sending as domain
from inventory.domain.events import Event, Sent
from inventory.enums import QuestionKind
from inventory.forms.sending import MOST_AT_ONCE, Unreadable, read
from inventory.views import lists, sent_things

LOG = logging.getLogger(__name__)
TRIES = 4
FARTHEST_OFF = timedelta(days=200 * 365)
REFUSED, HELD, LATER = "refused", "held", "later"


class Nobodys(Exception):
    """An event in the name of somebody who is neither signed in here nor has sealed it on this phone."""


@dataclass
class Contact:
    """One call of a phone: who is signed in on it, which phone it is, and by how much its clock is behind."""

    request: HttpRequest
    person: Person | None
    device: Device | None
    is_revoked: bool
    clock_off: timedelta
    now: datetime
    people: dict[UUID, Person] = field(default_factory=dict)
    blocked: set[str] = field(default_factory=set)
    last: dict[UUID, datetime] = field(default_factory=dict)
    gone: set[UUID] = field(default_factory=set)

    def who(self, event: Event, seal: Any) -> Person:
        """By whom an event was done: whoever is signed in, or whoever has sealed it on this phone with their PIN."""
        if self.person and event.person_key == self.person.key:
            return self.person
        person = self.people.get(event.person_key) or self._sealing(event.person_key)
        sealed = seal if isinstance(seal, str) else ""
        if person is None or not devices.is_sealed(self.device, person, event.body, sealed):  # type: ignore[arg-type]
            raise Nobodys
        self.people[person.key] = person
        return person

    def _sealing(self, key: UUID) -> Person | None:
        if self.device is None:
            return None
        person = Person.objects.select_related("barn", "user").filter(barn=self.device.barn_id, key=key).first()
        return narrow(person) if person else None

    def actor(self, event: Event, person: Person) -> Actor:
        """Its time put right, and never before what the same person noted earlier: the numbers give the order."""
        right = domain.right_time(event, now=self.now, clock_off=self.clock_off)
        right = max(right, self.last.get(person.key, right))
        self.last[person.key] = right
        return Actor(person, device=self.device, there_at=right, now=self.now)

    def keep_for(self, person: Person) -> QuestionKind | None:
        if person.left_at:
            self.gone.add(person.key)
            return QuestionKind.LEFT
        return QuestionKind.REVOKED if self.is_revoked else None


@login_not_required
@leavers
@require_POST
def send(request: HttpRequest) -> HttpResponse:
    """Answers each event; one that is refused holds back only later ones of its horse and blankets."""
    contact = contact_of(request)
    if contact is None:
        return JsonResponse({"said": _("Sign in again to send.")}, status=401)
    batch = batch_of(request)
    if batch is None:
        return JsonResponse({"said": _("This is not what a phone of ours sends.")}, status=400)
    contact.clock_off = clock_off(batch, contact.now)
    answers = [answer(contact, sent) for sent in batch["events"]]
    if batch.get("rows") and contact.person and not contact.person.left_at and not contact.is_revoked:
        add_rows(request, answers)
    if contact.device and not contact.is_revoked:
        devices.note_contact(contact.device, now=contact.now, clock_off_s=contact.clock_off.total_seconds())
    left = bool(contact.person and contact.person.left_at and not contact.device)
    return JsonResponse(
        {
            "now": round(contact.now.timestamp() * 1000),
            "clear": contact.is_revoked or left,
            "gone": [str(key) for key in contact.gone],
            "answers": answers,
        }
    )


def contact_of(request: HttpRequest) -> Contact | None:
    person: Person | None = request.person
    revoked: Device | None = request.revoked_device
    device: Device | None = request.device or revoked
    if device and person and device.barn_id != person.barn_id:
        device = revoked = None
    if person is None and device is None:
        return None
    return Contact(request, person, device, device is not None and device == revoked, timedelta(), timezone.now())


def batch_of(request: HttpRequest) -> dict[str, Any] | None:
    """JSON as it is, or, with pictures, as the field `batch` of a form with files."""
    multipart = request.content_type == "multipart/form-data"
    try:
        batch = json.loads(request.POST.get("batch", "") if multipart else request.body)
        good = isinstance(batch["events"], list) and len(batch["events"]) <= MOST_AT_ONCE
        good = good and all(isinstance(one, dict) for one in batch["events"])
    except (ValueError, TypeError, KeyError, RecursionError):
        return None
    return batch if good else None


def clock_off(batch: dict[str, Any], now: datetime) -> timedelta:
    """By how much the phone's clock is behind: as it measured over a short question, else by this call's own time."""
    try:
        if "clock_off_ms" in batch:
            off = timedelta(milliseconds=float(batch["clock_off_ms"]))
        else:
            off = now - datetime.fromtimestamp(float(batch["now"]) / 1000, tz=UTC)
    except (ValueError, TypeError, KeyError, OverflowError, OSError):
        return timedelta()
    return min(max(off, -FARTHEST_OFF), FARTHEST_OFF)


def answer(contact: Contact, told: dict[str, Any]) -> dict[str, Any]:
    """Whatever is wrong with one event is answered to that one, so that the others are heard."""
    body = told.get("body")
    try:
        event = read(body)
        person = contact.who(event, told.get("seal", ""))
        luggage = sent_things.Luggage(contact.request.FILES, too_large=told.get("too_large") is True)
        return _answer(contact, event, person, luggage)
    except Unreadable as unreadable:
        contact.blocked |= sent_things.names_in(body)
        return _said(sent_things.once_in(body), REFUSED, 400, str(unreadable))
    except Nobodys:
        sentence = _("Somebody else noted this. It waits on the phone until they come in.")
        return _said(sent_things.once_in(body), REFUSED, 403, sentence)
    except OperationalError:
        contact.blocked |= sent_things.names_in(body)
        return _said(sent_things.once_in(body), LATER, 200, _busy())
    except Exception:
        contact.blocked |= sent_things.names_in(body)
        LOG.exception("An event from a phone could not be carried out")
        sentence = _("The house could not note this. Tell the manager, and note it again on its page.")
        return _said(sent_things.once_in(body), REFUSED, 500, sentence)


def _answer(contact: Contact, event: Event, person: Person, luggage: sent_things.Luggage) -> dict[str, Any]:
    once, keep = str(event.once), contact.keep_for(person)
    touches = set(event.names)
    try:
        fetch = sent_things.found_in_barn if keep else sent_things.fetched
        sent = fetch(event, person, luggage)
        touches |= sent.touches
        if contact.blocked & touches:
            return _said(once, HELD, 200, _("It waits for an earlier one of the same horse or blanket."))
        told = _carried_out(sent, contact.actor(event, person), keep)
    except (Http404, PermissionDenied, OtherContent, Refused) as why:
        told = _said(once, REFUSED, *_why(why))
    except Exception:
        contact.blocked |= touches
        raise
    if told["status"] in {REFUSED, LATER}:
        contact.blocked |= touches
    return told


def _why(refused: Exception) -> tuple[int, str]:
    if isinstance(refused, Refused):
        return 200, refused.sentence
    if isinstance(refused, OtherContent):
        return 422, _("Something else was sent under the same number.")
    if isinstance(refused, PermissionDenied):
        return 403, _("You may not do this any more.")
    return 404, _("This is not there any more, or not for you.")


def _carried_out(sent: Sent, actor: Actor, keep: QuestionKind | None) -> dict[str, Any]:
    done, now = patiently(lambda: domain.take_in(sent, actor=actor, keep_for=keep))
    if done is None:
        return _said(str(sent.event.once), LATER, 200, _busy())
    told = {**_said(str(sent.event.once), done.status, 200, done.said), "again": not now}
    if keep is None and sent.line:
        told["line"] = sent.line.pk
    if keep is None and sent.event.kind == "hand_check" and sent.horse:
        told["to"] = reverse("hand_checks", args=[sent.horse.barn.slug, sent.horse.pk])
    return told


def _busy() -> str:
    return _("The house is busy. It is sent again.")


def add_rows(request: HttpRequest, answers: list[dict[str, Any]]) -> None:
    """The line of a list as it stands after all of it, for the page that shows it."""
    lines = {answer["line"] for answer in answers if answer.get("line")}
    rows = {pk: _row(request, pk) for pk in lines}
    for told in answers:
        if row := rows.get(told.get("line")):
            told["row"] = row


def _row(request: HttpRequest, pk: int) -> str:
    """Nothing where it cannot be shown: what was done is done, and the phone must hear of it."""
    try:
        return lists.line_as_it_stands(request, pk)
    except Exception:
        LOG.exception("A line could not be shown to a phone")
        return ""


Outcome = tuple[domain.Answer | None, bool]


def patiently(call: Callable[[], Outcome]) -> Outcome:
    """Tries again where two got into each other's way in the database; the phone keeps what could not be done."""
    for wait in range(TRIES):
        try:
            return call()
        except OperationalError:
            time.sleep(0.05 * 2**wait)
    return None, False


def _said(once: str | None, status: str, code: int, sentence: str) -> dict[str, Any]:
    return {"once": once, "status": status, "code": code, "said": sentence}
