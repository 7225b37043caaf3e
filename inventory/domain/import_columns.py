"""What the columns and words of a list mean: told by its headings, by what the barn said before, or by hand."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.columns import headings
from inventory.columns.base import LONGEST_WORD, plain
from inventory.enums import ImportStep
from inventory.models import ImportRun, ImportWord
from inventory.queries import imports as queries
from inventory.sheets.table import Line

SAMPLES: Final = 3


def locked(run: ImportRun) -> ImportRun:
    return ImportRun.objects.select_for_update(of=("self",)).select_related("barn").get(pk=run.pk)


def asking(run: ImportRun) -> ImportRun:
    """The run as it stands, locked. Refused once it is confirmed or dropped."""
    run = locked(run)
    if run.step != ImportStep.ASKING:
        raise Refused(_("This list is no longer to be looked through: %(step)s.") % {"step": run.get_step_display()})
    return run


def told_columns(lines: Sequence[Line], heading: int, what: str, taught: Mapping[str, str]) -> list[dict[str, Any]]:
    """Every column that has a heading or holds something below it; field None where nobody knows what it is."""
    place = next((place for place, line in enumerate(lines) if line.number == heading), 0)
    above = lines[place - 1].cells if place else ()
    below = lines[place + 1 :]
    texts = headings.headings_of(lines[place].cells, above, what, taught)
    width = max((len(line.cells) for line in below), default=0)
    texts += [""] * (width - len(texts))
    fields = headings.assign(texts, what, taught)
    samples = _samples(below, len(texts))
    return [
        {"place": place, "heading": text, "field": field, "samples": samples[place]}
        for place, (text, field) in enumerate(zip(texts, fields, strict=True))
        if text or samples[place]
    ]


def _samples(lines: Sequence[Line], width: int) -> list[list[str]]:
    found: list[list[str]] = [[] for _place in range(width)]
    for line in lines:
        for place, cell in enumerate(line.cells):
            if cell and len(found[place]) < SAMPLES and cell not in found[place]:
                found[place].append(cell[:60])
    return found


@transaction.atomic
def set_heading(run: ImportRun, *, number: int, actor: Actor) -> ImportRun:
    """The headings stand in another line: columns are told anew from there."""
    run = asking(run)
    lines = [Line(number, tuple(cells)) for number, cells in run.lines.values_list("number", "cells")]
    if number not in {line.number for line in lines}:
        raise Refused(_("Line %(line)d holds nothing.") % {"line": number}, field="heading")
    taught = queries.headings_taught(run.barn, run.what)
    run.columns = told_columns(lines, number, run.what, taught)
    run.choices = {**run.choices, "heading": number}
    run.line_count = sum(line.number > number for line in lines)
    run.checked_to = 0
    run.save(update_fields=["columns", "choices", "line_count", "checked_to"])
    journal.write(actor, "import_columns_set", about=[run.barn], after={"file": run.file_name, "heading": number})
    return run


@transaction.atomic
def set_columns(run: ImportRun, *, fields: Sequence[str], choices: Mapping[str, str], actor: Actor) -> ImportRun:
    """Which column is which, empty for one that is left out; what differs from our own guess is remembered."""
    run = asking(run)
    taught = queries.headings_taught(run.barn, run.what)
    named = [field for field in fields if field]
    if len(set(named)) < len(named):
        raise Refused(_("Two columns are taken for the same."))
    run.columns = [{**told, "field": field} for told, field in zip(run.columns, fields, strict=True)]
    for told in run.columns:
        if told["heading"] and headings.name_of(told["heading"], run.what, taught) != told["field"]:
            _teach(run, "", plain(told["heading"]), told["field"])
    run.choices = {**run.choices, **choices}
    run.checked_to = 0
    run.save(update_fields=["columns", "choices", "checked_to"])
    journal.write(
        actor,
        "import_columns_set",
        about=[run.barn],
        after={"file": run.file_name, "columns": {told["heading"]: told["field"] for told in run.columns}, **choices},
    )
    return run


@transaction.atomic
def tell_words(run: ImportRun, *, meanings: Mapping[tuple[str, str], str | None], actor: Actor) -> ImportRun:
    """What words of the list mean, by column and word, None to forget it; kept for the barn's next lists."""
    run = asking(run)
    if not meanings:
        raise Refused(_("No word was explained."))
    for (field, word), meaning in meanings.items():
        _teach(run, field, word, meaning)
    run.checked_to = 0
    run.save(update_fields=["checked_to"])
    told = "; ".join(
        f"{word}: {'?' if meaning is None else meaning or '-'}" for (_field, word), meaning in meanings.items()
    )
    journal.write(actor, "import_words_told", about=[run.barn], after={"file": run.file_name, "words": told})
    return run


def _teach(run: ImportRun, field: str, word: str, meaning: str | None) -> None:
    if not word or len(word) > LONGEST_WORD:
        return
    known: dict[str, Any] = {"barn": run.barn, "what": run.what, "field": field, "word": word}
    if meaning is None:
        ImportWord.objects.filter(**known).delete()
    else:
        ImportWord.objects.update_or_create(**known, defaults={"meaning": meaning})
