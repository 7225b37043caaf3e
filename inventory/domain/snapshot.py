"""A barn read once, in a constant number of queries: its horses and what each wears or could wear, for the matching."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db.models import Prefetch, Q, QuerySet
from django.utils import timezone

from barnrugs.barns.models import Barn
from barnrugs.matching import coat, outfit, units, weather, words
from barnrugs.matching import horse as matching_horse
from horses.enums import OutPlan, Presence
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, PaddockStay
from inventory.models import FitNote, Leave, Wearing
from inventory.queries import blankets, wearings

MASS_UNKNOWN_KG = 500.0
"""What a horse is taken to weigh when nobody has weighed or taped it (A); the page says so."""

FOALED = (5, 1)
"""The day of the year on which a horse whose birth year alone is known is taken to be born (A)."""

MEASURED_COAT_DAYS = 45
"""A measured coat depth older than this gives way to the natural course of the coat (A)."""

DAY_OUT, DAY_IN = time(7), time(16)
MM_PER_IN = 25.4


@dataclass(frozen=True)
class Subject:
    """One horse with everything the advice needs, and what was assumed for want of a record."""

    horse: Horse
    value: matching_horse.Horse
    stay: PaddockStay | None
    wears: tuple[Wearing, ...]
    wardrobe: tuple[outfit.Blanket, ...]
    companions_chew: bool
    assumed: tuple[str, ...] = ()


@dataclass
class Snapshot:
    """What was read: blankets by tag with their condition, and the subjects in walking order."""

    barn: Barn
    at: datetime
    blankets: dict[str, Any] = field(default_factory=dict)
    subjects: list[Subject] = field(default_factory=list)

    def subject(self, horse: Horse) -> Subject:
        return next(subject for subject in self.subjects if subject.horse.pk == horse.pk)


def read(barn: Barn, at: datetime, *, only: Horse | None = None) -> Snapshot:
    """Reads every horse that is here, or one alone, with the blankets that could come into question."""
    today = timezone.localtime(at, barn.zone).date()
    every = list(_horses(barn, today, only))
    kept = list(blankets.of(barn).with_condition(barn, at).kept().select_related("owner"))
    fits = _fits(barn)
    leaves = _leaves(barn, today)
    worn: dict[int, list[Wearing]] = defaultdict(list)
    for wearing in wearings.open_in(barn):
        worn[wearing.horse_id].append(wearing)
    company = _company(barn)
    snapshot = Snapshot(barn, at, {blanket.tag: blanket for blanket in kept})
    for horse in every:
        owners = {owner.person_id for owner in horse.owners.all()}
        wears = tuple(worn[horse.pk])
        stay = next(iter(horse.stays.all()), None)
        chew, alone = _companions(horse, stay, company)
        value, assumed = _horse_value(horse, today, barn, wears, alone)
        snapshot.subjects.append(
            Subject(
                horse=horse,
                value=value,
                stay=stay,
                wears=wears,
                wardrobe=tuple(_wardrobe(horse, kept, owners, wears, fits, leaves)),
                companions_chew=chew,
                assumed=assumed,
            )
        )
    return snapshot


def _horses(barn: Barn, today: date, only: Horse | None) -> QuerySet[Horse]:
    current = Q(until__isnull=True) | Q(until__gte=today)
    found = Horse.objects.filter(barn=barn)
    found = found.filter(pk=only.pk) if only else found.filter(presence=Presence.HERE)
    return found.prefetch_related(
        Prefetch("owners", HorseOwner.objects.filter(current, since__lte=today).select_related("person")),
        Prefetch("measurements", Measurement.objects.filter(on__lte=today).order_by("-on", "-pk")),
        Prefetch("coats", Coat.objects.filter(on__lte=today).order_by("-on", "-pk")),
        Prefetch("conditions", Condition.objects.filter(on__lte=today).order_by("-on", "-pk")),
        Prefetch("stays", PaddockStay.objects.filter(current, since__lte=today).select_related("paddock")),
    )


def _fits(barn: Barn) -> dict[tuple[int, int], list[FitNote]]:
    fits: dict[tuple[int, int], list[FitNote]] = defaultdict(list)
    for note in FitNote.objects.filter(barn=barn, closed_on__isnull=True).order_by("on", "pk"):
        fits[note.blanket_id, note.horse_id].append(note)
    return fits


def _leaves(barn: Barn, today: date) -> set[tuple[int, int | None]]:
    current = Leave.objects.filter(Q(until__isnull=True) | Q(until__gte=today), barn=barn, since__lte=today)
    return set(current.values_list("blanket_id", "horse_id"))


def _company(barn: Barn) -> dict[int, list[tuple[int, bool]]]:
    """Horses now in each paddock, with whether they chew others' blankets."""
    company: dict[int, list[tuple[int, bool]]] = defaultdict(list)
    stays = PaddockStay.objects.filter(barn=barn, until__isnull=True, horse__presence=Presence.HERE)
    for paddock, horse, chews in stays.values_list("paddock_id", "horse_id", "horse__chews_others"):
        company[paddock].append((horse, chews))
    return company


