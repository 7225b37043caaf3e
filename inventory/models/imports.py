import uuid
from typing import ClassVar

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from barnrugs.barns.models import BarnOwned, Person
from inventory.enums import ImportStep, ImportWhat, LineFate


class ImportRun(BarnOwned):
    """A spreadsheet that somebody sent: staged line by line, looked through, confirmed, then written in chunks.

    key: the import key of the journal's entries. columns: for each column of the file its heading and the field it is
    taken for, empty where left out. choices: how this file is to be read.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    once = models.UUIDField("number of the form that sent it")
    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    what = models.CharField(max_length=8, choices=ImportWhat)
    file_name = models.CharField(max_length=120)
    sha = models.CharField("SHA-256 of the file", max_length=64)
    columns = models.JSONField(default=list)
    choices = models.JSONField(default=dict)
    step = models.CharField(max_length=10, choices=ImportStep, default=ImportStep.STAGING)
    line_count = models.PositiveIntegerField(default=0)
    checked_to = models.PositiveIntegerField("looked through up to this line", default=0)
    begun_at = models.DateTimeField()
    confirmed_at = models.DateTimeField(null=True, blank=True)
    confirmed_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["-begun_at", "-pk"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["person", "once"], name="import_run_once")]

    def __str__(self) -> str:
        return self.file_name


class ImportLine(BarnOwned):
    """One line of the file: its cells as text, what is wrong with it, and what becomes of it.

    number: the line in the file, from 1. twin_of: an earlier line with the same cells. faults: for each the column's
    place or None, a sentence, and the word that is asked about or nothing. changes: for each column the value before
    and the value after.
    """

    run = models.ForeignKey(ImportRun, on_delete=models.CASCADE, related_name="lines")
    number = models.PositiveIntegerField("line in the file")
    cells = models.JSONField(default=list)
    twin_of = models.PositiveIntegerField(null=True, blank=True)
    fate = models.CharField(max_length=8, choices=LineFate, default=LineFate.UNREAD)
    faults = models.JSONField(default=list)
    changes = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    label = models.CharField("tag or name", max_length=60, blank=True)
    record_id = models.BigIntegerField("the horse or blanket written", null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["number"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["run", "number"], name="import_line_once")]
        indexes: ClassVar = [models.Index(fields=["run", "fate", "number"], name="import_line_by_fate")]

    def __str__(self) -> str:
        return f"{self.run}, line {self.number}"


class ImportWord(BarnOwned):
    """What a barn's own headings and words mean, once somebody has said so. field: empty for a heading."""

    what = models.CharField(max_length=8, choices=ImportWhat)
    field = models.CharField(max_length=30, blank=True)
    word = models.CharField("heading or word, in small letters", max_length=80)
    meaning = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering: ClassVar = ["field", "word"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["barn", "what", "field", "word"], name="import_word_once")
        ]

    def __str__(self) -> str:
        return f"{self.word}: {self.meaning}"
