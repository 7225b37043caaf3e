"""One outfit judged: verdict, score and reasons, from its comfort band and what the refusals say of its blankets."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from barnrugs.matching import fit
from barnrugs.matching.heat import Comfort
from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import Blanket, Outfit, Role
from barnrugs.matching.reasons import Code, Level, Reason, because
from barnrugs.matching.refusals import (
    FOAL_UNDER_YEARS,
    WARM_DAY_C,
    WORDS,
    Ruling,
    Situation,
    relies_on_measure,
    rule,
)
from barnrugs.matching.words import Clip, Kind, Lining, Position, Refusal, Verdict, Waterproofing

Hours = NDArray[np.float64]

WARM_WEIGHS: Final = 1.5
"""A degree too warm against a degree too cold: a sweated horse is wet (A)."""

WEAR_UP_TO: Final = 1.0
CAUTION_UP_TO: Final = 4.0
"""Thermal scores, mean weighted degrees outside the band, that divide the verdicts (A)."""

OFF_ABOVE_DEG: Final = 3.0
"""Degrees above the band from which a blanket should come off in that hour (A)."""

HARDY_FREE_DEG: Final = 6.0
HARDY_COAT_MM: Final = 15.0
HARDY_BCS: Final = 6.0
"""Degrees of cold that an unclipped, well-covered horse without needs can stand (A)."""

IN_HAND_DEG: Final = 1.0
IN_HAND_COAT_MM: Final = 10.0
"""Degrees above low_c that a thinly coated horse, or one with needs, should have in hand (A)."""

SHORT_COAT_MM: Final = 20.0
BARE_RAIN_BELOW_C: Final = 10.0
IN_STALL_FIRST: Final = frozenset({Kind.STABLE, Kind.SHEET})


@dataclass(frozen=True, slots=True, eq=False)
class JudgedOutfit:
    """One outfit for one horse and stay, with its band hour by hour.

    reasons: refusals, then warmth, cautions and notes; never empty. score: mean over the hours of degrees cold plus
    1.5 x degrees warm, as far as they count. tog: of the layers dry in still air. low_c, high_c, air_c, cold_c, warm_c:
    [hours], degC, as `heat.Comfort`. in_hand, liner_met, worn_now: what the ranking looks at besides.
    """

    outfit: Outfit
    verdict: Verdict
    refused: Refusal | None
    reasons: tuple[Reason, ...]
    score: float
    tog: float
    hay_kg_per_day: float
    low_c: Hours
    high_c: Hours
    air_c: Hours
    cold_c: Hours
    warm_c: Hours
    in_hand: bool
    liner_met: bool
    worn_now: bool

    @property
    def tags(self) -> tuple[str, ...]:
        return self.outfit.tags

    @property
    def neck(self) -> bool:
        return self.outfit.neck

    @property
    def cautions(self) -> tuple[Reason, ...]:
        return tuple(reason for reason in self.reasons if reason.level is Level.CAUTION)

    @property
    def warmth(self) -> Reason:
        """The one reason that says how warm it is."""
        return next(reason for reason in self.reasons if reason.level is Level.WARMTH)

    @property
    def cold_degree_hours(self) -> float:
        return float(self.cold_c.sum())

    @property
    def warm_degree_hours(self) -> float:
        return float(self.warm_c.sum())

    @property
    def band_c(self) -> tuple[float, float]:
        """The band of the whole stay: largest low_c to smallest high_c, degC."""
        return float(self.low_c.max()), float(self.high_c.min())

    @property
    def positions(self) -> tuple[tuple[Position, float], ...]:
        """For every hour where the air stands against the band, and by how many degC outside it."""
        return tuple(_position(cold, warm) for cold, warm in zip(self.cold_c, self.warm_c, strict=True))


def _position(cold_c: float, warm_c: float) -> tuple[Position, float]:
    if cold_c > 0:
        return Position.COLD, float(cold_c)
    return (Position.WARM, float(warm_c)) if warm_c > 0 else (Position.INSIDE, 0.0)


@dataclass(frozen=True, slots=True)
class Warmth:
    """One outfit's row of a Comfort, and what of it counts; arrays [hours], degC."""

    outfit: Outfit
    low_c: Hours
    high_c: Hours
    air_c: Hours
    cold_c: Hours
    warm_c: Hours
    hay_kg_per_day: float
    tog: float
    cold_share: float
    warm_share: float

    @property
    def score(self) -> float:
        return round(self.cold_share + self.warm_share, 6)


