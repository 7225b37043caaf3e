from typing import ClassVar

from django.db import models

from barnrugs.barns.models import BarnOwned, Person


class SavedView(BarnOwned):
    """What one person filters and sorts the inventory by, under a name of their own."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="saved_views")
    name = models.CharField(max_length=40)
    query = models.CharField("filters, as in the address", max_length=1000, blank=True)

    class Meta:
        ordering: ClassVar = ["name", "pk"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["person", "name"], name="saved_view_name_once")]

    def __str__(self) -> str:
        return self.name
