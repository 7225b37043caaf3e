"""A phone as the server sees it: events with numbers of its own, sealed where it is a shared one, sent in batches."""

import hashlib
import hmac
import json
import uuid
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.core import signing
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from barnrugs.barns.domain.devices import seal_key
from barnrugs.barns.models import Device, Person
from barnrugs.barns.this_device import COOKIE, SALT


@dataclass
class Phone:
    """person: who is at it. device: which shared phone it is. fast: by how much its clock is ahead."""

    person: Person
    client: Client = field(default_factory=Client)
    device: Device | None = None
    fast: timedelta = timedelta()
    seq: int = 0

    def now(self) -> datetime:
        return timezone.now() + self.fast

    def event(self, kind: str, *, ago: float = 0, page_ago: float | None = None, **about: Any) -> dict[str, str]:
        """ago: seconds since it was done; page_ago: since the house made its page.

        line, horse, blanket: what it is about; the rest are its fields.
        """
        self.seq += 1
        subjects = {name: about.pop(name).pk for name in ("line", "horse", "blanket") if about.get(name)}
        told = {
            "once": str(about.pop("once", uuid.uuid4())),
            "seq": self.seq,
            "kind": kind,
            "person": str(about.pop("by", self.person).key),
            "there_at": (self.now() - timedelta(seconds=ago)).timestamp() * 1000,
            "page_at": None if page_ago is None else (timezone.now().timestamp() - page_ago) * 1000,
            **subjects,
            "fields": about,
        }
        return self.sealed(json.dumps(told))

    def sealed(self, body: str) -> dict[str, str]:
        if not self.device:
            return {"body": body}
        key = bytes.fromhex(seal_key(self.device, self.person))
        return {"body": body, "seal": hmac.new(key, body.encode(), hashlib.sha256).hexdigest()}

    def post(self, *events: dict[str, str], slug: str = "home", files: dict[str, Any] | None = None) -> HttpResponse:
        batch = {"now": self.now().timestamp() * 1000, "events": list(events)}
        if files:
            return self.client.post(f"/barns/{slug}/send/", {"batch": json.dumps(batch), **files})
        return self.client.post(f"/barns/{slug}/send/", json.dumps(batch), content_type="application/json")

    def send(self, *events: dict[str, str], **how: Any) -> list[dict[str, Any]]:
        answer = self.post(*events, **how)
        assert answer.status_code == 200, answer.content
        return answer.json()["answers"]

    def statuses(self, *events: dict[str, str], **how: Any) -> list[str]:
        return [one["status"] for one in self.send(*events, **how)]


def own_phone(person: Person) -> Phone:
    client = Client()
    client.force_login(person.user)
    return Phone(person, client)


def known(device: Device) -> Device:
    """Has taken up its code."""
    device.came_in_at = device.enrolled_at
    device.save(update_fields=["came_in_at"])
    return device


def as_device(client: Client, device: Device) -> Client:
    client.cookies[COOKIE] = signing.Signer(salt=SALT).sign(str(device.key))
    return client


def shared_phone(device: Device, person: Person) -> Phone:
    """The enrolled phone with somebody at it who came in by their PIN before; nobody is signed in."""
    return Phone(person, as_device(Client(), known(device)), device)