class Judge:
    """Judges the outfits of one horse in one stay; each blanket is ruled on once for each role."""

    def __init__(self, at: Situation, coolers: Sequence[Blanket] = ()) -> None:
        self.at = at
        self.coolers = tuple(coolers)
        self._ruled: dict[tuple[str, Role], Ruling] = {}

    def ruling(self, blanket: Blanket, role: Role) -> Ruling:
        """What the table says of a blanket in a role."""
        key = (blanket.tag, role)
        if key not in self._ruled:
            self._ruled[key] = rule(blanket, self.at, role)
        return self._ruled[key]

    def judge(self, outfit: Outfit, comfort: Comfort, row: int) -> JudgedOutfit:
        """Verdict, score and reasons of one outfit, from its row of the comfort."""
        warmth = _warmth(outfit, comfort, row, self.at.horse)
        rulings = self._rulings(outfit)
        refusals = [reason for ruling in rulings for reason in ruling.refusals]
        cautions = [reason for ruling in rulings for reason in ruling.cautions]
        cautions += [reason for caution in _OUTFIT_CAUTIONS for reason in caution(self, warmth)]
        return JudgedOutfit(
            outfit=outfit,
            verdict=verdict(warmth.score, refused=bool(refusals), cautions=len(cautions)),
            refused=WORDS[refusals[0].code] if refusals else None,
            reasons=(*refusals, _warmth_reason(warmth), *cautions, *_notes(self.at, warmth)),
            score=warmth.score,
            tog=warmth.tog,
            hay_kg_per_day=warmth.hay_kg_per_day,
            low_c=warmth.low_c,
            high_c=warmth.high_c,
            air_c=warmth.air_c,
            cold_c=warmth.cold_c,
            warm_c=warmth.warm_c,
            in_hand=_in_hand(self.at.horse, warmth),
            liner_met=lining_met(outfit.layers[0] if outfit.layers else None, self.at.horse.liner),
            worn_now=sorted(outfit.tags) == sorted(self.at.horse.on_now),
        )

    def _rulings(self, outfit: Outfit) -> list[Ruling]:
        pieces = [(layer, Role.UNDER) for layer in outfit.layers[:-1]]
        pieces += [(piece, Role.OUTERMOST) for piece in (outfit.outer, outfit.neck_cover) if piece]
        return [self.ruling(piece, role) for piece, role in pieces]


def verdict(score: float, *, refused: bool, cautions: int) -> Verdict:
    """wear: score at most 1 and no caution; caution: at most 4; no: above, or refused."""
    if refused or score > CAUTION_UP_TO:
        return Verdict.NO
    return Verdict.WEAR if score <= WEAR_UP_TO and not cautions else Verdict.CAUTION


def rank(judged: JudgedOutfit, *, in_stall: bool) -> tuple[object, ...]:
    """The design's ranking as one tuple, best first; the tags at its end leave no ties."""
    return (
        judged.refused is not None,
        half_up(judged.score),
        len(judged.cautions),
        not judged.in_hand,
        not judged.liner_met,
        not judged.worn_now,
        len(judged.outfit.layers),
        judged.outfit.fill_g,
        not outer_liked(judged.outfit.outer, in_stall=in_stall),
        judged.neck,
        judged.tags,
    )


def half_up(score: float) -> float:
    """A score to the next half, halves of it upwards."""
    return math.floor(score * 2 + 0.5) / 2


