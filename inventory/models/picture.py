import uuid
from typing import ClassVar

from django.db import models

from barnrugs.barns.models import BarnOwned, Person
from inventory.models.blanket import Blanket


class Picture(BarnOwned):
    """A picture of a blanket, encoded by us and kept under a random key; a removed one is kept and no longer shown."""

    blanket = models.ForeignKey(Blanket, on_delete=models.PROTECT, related_name="pictures")
    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    sha = models.CharField("SHA-256 of the file", max_length=64)
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()
    taken_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        indexes: ClassVar = [models.Index(fields=["blanket", "-at"], name="picture_by_blanket")]

    def __str__(self) -> str:
        return f"{self.blanket} {self.at:%Y-%m-%d}"

    @property
    def path(self) -> str:
        return f"{self.key.hex[:2]}/{self.key.hex}.jpg"

    @property
    def small_path(self) -> str:
        return f"{self.key.hex[:2]}/{self.key.hex}-small.jpg"
