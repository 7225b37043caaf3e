"""The shared phone of the demo's barn, and what it sent that contradicts what others noted."""

import json
import uuid
from datetime import timedelta

from barnrugs.barns.domain import devices
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Device
from inventory.demo.happenings import DAY, HOUR, Scene
from inventory.domain import sending
from inventory.forms.sending import read
from inventory.views import sent_things

NAME = "Phone in the tack room"
ONCE = uuid.UUID("5b1a0f5e-8f1d-4c43-9d4a-2f6f6a1c7e11")
HORSE, BLANKET = "Kestrel", "Nettle T200s"


def send(scene: Scene) -> None:
    """Tove noted without signal that Kestrel wears what Ines had put on Nettle, and went home with the phone."""
    phone = _enrolled(scene)
    tove, there = scene.people["tove"], scene.now - 3 * HOUR
    told = {
        "once": str(ONCE),
        "seq": 1,
        "kind": "wear",
        "person": str(tove.key),
        "there_at": there.timestamp() * 1000,
        "horse": scene.herd[HORSE].pk,
        "fields": {"tags": [scene.blankets[BLANKET].tag], "why": "Swapped at the gate, no signal there"},
    }
    sent = sent_things.fetched(read(json.dumps(told)), tove)
    sending.take_in(sent, actor=Actor(tove, device=phone, there_at=there, now=scene.now - timedelta(minutes=40)))


def _enrolled(scene: Scene) -> Device:
    manager = Actor(scene.people["marit"], now=scene.now - 90 * DAY)
    code = devices.code_for(ONCE)
    devices.enrol(NAME, code=code, actor=manager)
    return devices.come_in(code, now=manager.now + HOUR)