def outer_liked(outer: Blanket | None, *, in_stall: bool) -> bool:
    """In a stall a stable blanket or sheet goes before others."""
    return not in_stall or (outer is not None and outer.kind in IN_STALL_FIRST)


def lining_met(innermost: Blanket | None, preference: Lining | None) -> bool:
    """Whether what lies on the coat is what the horse likes there; nothing on, or no preference, is met."""
    return preference is None or innermost is None or innermost.liner is preference


def is_hardy(horse: Horse) -> bool:
    """Unclipped, well coated, in good flesh, without needs: such a horse stands some cold."""
    in_coat = horse.clip is Clip.NONE and horse.coat_depth_mm >= HARDY_COAT_MM
    return in_coat and horse.bcs >= HARDY_BCS and not horse.needs


def _warmth(outfit: Outfit, comfort: Comfort, row: int, horse: Horse) -> Warmth:
    cold_c, warm_c = comfort.cold_c[row], comfort.warm_c[row]
    counted = np.maximum(0.0, cold_c - HARDY_FREE_DEG) if is_hardy(horse) else cold_c
    return Warmth(
        outfit=outfit,
        low_c=comfort.low_c[row],
        high_c=comfort.high_c[row],
        air_c=comfort.air_c,
        cold_c=cold_c,
        warm_c=warm_c,
        hay_kg_per_day=float(comfort.hay_kg_per_day[row]),
        tog=float(comfort.tog[row]),
        cold_share=float(counted.mean()),
        warm_share=WARM_WEIGHS * float(warm_c.mean()) if outfit.layers else 0.0,
    )


def _in_hand(horse: Horse, warmth: Warmth) -> bool:
    thin_coat = horse.clip is not Clip.NONE or horse.coat_depth_mm <= IN_HAND_COAT_MM
    if not thin_coat and not horse.needs:
        return True
    inside = (warmth.air_c >= warmth.low_c + IN_HAND_DEG) & (warmth.air_c <= warmth.high_c)
    return bool(inside.all())


def _warmth_reason(warmth: Warmth) -> Reason:
    hours = len(warmth.air_c)
    cold_hours, warm_hours = int((warmth.cold_c > 0).sum()), int((warmth.warm_c > 0).sum())
    cold = {"cold_hours": cold_hours, "hours": hours, "hay_kg": _at_least_a_tenth(warmth.hay_kg_per_day)}
    warm = {"warm_hours": warm_hours, "hours": hours}
    most_cold, most_warm = _at_least_a_tenth(warmth.cold_c.max()), _at_least_a_tenth(warmth.warm_c.max())
    if not cold_hours and not warm_hours:
        return _right(warmth)
    if warmth.score > CAUTION_UP_TO and warmth.cold_share >= warmth.warm_share:
        return because(Code.TOO_COLD, by_deg=most_cold, **cold)
    if warmth.score > CAUTION_UP_TO:
        return because(Code.TOO_WARM, by_deg=most_warm, **warm)
    if cold_hours and warm_hours:
        return because(Code.COLD_AND_WARM, cold_deg=most_cold, warm_deg=most_warm, **warm, cold_hours=cold_hours)
    if cold_hours:
        return because(Code.COLD, by_deg=most_cold, **cold)
    return because(Code.WARM if warmth.outfit.layers else Code.WARM_BARE, by_deg=most_warm, **warm)


def _at_least_a_tenth(value: float) -> float:
    """What is printed to one decimal is never printed as nothing."""
    return max(0.1, float(value))


def _right(warmth: Warmth) -> Reason:
    air = {"coldest_c": float(warmth.air_c.min()), "warmest_c": float(warmth.air_c.max())}
    low_c, high_c = float(warmth.low_c.max()), float(warmth.high_c.min())
    if len(warmth.air_c) == 1:
        return because(Code.RIGHT_AT, low_c=low_c, high_c=high_c, air_c=air["coldest_c"])
    if low_c <= air["coldest_c"] and air["warmest_c"] <= high_c:
        return because(Code.RIGHT, low_c=low_c, high_c=high_c, **air)
    return because(Code.RIGHT_EACH_HOUR, hours=len(warmth.air_c), **air)


