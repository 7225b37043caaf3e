"""Spreadsheets on their way in: runs, their lines, and what of the barn a line is compared with."""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from typing import Any

from django.db.models import Count, Model, QuerySet

from barnrugs.barns.models import Barn, Person
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, Paddock, PaddockStay
from horses.queries.horse import OF_THE_BARN, current, today_in
from inventory.columns.base import Choices, Reading, plain
from inventory.columns.horses import Known
from inventory.enums import ImportStep, LineFate
from inventory.models import Blanket, ImportLine, ImportRun, ImportWord

MOST_ASKED = 40
"""Words asked about on one page; answered ones make room for the next."""

WAITING = (LineFate.NEW, LineFate.CHANGE)
DONE = (LineFate.ADDED, LineFate.CHANGED, LineFate.REFUSED)


def runs(barn: Barn) -> QuerySet[ImportRun]:
    return ImportRun.objects.filter(barn=barn).exclude(step=ImportStep.DROPPED).select_related("person")


def lines(run: ImportRun) -> QuerySet[ImportLine]:
    """Those below the headings."""
    return ImportLine.objects.filter(run=run, number__gt=run.choices.get("heading", 0))


def counts(run: ImportRun) -> dict[str, int]:
    found = lines(run).order_by().values_list("fate").annotate(Count("pk"))
    return {**dict.fromkeys(LineFate.values, 0), **dict(found)}


def brought_in(run: ImportRun) -> list[int]:
    """The blankets, or horses, that a run added."""
    return [pk for pk in lines(run).filter(fate=LineFate.ADDED).values_list("record_id", flat=True) if pk]


def asked_words(run: ImportRun) -> list[tuple[str, str]]:
    """Column and word of each question that the lines leave open, the commonest first."""
    fields = {told["place"]: told["field"] for told in run.columns if told["field"]}
    asked: Counter[tuple[str, str]] = Counter()
    for faults in lines(run).filter(fate=LineFate.FAULTY).values_list("faults", flat=True):
        asked.update((fields[place], word) for place, _sentence, word in faults if word and place in fields)
    return [question for question, _count in asked.most_common(MOST_ASKED)]


def brought_in_before(run: ImportRun) -> ImportRun | None:
    """The same file, where it was brought in already."""
    same = ImportRun.objects.filter(barn=run.barn_id, what=run.what, sha=run.sha, step=ImportStep.FINISHED)
    return same.exclude(pk=run.pk).order_by("-finished_at").first()


def headings_taught(barn: Barn, what: str) -> dict[str, str]:
    found = ImportWord.objects.filter(barn=barn, what=what, field="")
    return dict(found.values_list("word", "meaning"))


def words_taught(barn: Barn, what: str) -> dict[tuple[str, str], str]:
    found = ImportWord.objects.filter(barn=barn, what=what).exclude(field="")
    return {(field, word): meaning for field, word, meaning in found.values_list("field", "word", "meaning")}


def reading(barn: Barn, what: str, choices: Choices) -> Reading:
    """Four queries."""
    return Reading(
        choices=choices,
        people=_by_name(Person.objects.filter(barn=barn, left_at__isnull=True)),
        horses=_by_name(Horse.objects.filter(barn=barn, presence__in=OF_THE_BARN).only("pk", "name", "barn_id")),
        paddocks=_by_name(Paddock.objects.filter(barn=barn)),
        words=words_taught(barn, what),
    )


def _by_name(things: Iterable[Any]) -> dict[str, list[Model]]:
    found: dict[str, list[Model]] = {}
    for thing in things:
        found.setdefault(plain(thing.name), []).append(thing)
    return found


def blankets_by_tag(barn: Barn, tags: Collection[str]) -> dict[str, Blanket]:
    found = Blanket.objects.filter(barn=barn, tag__in=tags).select_related("owner", "usual_horse")
    return {blanket.tag: blanket for blanket in found}


def with_known(barn: Barn, horses: Sequence[Horse]) -> list[Horse]:
    """Sets on each horse, as `known`, the latest of what is noted on a day; five queries for any number."""
    noted = {horse.pk: Known() for horse in horses}
    today = today_in(barn)
    for horse in horses:
        horse.known = noted[horse.pk]  # type: ignore[attr-defined]
    keys = list(noted)
    measured = Measurement.objects.filter(horse__in=keys, on__lte=today).exclude(
        chest_to_tail_cm__isnull=True, back_length_cm__isnull=True
    )
    for measurement in measured.order_by("on", "pk"):
        noted[measurement.horse_id].measurement = measurement
    for coat in Coat.objects.filter(horse__in=keys, on__lte=today).order_by("on", "pk"):
        noted[coat.horse_id].coat = coat
    for condition in Condition.objects.filter(horse__in=keys, on__lte=today).order_by("on", "pk"):
        noted[condition.horse_id].condition = condition
    for stay in PaddockStay.objects.filter(horse__in=keys, until__isnull=True).select_related("paddock"):
        noted[stay.horse_id].paddock = stay.paddock
    owned = HorseOwner.objects.filter(current(today), horse__in=keys, lessee=False).select_related("person")
    for owner in owned.order_by("since", "pk"):
        noted[owner.horse_id].owners += (owner.person,)
    return list(horses)


def labels_before(run: ImportRun, number: int, labels: Collection[str]) -> dict[str, int]:
    """Tags or names that a line before this one has: the first such line."""
    found = lines(run).filter(number__lt=number, label__in=labels).order_by("-number")
    return dict(found.values_list("label", "number"))
