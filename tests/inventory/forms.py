"""What the inventory's forms send: the fields of a whole form, so that a test names only what it is about."""

import io
import uuid
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from barnrugs.barns.models import Person
from inventory.forms.blankets import BlanketForm
from inventory.models import Blanket
from tests.cast import NOW

TURNOUT = {
    "kind": "turnout",
    "fill_g": "200",
    "looks": "green, torn corner",
    "size": "6'6",
    "size_system": "in",
    "cut": "standard",
    "waterproofing": "waterproof",
    "denier": "1200",
    "breathable": "True",
    "neck": "none",
    "front": "buckle",
    "rack": "Hook 4",
}


def blanket_fields(**others: Any) -> dict[str, Any]:
    return {**TURNOUT, **others}


def sending(**fields: Any) -> dict[str, Any]:
    """With a UUID of its own, unless one is named."""
    return {"once": str(uuid.uuid4()), **fields}


def seen_of(blanket: Blanket, person: Person) -> str:
    """What a form shown now would carry as seen."""
    return BlanketForm(record=blanket, person=person, today=NOW.date())["seen"].value()


def shown_by(form: BlanketForm) -> dict[str, Any]:
    """What a browser sends when nothing was touched."""
    sent: dict[str, Any] = {}
    for field in form:
        value = field.value()
        if value is True:
            sent[field.html_name] = "on"
        elif value not in (None, False):
            sent[field.html_name] = str(value)
    return sent


def picture_file(name: str = "picture.jpg", size: tuple[int, int] = (800, 600), **save: Any) -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", size, (60, 90, 30)).save(out, **{"format": "JPEG", **save})
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/jpeg")