def _old_measure(judge: Judge, warmth: Warmth) -> Iterator[Reason]:
    horse = judge.at.horse
    if fit.measure_is_old(horse) and any(map(relies_on_measure, warmth.outfit.layers)):
        yield because(Code.MEASURE_OLD, days=horse.measured_days_ago, limit=fit.measure_lasts_days(horse.age_years))


def _off_at(judge: Judge, warmth: Warmth) -> Iterator[Reason]:
    times = [
        hour.time
        for hour, warm_c in zip(judge.at.stay.hours, warmth.warm_c, strict=True)
        if warm_c > OFF_ABOVE_DEG and warmth.outfit.layers
    ]
    if times:
        figures = {"limit_deg": OFF_ABOVE_DEG, "by_deg": float(warmth.warm_c.max())}
        yield because(Code.OFF_AT, off_time=times[0], warm_times=tuple(times), **figures)


def _bare_in_rain(judge: Judge, warmth: Warmth) -> Iterator[Reason]:
    at = judge.at
    if warmth.outfit.layers or not at.outdoors:
        return
    if at.horse.needs and at.expected and at.coldest_out_c is not None and at.coldest_out_c < BARE_RAIN_BELOW_C:
        yield because(Code.BARE_NEEDS_RAIN, needs_words=needs_words(at.horse), air_c=at.coldest_out_c)
    if at.clipped and at.expected:
        yield because(Code.BARE_CLIPPED_RAIN, clip=at.horse.clip.value, rain_mm=at.precip_mm)
    elif at.clipped and at.unknown_hours:
        yield because(Code.BARE_CLIPPED_UNKNOWN, clip=at.horse.clip.value, hours=at.unknown_hours)


def _rain_unknown(judge: Judge, warmth: Warmth) -> Iterator[Reason]:
    at, outer = judge.at, warmth.outfit.outer
    kept_dry = outer is not None and outer.waterproofing is Waterproofing.WATERPROOF
    if at.unknown_hours and at.horse.coat_depth_mm < SHORT_COAT_MM and not kept_dry:
        yield because(Code.RAIN_UNKNOWN, hours=at.unknown_hours, coat_mm=at.horse.coat_depth_mm)


def _dry_first(judge: Judge, warmth: Warmth) -> Iterator[Reason]:
    at = judge.at
    tags = ", ".join(cooler.tag for cooler in judge.coolers)
    if at.horse.sweating:
        yield because(Code.COOL_FIRST, first=f"cooler {tags}" if tags else "walk it")
    elif at.is_wet:
        yield because(Code.DRY_FIRST, first=f"cooler {tags}" if tags else "rub it down", wet_pct=100 * at.wet)
    if at.is_wet and warmth.outfit.layers:
        yield because(Code.RUB_DOWN, wet_pct=100 * at.wet)


_OUTFIT_CAUTIONS: Final[tuple[Callable[[Judge, Warmth], Iterator[Reason]], ...]] = (
    _off_at,
    _bare_in_rain,
    _rain_unknown,
    _dry_first,
    _old_measure,
)


def needs_words(horse: Horse) -> tuple[str, ...]:
    return tuple(sorted(need.value for need in horse.needs))


def _notes(at: Situation, warmth: Warmth) -> Iterator[Reason]:
    horse = at.horse
    if at.warm_day and not warmth.outfit.layers:
        yield because(Code.WARM_DAY, limit_c=WARM_DAY_C, air_c=at.coldest_c)
    if is_hardy(horse) and (warmth.cold_c > 0).any():
        yield because(Code.HARDY, coat_mm=horse.coat_depth_mm, free_deg=HARDY_FREE_DEG)
    if horse.needs:
        yield because(Code.NEEDS_VET, needs_words=needs_words(horse))
    if horse.age_years < FOAL_UNDER_YEARS:
        yield because(Code.FOAL, months=round(12 * horse.age_years))
