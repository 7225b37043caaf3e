from typing import ClassVar

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.models.barn import BarnOwned


class JournalEntry(BarnOwned):
    """What one person did, once, for good: triggers refuse UPDATE, DELETE and TRUNCATE.

    People and devices are named by opaque keys, not by foreign keys, so that erasing a name touches no row.
    """

    person_key = models.UUIDField(db_index=True)
    device_key = models.UUIDField(null=True, blank=True)
    there_at = models.DateTimeField("when it was done")
    here_at = models.DateTimeField("when it reached us")
    action = models.CharField(max_length=40)
    before = models.JSONField(default=dict, blank=True, encoder=DjangoJSONEncoder)
    after = models.JSONField(default=dict, blank=True, encoder=DjangoJSONEncoder)
    why = models.TextField(blank=True)
    import_key = models.UUIDField(null=True, blank=True, db_index=True)

    class Meta:
        ordering: ClassVar = ["-there_at", "-pk"]
        indexes: ClassVar = [models.Index(fields=["barn", "-there_at"], name="journal_by_barn_and_time")]
        verbose_name_plural = "journal entries"

    def __str__(self) -> str:
        return f"{self.action} {self.there_at:%Y-%m-%d %H:%M}"


class SubjectKind(models.TextChoices):
    HORSE = "horse", _("Horse")
    BLANKET = "blanket", _("Blanket")
    PERSON = "person", _("Person")
    BARN = "barn", _("Barn")


class JournalSubject(models.Model):
    """Whom or what an entry is about; the label stays readable when the thing is gone."""

    entry = models.ForeignKey(JournalEntry, on_delete=models.PROTECT, related_name="subjects")
    kind = models.CharField(max_length=8, choices=SubjectKind)
    subject_id = models.BigIntegerField()
    label = models.CharField(max_length=120)

    class Meta:
        ordering: ClassVar = ["pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["entry", "kind", "subject_id"], name="journal_subject_once"),
        ]
        indexes: ClassVar = [models.Index(fields=["kind", "subject_id"], name="journal_by_subject")]

    def __str__(self) -> str:
        return self.label
