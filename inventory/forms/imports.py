"""Sending a list, naming its columns, saying what its words mean, confirming it."""

import hashlib
from collections.abc import Iterator, Sequence
from typing import Any, Final

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.layout import DayField
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Person
from horses.enums import SizeSystem
from horses.models import Horse, Paddock
from horses.queries.horse import OF_THE_BARN
from inventory.columns import headings
from inventory.columns.base import BadCell, Column, Reading
from inventory.enums import ImportWhat, Waterproofing
from inventory.models import ImportRun
from inventory.sheets import reading as sheets
from inventory.sheets.table import MOST_BYTES, NotASheet, Table, letter

UNDECIDED: Final = "?"
NOTHING: Final = "-"
"""In a choice: the column is left out, the word stands for an empty cell."""
PICTURES: Final = (".jpg", ".jpeg", ".png", ".gif", ".webp", ".heic", ".heif", ".bmp", ".tif", ".tiff", ".svg")
"""A list under such a name was taken by mistake, whatever is in it."""
MOST_CHOICES: Final = 200
"""Of more people or horses than this one types the name."""


class SendForm(OnceForm):
    """Reads the file while it is validated: `table` then holds it."""

    file = forms.FileField(
        label=gettext_lazy("Spreadsheet"),
        help_text=gettext_lazy("An Excel workbook (.xlsx) or a CSV file, up to 10 MB and 20,000 lines."),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.txt,.tsv,.xlsx"}),
    )
    table: Table
    sha: str

    def clean_file(self) -> UploadedFile:
        file: UploadedFile = self.cleaned_data["file"]
        if file.size and file.size > MOST_BYTES:
            raise forms.ValidationError(_("This file is larger than %(most)d MB.") % {"most": MOST_BYTES // 1024**2})
        if str(file.name).lower().endswith(PICTURES):
            raise forms.ValidationError(
                _("“%(name)s” has the name of a picture. Send an Excel workbook (.xlsx) or a CSV file.")
                % {"name": str(file.name)[-60:]}
            )
        try:
            self.table = sheets.read(file)
        except NotASheet as fault:
            raise forms.ValidationError(str(fault)) from fault
        digest = hashlib.sha256()
        for chunk in file.chunks():
            digest.update(chunk)
        self.sha = digest.hexdigest()
        return file


class ColumnsForm(OnceForm):
    """A choice for each column of the file, and how the list is read where it does not say itself."""

    heading = forms.IntegerField(
        label=gettext_lazy("The headings stand in line"),
        min_value=1,
        help_text=gettext_lazy("With another line, the columns are looked at again from there."),
    )
    existing = forms.ChoiceField(
        label=gettext_lazy("What is here already, by its tag or name"),
        choices=[
            ("change", gettext_lazy("is changed to what the list says")),
            ("refuse", gettext_lazy("stays as it is: the line is refused")),
        ],
        widget=forms.RadioSelect,
        help_text=gettext_lazy("Empty cells never change anything."),
    )
    size_system = forms.ChoiceField(
        label=gettext_lazy("Sizes without a unit are"),
        choices=SizeSystem.choices,
        help_text=gettext_lazy("A unit in the cell itself goes before this."),
    )
    date_order = forms.ChoiceField(
        label=gettext_lazy("Days like 03/04/2026"),
        choices=[
            ("ask", gettext_lazy("there are none, or they are shown as faults")),
            ("month", gettext_lazy("have the month first")),
            ("day", gettext_lazy("have the day first")),
        ],
    )
    twins = forms.ChoiceField(
        label=gettext_lazy("Lines that are the same as an earlier one, without a tag"),
        choices=[
            ("ask", gettext_lazy("are shown as faults")),
            ("each", gettext_lazy("are another blanket just like it")),
            ("skip", gettext_lazy("are left out")),
        ],
    )
    turnouts = forms.ChoiceField(
        label=gettext_lazy("Turnouts and rain sheets without a word on waterproofing"),
        choices=[("ask", gettext_lazy("are shown as faults")), *Waterproofing.choices],
        help_text=gettext_lazy("Only what is entered as waterproof is offered for rain."),
    )
    mass_unit = forms.ChoiceField(
        label=gettext_lazy("Body mass without a unit is in"),
        choices=[("kg", gettext_lazy("kilograms")), ("lb", gettext_lazy("pounds"))],
    )
    as_of = DayField(
        label=gettext_lazy("Sizes, clips and condition are as of"),
        help_text=gettext_lazy("The day on which they were taken, where a line has none of its own."),
    )

    ONLY: Final = {ImportWhat.HORSES: ("mass_unit", "as_of"), ImportWhat.BLANKETS: ("twins", "turnouts")}

    def __init__(self, data: Any, *, run: ImportRun, today: Any) -> None:
        initial = {"date_order": "ask", "twins": "ask", "turnouts": "ask", "existing": "change", **run.choices}
        super().__init__(data, initial=initial)
        self.run = run
        self.today = today
        for what, names in self.ONLY.items():
            for name in names if what != run.what else ():
                del self.fields[name]
        known = [(column.name, column.label) for column in headings.COLUMNS[run.what]]
        for told in run.columns:
            self.fields[f"column_{told['place']}"] = forms.ChoiceField(
                label=_("Column %(letter)s: %(heading)s")
                % {"letter": letter(told["place"]), "heading": told["heading"] or _("no heading")},
                choices=[(UNDECIDED, _("choose")), (NOTHING, _("leave it out")), *known],
                initial=UNDECIDED if told["field"] is None else told["field"] or NOTHING,
                help_text=_("For example: %(samples)s") % {"samples": " · ".join(told["samples"]) or "-"},
            )

    def clean_as_of(self) -> Any:
        day = self.cleaned_data["as_of"]
        if day > self.today:
            raise forms.ValidationError(_("This day is still to come."))
        return day

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or {}
        taken: dict[str, str] = {}
        if not self.moves_heading:
            for name in self._columns():
                self._clean_column(name, values.get(name, ""), taken)
        return values

    def _clean_column(self, name: str, field: str, taken: dict[str, str]) -> None:
        if field == UNDECIDED:
            self.add_error(name, _("What is in this column? Choose, or leave it out."))
        elif field not in {NOTHING, ""}:
            if field in taken:
                self.add_error(name, _("Another column is taken for the same."))
            taken[field] = name

    @property
    def moves_heading(self) -> bool:
        return self.cleaned_data.get("heading", self.run.choices["heading"]) != self.run.choices["heading"]

    def _columns(self) -> list[str]:
        return [f"column_{told['place']}" for told in self.run.columns]

    def column_fields(self) -> list[BoundField]:
        return [self[name] for name in self._columns()]

    def choice_fields(self) -> list[BoundField]:
        return [field for field in self.visible_fields() if not field.name.startswith("column_")]

    def named(self) -> list[str]:
        return [_emptied(self.cleaned_data[name]) for name in self._columns()]

    def choices(self) -> dict[str, str]:
        names = ("existing", "size_system", "date_order", "twins", "turnouts", "mass_unit", "as_of")
        return {name: str(self.cleaned_data[name]) for name in names if name in self.cleaned_data}


class WordsForm(OnceForm):
    """A field for each word that the list asks about or that was explained before; an emptied one is asked again."""

    def __init__(self, data: Any, *, run: ImportRun, asked: Sequence[tuple[str, str]], reading: Reading) -> None:
        super().__init__(data)
        self.asked = {f"word_{_short(field, word)}": (field, word) for field, word in asked}
        self.reading = reading
        self.columns = headings.columns(run.what)
        for name, (field, word) in self.asked.items():
            self.fields[name] = self._field(run, self.columns[field], word)

    def _field(self, run: ImportRun, column: Column, word: str) -> forms.Field:
        label = _("%(column)s: “%(word)s”") % {"column": column.label, "word": word}
        initial = self.reading.words.get((column.name, word))
        if column.asked == "grams":
            return forms.CharField(label=label, required=False, max_length=10, initial=initial, help_text=_("Grams."))
        choices = list(column.choices) if column.asked == "choice" else _things(run, column.asked)
        if len(choices) > MOST_CHOICES:
            return forms.CharField(label=label, required=False, max_length=80, help_text=_("The name it has here."))
        told = NOTHING if initial == "" else initial
        return forms.ChoiceField(
            label=label,
            required=False,
            initial=told,
            choices=[("", _("ask again")), (NOTHING, _("the same as an empty cell")), *choices],
        )

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or {}
        for name, (field, _word) in self.asked.items():
            if values.get(name) and not isinstance(self.fields[name], forms.ChoiceField):
                self._clean_typed(name, self.columns[field], values[name])
        return values

    def _clean_typed(self, name: str, column: Column, typed: str) -> None:
        try:
            meant = column.read(typed, self.reading)
        except BadCell as bad:
            self.add_error(name, str(bad))
        else:
            self.cleaned_data[name] = f"#{meant.pk}" if hasattr(meant, "pk") else str(meant)

    def meanings(self) -> dict[tuple[str, str], str | None]:
        """What was answered otherwise than before; None for what is to be asked again."""
        told = {asked: self.cleaned_data.get(name) or None for name, asked in self.asked.items()}
        answered = {asked: None if meaning is None else _emptied(meaning) for asked, meaning in told.items()}
        return {asked: meaning for asked, meaning in answered.items() if self.reading.words.get(asked) != meaning}

    def questions(self) -> Iterator[BoundField]:
        return (self[name] for name, asked in self.asked.items() if asked not in self.reading.words)

    def explained(self) -> Iterator[BoundField]:
        return (self[name] for name, asked in self.asked.items() if asked in self.reading.words)


def _emptied(meaning: str) -> str:
    return "" if meaning == NOTHING else meaning


def _short(field: str, word: str) -> str:
    return hashlib.sha256(f"{field}|{word}".encode()).hexdigest()[:12]


def _things(run: ImportRun, asked: str) -> list[tuple[str, str]]:
    """People, horses or paddocks of the barn, answered by number."""
    found: dict[str, Any] = {
        "person": Person.objects.filter(barn=run.barn_id, left_at__isnull=True),
        "horse": Horse.objects.filter(barn=run.barn_id, presence__in=OF_THE_BARN).order_by("name"),
        "paddock": Paddock.objects.filter(barn=run.barn_id),
    }
    own = [("barn", _("the barn's own"))] if asked == "person" and run.what == ImportWhat.BLANKETS else []
    return own + [(f"#{thing.pk}", thing.name) for thing in found[asked]]


class ConfirmForm(OnceForm):
    """good: how many lines the page showed as good."""

    good = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
