"""Which horses, and what is known of each on a day."""

from datetime import date
from decimal import Decimal
from typing import Self

from django.db.models import F, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from barnrugs.barns.models import Barn, JournalEntry, Person
from barnrugs.barns.models.journal import SubjectKind
from barnrugs.matching.words import Need
from horses.enums import Clip, Presence
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, PaddockStay

OF_THE_BARN = (Presence.HERE, Presence.AWAY, Presence.LAID_UP)
EDITS = ("horse_changed", "horse_noted", "vet_noted", "horse_edit_taken_back")


def today_in(barn: Barn) -> date:
    return timezone.localdate(timezone=barn.zone)


def current(today: date) -> Q:
    """Of a stay, an ownership, a leave: its last day is not over."""
    return Q(since__lte=today) & (Q(until__isnull=True) | Q(until__gte=today))


def of(barn: Barn) -> "HorseQuerySet":
    return HorseQuerySet(Horse).filter(barn=barn)


def conditions(today: date) -> QuerySet[Condition]:
    """Those that count on the day, the last first."""
    return Condition.objects.filter(on__lte=today).order_by("-on", "-pk")


def condition_of(horse: Horse, today: date) -> Decimal | None:
    return conditions(today).filter(horse=horse).values_list("score", flat=True).first()


class HorseQuerySet(QuerySet[Horse]):
    def of_the_barn(self) -> Self:
        """Without the sold and the dead."""
        return self.filter(presence__in=OF_THE_BARN)

    def with_now(self, today: date) -> Self:
        """Adds its paddock, clip, size line, condition and the day of its last measurement, as of the day."""
        stays = PaddockStay.objects.filter(current(today), horse=OuterRef("pk")).order_by("-since", "-pk")
        coats = Coat.objects.filter(horse=OuterRef("pk"), on__lte=today).order_by("-on", "-pk")
        sizes = sized(today).filter(horse=OuterRef("pk"))
        return self.annotate(
            paddock_now_id=Subquery(stays.values("paddock_id")[:1]),
            paddock_now=Subquery(stays.values("paddock__name")[:1]),
            clip_now=Subquery(coats.values("clip")[:1]),
            size_cm=Subquery(sizes.values("chest_to_tail_cm")[:1]),
            measured_on=Subquery(sizes.values("on")[:1]),
            condition_now=Subquery(conditions(today).filter(horse=OuterRef("pk")).values("score")[:1]),
        )

    def in_paddock(self, paddock_id: int) -> Self:
        """Needs with_now."""
        return self.filter(paddock_now_id=paddock_id)

    def clipped_as(self, clip: str) -> Self:
        """Needs with_now; a horse whose coat nobody noted is not clipped."""
        wanted = Q(clip_now=clip) | Q(clip_now__isnull=True) if clip == Clip.NONE else Q(clip_now=clip)
        return self.filter(wanted)

    def held_by(self, person: Person | int, today: date) -> Self:
        return self.filter(pk__in=HorseOwner.objects.filter(current(today), person=person).values("horse_id"))

    def in_need(self, need: str) -> Self:
        """Of one of the needs, of any, or of being covered whatever the rule."""
        if need == "covered":
            return self.filter(must_be_covered=True)
        wanted = Q()
        for word in [need] if need in set(Need) else list(Need):
            wanted |= Q(**{str(word): True})
        return self.filter(wanted)


def sized(today: date) -> QuerySet[Measurement]:
    """Measurements of a size line, the latest first."""
    return Measurement.objects.filter(
        Q(chest_to_tail_cm__isnull=False) | Q(back_length_cm__isnull=False), on__lte=today
    ).order_by("-on", "-pk")


def last_place(barn: Barn) -> int:
    horse = Horse.objects.filter(barn=barn).order_by(F("walk_order").desc()).first()
    return horse.walk_order if horse else 0


def edits_of(horse: Horse) -> QuerySet[JournalEntry]:
    """Edits of this horse that can be taken back, the latest first."""
    return JournalEntry.objects.filter(
        barn_id=horse.barn_id, action__in=EDITS, subjects__kind=SubjectKind.HORSE, subjects__subject_id=horse.pk
    ).order_by("-pk")


def was_measured(barn: Barn) -> bool:
    """Whether every horse that is here has a size line, and there is a horse at all."""
    here = of(barn).filter(presence=Presence.HERE)
    sized_ids = Measurement.objects.filter(barn=barn, chest_to_tail_cm__isnull=False).values("horse_id")
    return here.exists() and not here.exclude(pk__in=sized_ids).exists()


def has_horses(barn: Barn) -> bool:
    return of(barn).of_the_barn().exists()