def _companions(
    horse: Horse, stay: PaddockStay | None, company: dict[int, list[tuple[int, bool]]]
) -> tuple[bool, bool | None]:
    """Whether a paddock mate chews others' blankets, and whether the horse is alone (unknown without a paddock)."""
    if stay is None:
        return False, None
    mates = [chews for other, chews in company[stay.paddock_id] if other != horse.pk]
    return any(mates), not mates


def _horse_value(
    horse: Horse, today: date, barn: Barn, wears: Sequence[Wearing], alone: bool | None
) -> tuple[matching_horse.Horse, tuple[str, ...]]:
    condition = next(iter(horse.conditions.all()), None)
    mass, mass_known = _mass_kg(horse)
    depth, clip, clip_depth = coat_of(horse, today, southern=(barn.latitude or 0) < 0)
    sized = [m for m in horse.measurements.all() if m.chest_to_tail_cm or m.back_length_cm]
    measured = sized[0] if sized else None
    assumed = tuple(
        word
        for word, known in (
            ("mass", mass_known),
            ("condition", condition),
            ("size", measured),
            ("age", horse.birth_year),
        )
        if not known
    )
    value = matching_horse.Horse(
        mass_kg=mass,
        bcs=float(condition.score) if condition else 5.0,
        coat_depth_mm=depth,
        clip=clip,
        clip_depth_mm=clip_depth,
        feed=words.Feed(horse.feed),
        chest_to_tail_in=_inches(measured.chest_to_tail_cm) if measured else None,
        back_length_cm=_number(measured.back_length_cm) if measured else None,
        build=words.Build(horse.build),
        age_years=_age_years(horse, today),
        habits=_flags(horse, words.Habit),
        needs=_flags(horse, words.Need),
        liner=words.Lining(horse.liner_preference) if horse.liner_preference else None,
        on_now=tuple(wearing.blanket.tag for wearing in wears),
        measured_days_ago=(today - measured.on).days if measured else None,
        alone=alone,
    )
    return value, assumed


def coat_of(horse: Horse, today: date, *, southern: bool) -> tuple[float, words.Clip, float]:
    """Depth of the unclipped coat, clip, and depth where it is clipped, mm, from the latest records and the date."""
    coats = list(horse.coats.all())
    latest = coats[0] if coats else None
    natural = coat.natural_depth_mm(today, blanketed=horse.blanketed_since_autumn, southern=southern)
    measured = next((c for c in coats if c.depth_mm and (today - c.on).days <= MEASURED_COAT_DAYS), None)
    depth = float(measured.depth_mm) if measured and measured.depth_mm else natural
    clip = words.Clip(latest.clip) if latest else words.Clip.NONE
    clipped = next((c for c in coats if c.clipped_now), latest)
    grown = coat.regrown_depth_mm(clipped.on, today, depth, southern=southern) if clipped and clip != "none" else depth
    return depth, clip, grown


def _mass_kg(horse: Horse) -> tuple[float, bool]:
    if horse.mass_kg:
        return horse.mass_kg, True
    for measurement in horse.measurements.all():
        if measurement.girth_cm and measurement.body_length_cm:
            mass = units.mass_from_tape_kg(float(measurement.girth_cm), float(measurement.body_length_cm))
            return min(1100.0, max(35.0, mass)), True
    return MASS_UNKNOWN_KG, False


def _age_years(horse: Horse, today: date) -> float:
    if not horse.birth_year:
        return 9.0
    return max(0.0, (today - date(horse.birth_year, *FOALED)) / timedelta(days=365.25))


