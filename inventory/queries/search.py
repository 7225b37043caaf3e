"""Which blankets of the inventory a person asks for, and in which order. Needs the annotations of with_condition."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Final

from django.db.models import F, Max, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce, TruncDate

from barnrugs.matching.strength import HEAVY_FROM_G, LIGHT_TO_G, FillWord
from inventory.enums import CareKind, CareStep, CheckOutcome, Kind, Where
from inventory.models import CareJob, Picture

SIZE_WITHIN_IN: Final = Decimal("0.5")
SIZE_WITHIN_CM: Final = Decimal(1)

BARNS_OWN: Final = "barn"
NOBODYS: Final = "none"
NOT_HERE: Final = (Where.AWAY, Where.HOME, Where.LENT, Where.LOST)

FILLS: Final = {
    FillWord.SHEET: Q(fill_g=0),
    FillWord.LIGHT: Q(fill_g__gt=0, fill_g__lte=LIGHT_TO_G),
    FillWord.MEDIUM: Q(fill_g__gt=LIGHT_TO_G, fill_g__lt=HEAVY_FROM_G),
    FillWord.HEAVY: Q(fill_g__gte=HEAVY_FROM_G),
}

ORDERS: Final[Mapping[str, Sequence[Any]]] = {
    "tag": ["tag"],
    "horse": [F("usual_horse__walk_order").asc(nulls_last=True), "usual_horse__name", "-fill_g", "tag"],
    "kind": ["kind", "-fill_g", "tag"],
    "fill": ["-fill_g", "tag"],
    "size": [F("size_in").asc(nulls_last=True), F("size_back_cm").asc(nulls_last=True), "tag"],
    "where": ["where", "horse_now", "tag"],
    "washed": [F("washed_at").asc(nulls_first=True), "tag"],
    "proofed": [F("last_proofed_on").asc(nulls_first=True), "tag"],
}


@dataclass(frozen=True)
class Asked:
    """What the list is narrowed to; an empty part narrows nothing."""

    words: str = ""
    kinds: Sequence[str] = ()
    fills: Sequence[str] = ()
    waterproofing: Sequence[str] = ()
    where: Sequence[str] = ()
    wet: Sequence[str] = ()
    clean: Sequence[str] = ()
    sound: Sequence[str] = ()
    size_in: Decimal | None = None
    size_back_cm: Decimal | None = None
    owners: Sequence[str] = ()
    horses: Sequence[str] = ()
    proofing_due: bool = False
    order: str = field(default="tag")


def narrowed(blankets: "QuerySet[Any]", asked: Asked) -> "QuerySet[Any]":
    found = blankets if asked.where else blankets.exclude(where=Where.RETIRED)
    for condition in _conditions(asked):
        found = found.filter(condition)
    return found.order_by(*ORDERS[asked.order])


def _conditions(asked: Asked) -> list[Q]:
    among = {
        "kind__in": asked.kinds,
        "waterproofing__in": asked.waterproofing,
        "where__in": asked.where,
        "wet__in": asked.wet,
        "clean__in": asked.clean,
        "sound__in": asked.sound,
    }
    conditions = [Q(**{name: values}) for name, values in among.items() if values]
    conditions += [_any_of(FILLS[FillWord(fill)] for fill in asked.fills)] if asked.fills else []
    conditions += [_owned_by(asked.owners)] if asked.owners else []
    conditions += [_meant_for(asked.horses)] if asked.horses else []
    conditions += [_sized(asked)] if asked.size_in or asked.size_back_cm else []
    conditions += [Q(proofing_due=True)] if asked.proofing_due else []
    return conditions + [_says(word) for word in asked.words.split()]


def _any_of(conditions: Any) -> Q:
    either = Q()
    for condition in conditions:
        either |= condition
    return either


def _owned_by(owners: Sequence[str]) -> Q:
    people = [owner for owner in owners if owner != BARNS_OWN]
    barns = Q(owner__isnull=True) if BARNS_OWN in owners else Q()
    return (Q(owner__in=people) | barns) if people else barns


def _meant_for(horses: Sequence[str]) -> Q:
    """Usually worn by the horse, or worn by it now."""
    named = [horse for horse in horses if horse != NOBODYS]
    nobodys = Q(usual_horse__isnull=True) if NOBODYS in horses else Q()
    return (Q(usual_horse__in=named) | Q(horse_now_id__in=named) | nobodys) if named else nobodys


def _sized(asked: Asked) -> Q:
    if asked.size_in:
        return Q(size_in__range=(asked.size_in - SIZE_WITHIN_IN, asked.size_in + SIZE_WITHIN_IN))
    cm = asked.size_back_cm or Decimal(0)
    return Q(size_back_cm__range=(cm - SIZE_WITHIN_CM, cm + SIZE_WITHIN_CM))


def _says(word: str) -> Q:
    """A word of the search box: part of a tag, a name, a kind, a weight word, grams, a colour, a place."""
    text = word.strip(",;")
    said = Q(tag__icontains=text) | Q(looks__icontains=text) | Q(note__icontains=text)
    said |= Q(usual_horse__name__icontains=text) | Q(horse_now__icontains=text) | Q(owner__name__icontains=text)
    said |= Q(rack__icontains=text) | Q(storage_place__icontains=text) | Q(placing_place__icontains=text)
    said |= Q(kind__in=[kind for kind in Kind if text.lower() in str(kind.label).lower()])
    said |= _any_of(condition for fill, condition in FILLS.items() if text.lower() == fill.value)
    grams = text.lower().removesuffix("g")
    return said | Q(fill_g=int(grams)) if grams.isascii() and grams.isdigit() and len(grams) < 4 else said


def with_looks(blankets: "QuerySet[Any]") -> "QuerySet[Any]":
    """Adds the newest picture, and when it was last washed and proofed."""
    pictures = Picture.objects.filter(blanket=OuterRef("pk"), removed_at__isnull=True).order_by("-at", "-pk")
    jobs = CareJob.objects.filter(blanket=OuterRef("pk"), step=CareStep.CHECKED, outcome=CheckOutcome.DONE)
    washed = jobs.filter(kind=CareKind.WASH).order_by().values("blanket").annotate(last=Max("closed_at"))
    proofed = jobs.filter(kind=CareKind.WATERPROOFING).order_by().values("blanket").annotate(last=Max("closed_at"))
    return blankets.select_related("usual_horse", "owner").annotate(
        picture_id=Subquery(pictures.values("pk")[:1]),
        washed_at=Subquery(washed.values("last")),
        last_proofed_on=Coalesce(F("proofed_on"), TruncDate(Subquery(proofed.values("last")))),
    )
