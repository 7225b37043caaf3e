"""Horses and blankets as the matching sees them, from their records."""

from collections.abc import Sequence
from datetime import date, tzinfo
from typing import Any

from barnrugs.barns.models import Barn
from barnrugs.matching import horse as matching_horse
from barnrugs.matching import outfit, words
from barnrugs.matching.learn import Felt, Learned, Reading, learn
from barnrugs.matching.limits import MASS_KG
from horses.domain import coat, measurement
from horses.models import Horse
from inventory.models import FitNote, HandCheck, Wearing

MASS_UNKNOWN_KG = 500.0
"""What a horse is taken to weigh when nobody has weighed or taped it (A); the page says so."""

LIGHTEST_KG, HEAVIEST_KG = MASS_KG


def horse_value(
    horse: Horse, today: date, barn: Barn, wears: Sequence[Wearing], *, alone: bool | None, offset_c: float = 0.0
) -> tuple[matching_horse.Horse, tuple[str, ...]]:
    """The horse on a day, and what was assumed for want of a record."""
    condition = next(iter(horse.conditions.all()), None)
    mass, mass_known = _mass_kg(horse)
    depth, clip, clip_depth = coat_of(horse, today, southern=coat.is_southern(barn))
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
        chest_to_tail_in=measurement.inches_of(measured) if measured else None,
        back_length_cm=_number(measured.back_length_cm) if measured else None,
        build=words.Build(horse.build),
        age_years=measurement.age_years(horse, today),
        offset_c=offset_c,
        habits=habits_of(horse),
        needs=_flags(horse, words.Need),
        liner=words.Lining(horse.liner_preference) if horse.liner_preference else None,
        on_now=tuple(wearing.blanket.tag for wearing in wears),
        measured_days_ago=(today - measured.on).days if measured else None,
        alone=alone,
    )
    return value, assumed


def coat_of(horse: Horse, today: date, *, southern: bool) -> tuple[float, words.Clip, float]:
    """Depth of the unclipped coat, clip, and depth where it is clipped, mm, from the latest records and the date."""
    day = coat.on_day(horse, list(horse.coats.all()), today, southern=southern)
    return day.full_mm, day.clip, day.full_mm if day.clipped_mm is None else day.clipped_mm


def learned(horse: Horse, checks: Sequence[HandCheck], today: date, zone: tzinfo) -> Learned:
    """What hand checks have taught of this horse; those before its last clip count for a tenth."""
    clipped_on = max((coat.on for coat in horse.coats.all() if coat.clipped_now), default=date.min)
    return learn(
        [
            Reading(
                felt=Felt(check.felt),
                above_low_c=check.above_low_c,
                above_high_c=check.above_high_c,
                days_ago=max(0.0, (today - on).days),
                before_clip=on < clipped_on,
            )
            for check, on in ((check, check.at.astimezone(zone).date()) for check in checks)
            if check.above_low_c is not None and check.above_high_c is not None
        ]
    )


def _mass_kg(horse: Horse) -> tuple[float, bool]:
    """Body mass, by the scale or else by the tape, within the model's limits; and whether anybody knows it."""
    if horse.mass_kg:
        return horse.mass_kg, True
    taped = next((mass for record in horse.measurements.all() if (mass := measurement.taped_mass_kg(record))), None)
    return (min(HEAVIEST_KG, max(LIGHTEST_KG, taped)), True) if taped else (MASS_UNKNOWN_KG, False)


def habits_of(horse: Horse) -> frozenset[words.Habit]:
    return _flags(horse, words.Habit)


def _flags(horse: Horse, kind: type[Any]) -> frozenset[Any]:
    return frozenset(flag for flag in kind if getattr(horse, flag.value))


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
                return fit, note.rubs_where if fit == words.Fit.RUBS else ""
    return None, ""