def _flags(horse: Horse, kind: type[Any]) -> frozenset[Any]:
    return frozenset(flag for flag in kind if getattr(horse, flag.value))


def _inches(cm: Any) -> float | None:
    return None if cm is None else round(float(cm) * 10 / MM_PER_IN, 1)


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


def _wardrobe(
    horse: Horse,
    kept: Iterable[Any],
    owners: set[int],
    wears: Sequence[Wearing],
    fits: dict[tuple[int, int], list[FitNote]],
    leaves: set[tuple[int, int | None]],
) -> Iterable[outfit.Blanket]:
    """What could come into question: its own, its owner's, the barn's own, with leave, and what it wears."""
    on_now = {wearing.blanket_id for wearing in wears}
    for blanket in kept:
        own = blanket.usual_horse_id == horse.pk or (blanket.owner_id in owners and blanket.usual_horse_id is None)
        spare = blanket.owner_id is None and blanket.usual_horse_id in (None, horse.pk)
        leave = (blanket.pk, horse.pk) in leaves or (blanket.pk, None) in leaves
        allowed = own or spare or leave or blanket.owner_id in owners
        if allowed or blanket.pk in on_now:
            yield blanket_value(blanket, fits.get((blanket.pk, horse.pk), ()), allowed=allowed, mine=own)


def blanket_value(
    blanket: Any, notes: Sequence[FitNote] = (), *, allowed: bool = True, mine: bool = True
) -> outfit.Blanket:
    """A blanket with its condition as the matching sees it. The gravest open fit note counts."""
    fit, rubs = _gravest(notes)
    return outfit.Blanket(
        tag=blanket.tag,
        kind=words.Kind(blanket.kind),
        size_in=_number(blanket.size_in),
        size_back_cm=_number(blanket.size_back_cm),
        fill_g=float(blanket.fill_g),
        denier=blanket.denier,
        waterproofing=words.Waterproofing(blanket.waterproofing),
        breathable=blanket.breathable,
        neck=words.Neck(blanket.neck),
        cut=words.Cut(blanket.cut),
        front=words.Front(blanket.front),
        liner=words.Lining(blanket.lining) if blanket.lining else None,
        soak={"soaked": 1.0, "drying": 0.5}.get(blanket.wet, 0.0),
        state=words.State(blanket.state),
        allowed=allowed,
        fit=fit,
        rubs_where=rubs,
        windproof=blanket.windproof,
        wash_due=blanket.wash_due,
        proofing_due=blanket.proofing_due,
        temporary_fix=blanket.fixed_until is not None,
        back_seam=blanket.back_seam,
        mine=mine,
    )


GRAVITY = (words.Fit.TIGHT, words.Fit.TOO_BIG, words.Fit.RUBS, words.Fit.FITS)


def _gravest(notes: Sequence[FitNote]) -> tuple[words.Fit | None, str]:
    for fit in GRAVITY:
        for note in notes:
            if note.fit == fit:
                return fit, note.get_rubs_where_display().lower() if fit == words.Fit.RUBS else ""
    return None, ""


def place_at(subject: Subject, barn: Barn, local: datetime) -> weather.Place:
    """Where a horse stands at an hour of the barn's own time, by its turnout schedule or its paddock's."""
    stall = weather.Place(words.PlaceKind.STALL, indoor_gain_c=barn.indoor_gain_c)
    if subject.stay is None or not _is_out(subject, local.time()):
        return stall
    return outdoors(subject)


def outdoors(subject: Subject) -> weather.Place:
    shelter = words.Shelter(subject.stay.paddock.shelter) if subject.stay else words.Shelter.OPEN
    return weather.Place(words.PlaceKind.TURNOUT, shelter, companions_chew=subject.companions_chew)


def _is_out(subject: Subject, clock: time) -> bool:
    own = subject.horse if subject.horse.out_plan or subject.stay is None else subject.stay.paddock
    plan = own.out_plan
    if plan in (OutPlan.ALWAYS, OutPlan.IN):
        return plan == OutPlan.ALWAYS
    night = plan == OutPlan.NIGHT
    out_from = own.out_from or (DAY_IN if night else DAY_OUT)
    out_until = own.out_until or (DAY_OUT if night else DAY_IN)
    if out_from <= out_until:
        return out_from <= clock < out_until
    return clock >= out_from or clock < out_until
