"""Horses and blankets as the matching sees them, from their records."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from barnrugs.barns.models import Barn
from barnrugs.matching import coat, outfit, units, words
from barnrugs.matching import horse as matching_horse
from barnrugs.matching.learn import Felt, Learned, Reading, learn
from horses.models import Horse
from inventory.models import FitNote, HandCheck, Wearing

MASS_UNKNOWN_KG = 500.0
"""What a horse is taken to weigh when nobody has weighed or taped it (A); the page says so."""

FOALED = (5, 1)
"""The day of the year on which a horse whose birth year alone is known is taken to be born (A)."""

MEASURED_COAT_DAYS = 45
"""A measured coat depth older than this gives way to the natural course of the coat (A)."""

MM_PER_IN = 25.4


def horse_value(
    horse: Horse, today: date, barn: Barn, wears: Sequence[Wearing], *, alone: bool | None, offset_c: float = 0.0
) -> tuple[matching_horse.Horse, tuple[str, ...]]:
    """The horse on a day, and what was assumed for want of a record."""
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
        offset_c=offset_c,
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


def learned(horse: Horse, checks: Sequence[HandCheck], today: date) -> Learned:
    """What hand checks have taught of this horse; those before its last clip count for a tenth."""
    clipped_on = max((coat.on for coat in horse.coats.all() if coat.clipped_now), default=date.min)
    return learn(
        [
            Reading(
                felt=Felt(check.felt),
                above_low_c=check.above_low_c,
                above_high_c=check.above_high_c,
                days_ago=max(0.0, (today - check.at.date()).days),
                before_clip=check.at.date() < clipped_on,
            )
            for check in checks
            if check.above_low_c is not None and check.above_high_c is not None
        ]
    )


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
