from typing import ClassVar

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q

from barnrugs.barns.models import BarnOwned, Person
from barnrugs.barns.models.barn import Session
from horses.models import Horse
from inventory.enums import DecidedBy, LineOutcome


class ChangeList(BarnOwned):
    """Who changes what at one staffed time of one day."""

    day = models.DateField()
    session = models.CharField(max_length=12, choices=Session)
    due_at = models.DateTimeField()
    made_at = models.DateTimeField()
    weather = models.JSONField(
        "the hours it was made for, in figures", default=dict, blank=True, encoder=DjangoJSONEncoder
    )
    note = models.CharField("note to the next shift", max_length=300, blank=True)
    note_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["due_at"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["barn", "day", "session"], name="list_once_a_session"),
        ]

    def __str__(self) -> str:
        return f"{self.get_session_display()} {self.day}"


class ListLine(BarnOwned):
    """One horse on a list: what it goes from and to, who decided, why, and what was done about it."""

    change_list = models.ForeignKey(ChangeList, on_delete=models.PROTECT, related_name="lines")
    horse = models.ForeignKey(Horse, on_delete=models.PROTECT, related_name="list_lines")
    order = models.PositiveSmallIntegerField()
    tags_from = models.JSONField(default=list, blank=True)
    neck_from = models.BooleanField(default=False)
    tags_to = models.JSONField(default=list, blank=True)
    neck = models.BooleanField(default=False)
    decided_by = models.CharField(max_length=10, choices=DecidedBy, default=DecidedBy.COMPUTED)
    verdict = models.CharField(max_length=8, blank=True)
    reasons = models.JSONField("codes with their figures", default=list, blank=True, encoder=DjangoJSONEncoder)
    contradiction = models.JSONField(
        "what speaks against the decision", default=list, blank=True, encoder=DjangoJSONEncoder
    )
    take_off_at = models.DateTimeField("a lighter outfit is better from then on", null=True, blank=True)
    outcome = models.CharField(max_length=8, choices=LineOutcome, blank=True, default="")
    tags_done = models.JSONField(default=list, blank=True)
    why = models.CharField(max_length=200, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["order", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["change_list", "horse"], name="list_line_once_a_horse"),
            models.CheckConstraint(
                condition=Q(outcome="", done_at__isnull=True, done_by__isnull=True)
                | (~Q(outcome="") & Q(done_at__isnull=False, done_by__isnull=False)),
                name="list_line_done_names_who",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.horse} {self.change_list}"
