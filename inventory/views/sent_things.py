"""The things an event is about, fetched for whoever did it: 404 what they may not see, 403 what they may not do."""

import io
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _

from barnrugs.barns import access
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import Person
from horses.models import Horse
from inventory import images
from inventory.domain.events import Event, Sent
from inventory.images import Shrunk
from inventory.models import Blanket, HandCheck, ListLine

LINES = ListLine.objects.select_related("horse", "change_list")


@dataclass(frozen=True)
class Luggage:
    """What came along with an event beside its text. too_large: its picture stayed on the way."""

    files: Mapping[str, UploadedFile] = field(default_factory=dict)
    too_large: bool = False


NONE: Final = Luggage()


def fetched(event: Event, person: Person, luggage: Luggage = NONE) -> Sent:
    """Raises Http404, PermissionDenied, or Refused where a picture did not come along whole."""
    about = event.about
    line = horse = blanket = None
    if event.kind == "wear":
        horse = access.fetch(person, Horse, about["horse"], "dress")
    elif event.kind == "hand_check":
        access.demand(person, "add", HandCheck)
        horse = access.fetch(person, Horse, about["horse"])
    elif event.kind == "damage":
        blanket = access.fetch(person, Blanket, about["blanket"], "handle")
        horse = access.fetch(person, Horse, about["horse"]) if "horse" in about else None
    else:
        line = access.fetch(person, ListLine, about["line"], "change", among=LINES)
        horse = line.horse
    claimed, unknown = _claimed(event, person, line)
    return Sent(event, horse, line, blanket, claimed, unknown, *picture(event, luggage))


def found_in_barn(event: Event, person: Person, luggage: Luggage = NONE) -> Sent:
    """The same without asking what the person may: for what is only kept for the manager."""
    about = event.about
    line = LINES.filter(barn=person.barn_id, pk=about.get("line", 0)).first()
    horse = line.horse if line else Horse.objects.filter(barn=person.barn_id, pk=about.get("horse", 0)).first()
    blanket = Blanket.objects.filter(barn=person.barn_id, pk=about.get("blanket", 0)).first()
    found = {one.tag: one for one in Blanket.objects.filter(barn=person.barn_id, tag__in=_tags(event, line))}
    claimed = tuple(found[tag] for tag in _tags(event, line) if tag in found)
    return Sent(event, horse, line, blanket, claimed, (), *picture(event, luggage))


def _tags(event: Event, line: ListLine | None) -> list[str]:
    """What it says the horse wears: as sent, or, for a plain Done, as the list says."""
    if event.kind == "done" and "tags" not in event.given and line:
        return list(line.tags_to)
    return list(event.fields.get("tags") or ())


def _claimed(event: Event, person: Person, line: ListLine | None) -> tuple[tuple[Blanket, ...], tuple[str, ...]]:
    tags = _tags(event, line)
    found = {one.tag: one for one in access.rows(person, Blanket, "handle").filter(tag__in=tags)} if tags else {}
    return tuple(found[tag] for tag in tags if tag in found), tuple(tag for tag in tags if tag not in found)


def picture(event: Event, luggage: Luggage) -> tuple[Shrunk | None, str]:
    """Encoded anew, after its digest was found to be the one that the event names; or why it cannot be kept.

    A picture that nobody can read is as unreadable the next time: what was noted with it must not wait for it.
    """
    named = event.fields.get("picture")
    if not named:
        return None, ""
    if luggage.too_large:
        return None, _("It is larger than the house takes in.")
    file = luggage.files.get(f"picture-{event.once}")
    if file is None:
        raise Refused(_("The picture did not come along. Send it once more."), field="picture")
    content = file.read()
    if images.sha256(content).hexdigest() != named:
        raise Refused(_("The picture did not come along whole. Send it once more."), field="picture")
    try:
        return shrunk(content), ""
    except Refused as fault:
        return None, fault.sentence


def shrunk(content: bytes) -> Shrunk:
    try:
        return images.shrink(io.BytesIO(content))
    except images.NotAPicture as said:
        raise Refused(str(said), field="picture") from None


def names_in(body: Any) -> frozenset[str]:
    """What an event that cannot be read is about, as far as one sees: what follows on that waits for it."""
    try:
        told = json.loads(body)
        return frozenset(f"{kind} {int(told[kind])}" for kind in ("line", "horse", "blanket") if told.get(kind))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, OverflowError):
        return frozenset()


def once_in(body: Any) -> str | None:
    """The number of an event that cannot be read otherwise, so that the phone knows which was refused."""
    try:
        return str(json.loads(body)["once"])[:36]
    except (ValueError, TypeError, KeyError, RecursionError):
        return None
