"""Which blankets, and their four answers: where, wet, clean, sound; derived from wearings, placings and care jobs."""

from datetime import datetime, timedelta
from typing import Self

from django.db.models import Case, CharField, Exists, F, IntegerField, OuterRef, Q, QuerySet, Subquery, Value, When

from barnrugs.barns.models import Barn
from barnrugs.matching.words import State
from inventory.enums import CareKind, CareStep, Clean, Keeping, Sound, Wet, Where
from inventory.models import Blanket, CareJob, Placing, Wearing
from inventory.models.care import OFF_SITE
from inventory.queries import care

GONE = (Where.LOST, Where.RETIRED)


def of(barn: Barn) -> "BlanketQuerySet":
    return BlanketQuerySet(Blanket).filter(barn=barn)


FARTHEST = (*OFF_SITE, CareStep.BACK, CareStep.BAGGED, CareStep.LOST)
"""Where open work has a blanket, the farthest first: with several jobs, the first of these says where it is."""


def _how_far() -> Case:
    return Case(
        *(When(step=step, then=Value(place)) for place, step in enumerate(FARTHEST)), output_field=IntegerField()
    )


def _word(value: str) -> Value:
    return Value(value, output_field=CharField())


class BlanketQuerySet(QuerySet[Blanket]):
    def with_condition(self, barn: Barn, at: datetime) -> Self:
        """Adds where, wet, clean, sound, state (the matching's word), and what they were derived from, as of `at`."""
        return self._with_sources(barn, at)._with_answers()

    def kept(self) -> Self:
        """Without the lost and the retired; needs with_condition."""
        return self.exclude(where__in=GONE)

    def not_retired(self) -> Self:
        """The lost ones too: somebody may find one; needs with_condition."""
        return self.exclude(where=Where.RETIRED)

    def _with_sources(self, barn: Barn, at: datetime) -> Self:
        wearing = Wearing.objects.filter(blanket=OuterRef("pk"), off_at__isnull=True)
        placing = Placing.objects.filter(blanket=OuterRef("pk"), until__isnull=True)
        jobs = CareJob.objects.filter(blanket=OuterRef("pk"), closed_at__isnull=True)
        handed_over = jobs.filter(step__in=FARTHEST).order_by(_how_far(), "-reported_at")
        still_wet = placing.filter(kind=Keeping.DRYING, since__gt=at - timedelta(hours=barn.drying_hours))
        return self.annotate(
            horse_now_id=Subquery(wearing.values("horse_id")[:1]),
            horse_now=Subquery(wearing.values("horse__name")[:1]),
            soaked_at=Subquery(wearing.values("soaked_at")[:1]),
            placing_kind=Subquery(placing.values("kind")[:1]),
            placing_place=Subquery(placing.values("place")[:1]),
            placing_since=Subquery(placing.values("since")[:1]),
            lent_to=Subquery(placing.filter(kind=Keeping.LENT).values("to_whom")[:1]),
            back_due_on=Subquery(placing.values("due_on")[:1]),
            care_step=Subquery(handed_over.values("step")[:1]),
            care_with=Subquery(handed_over.values("sent_to")[:1]),
            is_drying=Exists(still_wet),
            was_soaked=Exists(still_wet.filter(soaked=True)),
            wash_due=Exists(jobs.filter(kind=CareKind.WASH)),
            repair_due=Exists(jobs.filter(kind=CareKind.REPAIR)),
            leaks=care.leaks(OuterRef("pk")),
            proofing_due=care.proofing_due(jobs, barn, at),
            is_unsafe=Exists(jobs.filter(do_not_use=True)),
            fixed_until=Subquery(
                jobs.filter(temporary_fix_until__isnull=False)
                .order_by("temporary_fix_until")
                .values("temporary_fix_until")[:1]
            ),
        )

    def _with_answers(self) -> Self:
        return self.annotate(
            where=Case(
                When(horse_now_id__isnull=False, then=_word(Where.ON_HORSE)),
                When(placing_kind__in=GONE, then=F("placing_kind")),
                When(care_step=CareStep.LOST, then=_word(Where.LOST)),
                When(care_step=CareStep.BAGGED, then=_word(Where.BAGGED)),
                When(care_step=CareStep.BACK, then=_word(Where.UNCHECKED)),
                When(care_step__in=OFF_SITE, then=_word(Where.AWAY)),
                When(Q(placing_kind=Keeping.DRYING, is_drying=False), then=_word(Where.RACK)),
                When(placing_kind__isnull=False, then=F("placing_kind")),
                default=_word(Where.RACK),
                output_field=CharField(),
            ),
            wet=Case(
                When(Q(soaked_at__isnull=False) | Q(was_soaked=True), then=_word(Wet.SOAKED)),
                When(is_drying=True, then=_word(Wet.DRYING)),
                default=_word(Wet.DRY),
                output_field=CharField(),
            ),
            clean=Case(When(wash_due=True, then=_word(Clean.WASH_DUE)), default=_word(Clean.CLEAN)),
            sound=Case(
                When(is_unsafe=True, then=_word(Sound.DO_NOT_USE)),
                When(fixed_until__isnull=False, then=_word(Sound.TEMPORARY_FIX)),
                When(repair_due=True, then=_word(Sound.REPAIR_DUE)),
                default=_word(Sound.SOUND),
            ),
            state=Case(
                When(is_unsafe=True, then=_word(State.DO_NOT_USE)),
                When(Q(where=Where.RACK, wet=Wet.DRY), then=_word(State.READY)),
                When(where=Where.RACK, then=_word(State.DRYING)),
                default=F("where"),
                output_field=CharField(),
            ),
        )
