"""What a phone tells of what was done without signal, and the things of the barn it is about."""

import hashlib
import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, Final

from horses.models import Horse
from inventory.domain.wearing import Fate
from inventory.images import Shrunk
from inventory.models import Blanket, ListLine

EARLIEST: Final = datetime(2000, 1, 1, tzinfo=UTC)
"""Before this no clock tells anything: a battery pulled out says 1970."""

DRESSING: Final = ("done", "other", "wear", "not_done")
"""What says how a horse is dressed: only this can contradict what others noted."""


@dataclass(frozen=True)
class Event:
    """One thing somebody did. there_at: by the phone's own clock. about: ids of the line, horse or blanket.

    page_at: when the house made the page on which it was noted, if it says so; it was not done before that.
    given: which of the fields were sent. body: the text it was read from, as it was sealed and as it is kept.
    """

    once: uuid.UUID
    seq: int
    kind: str
    person_key: uuid.UUID
    there_at: datetime
    about: dict[str, int]
    fields: dict[str, Any] = field(default_factory=dict)
    given: frozenset[str] = frozenset()
    body: str = ""
    page_at: datetime | None = None

    @property
    def names(self) -> frozenset[str]:
        return frozenset(f"{kind} {pk}" for kind, pk in self.about.items())

    @property
    def digest(self) -> str:
        return hashlib.sha256(self.body.encode()).hexdigest()


@dataclass(frozen=True)
class Sent:
    """An event with the things it is about; claimed: the blankets it says the horse wears, innermost first.

    unknown: tags among these that are no blanket this person may put on. picture_fault: why its picture is not kept.
    """

    event: Event
    horse: Horse | None = None
    line: ListLine | None = None
    blanket: Blanket | None = None
    claimed: tuple[Blanket, ...] = ()
    unknown: tuple[str, ...] = ()
    picture: Shrunk | None = None
    picture_fault: str = ""

    @property
    def kind(self) -> str:
        return self.event.kind

    @property
    def dresses(self) -> bool:
        return self.kind in DRESSING

    @property
    def fields(self) -> Mapping[str, Any]:
        return self.event.fields

    @property
    def fate(self) -> Fate:
        place = self.fields.get("place", "")
        return Fate(wet=bool(self.fields.get("wet") or place), place=place)

    @property
    def neck_on(self) -> bool:
        if self.kind == "done" and "neck" not in self.event.given and self.line:
            return self.line.neck
        return bool(self.fields.get("neck", False))

    @property
    def tags(self) -> list[str]:
        return [blanket.tag for blanket in self.claimed]

    @property
    def what(self) -> str:
        return str(self.horse or self.blanket or "")

    @property
    def touches(self) -> frozenset[str]:
        """Its horse and blankets, by which a later event waits for it."""
        on_line = [*self.line.tags_to, *self.line.tags_from] if self.line else []
        named = [self.blanket.tag] if self.blanket else []
        horse = [f"horse {self.horse.pk}"] if self.horse else []
        return frozenset([*horse, *self.tags, *on_line, *named, *self.event.names])
