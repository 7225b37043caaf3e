from typing import ClassVar

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q

from barnrugs.barns.models import BarnOwned, Device, Person
from horses.models import Horse
from inventory.enums import QuestionAnswer, QuestionKind


class Question(BarnOwned):
    """What somebody did without signal and what cannot stand without a manager's word; kept as it was sent.

    picture_key: of a picture that came with it, kept as a file until the answer.
    """

    kind = models.CharField(max_length=14, choices=QuestionKind)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    device = models.ForeignKey(Device, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    once = models.UUIDField()
    event = models.JSONField("as it was sent", encoder=DjangoJSONEncoder)
    horse = models.ForeignKey(Horse, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    tags = models.JSONField("blankets it is about", default=list, blank=True)
    sentence = models.CharField("why it cannot stand", max_length=500, blank=True)
    picture_key = models.UUIDField(null=True, blank=True)
    there_at = models.DateTimeField("when it was done")
    asked_at = models.DateTimeField()
    answer = models.CharField(max_length=8, choices=QuestionAnswer, blank=True, default="")
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["asked_at", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["person", "once"], name="question_once_an_event"),
            models.CheckConstraint(
                condition=Q(answer="", answered_at__isnull=True, answered_by__isnull=True)
                | (~Q(answer="") & Q(answered_at__isnull=False, answered_by__isnull=False)),
                name="question_answer_names_who",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.person} {self.there_at:%Y-%m-%d %H:%M}"
