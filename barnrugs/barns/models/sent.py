from typing import ClassVar

from django.db import models

from barnrugs.barns.models.barn import BarnOwned


class SentWrite(BarnOwned):
    """A write that has happened, by the UUID its sender gave it; kept 90 days so that a repeat happens once."""

    sender_key = models.UUIDField("person or device")
    once = models.UUIDField()
    digest = models.CharField(max_length=64)
    answer = models.CharField(max_length=500, blank=True)
    at = models.DateTimeField(db_index=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["sender_key", "once"], name="sent_once"),
        ]

    def __str__(self) -> str:
        return str(self.once)
