"""One outfit judged: verdict, score and reasons, from its comfort band and what the refusals say of its blankets."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

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
from barnrugs.matching.warmth import (
    CAUTION_UP_TO,
    HARDY_FREE_DEG,
    WEAR_UP_TO,
    Hours,
    Warmth,
    in_words,
    is_hardy,
    warmths,
)
from barnrugs.matching.words import Kind, Lining, Position, Refusal, Verdict, Waterproofing

OFF_ABOVE_DEG: Final = 3.0
"""Degrees above the band from which a blanket should come off in that hour (A)."""

SHORT_COAT_MM: Final = 20.0
BARE_RAIN_BELOW_C: Final = 10.0
IN_STALL_FIRST: Final = frozenset({Kind.STABLE, Kind.SHEET})


@dataclass(frozen=True, slots=True, eq=False)
class JudgedOutfit:
    """One outfit for one horse and stay, with its band hour by hour.

    reasons: refusals, then warmth, cautions and notes; never empty. score: mean over the hours of degrees cold plus
    1.5 x degrees warm, as far as they count. lighter_than_felt: than what it wore when a hand felt it cold. tog: of the
    layers dry in still air. low_c, high_c, air_c, cold_c, warm_c: [hours], degC, as `heat.Comfort`. in_hand, liner_met,
    worn_now: what the ranking looks at besides.
    """

    outfit: Outfit
    verdict: Verdict
    refused: Refusal | None
    reasons: tuple[Reason, ...]
    score: float
    lighter_than_felt: bool
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


class Judge:
    """Judges the outfits of one horse in one stay; each blanket is ruled on once for each role."""

    def __init__(self, at: Situation, coolers: Sequence[Blanket] = ()) -> None:
        self.at = at
        self.coolers = tuple(coolers)
        self._worn = sorted(at.horse.on_now)
        self._ruled: dict[tuple[str, Role], Ruling] = {}

    def ruling(self, blanket: Blanket, role: Role) -> Ruling:
        """What the table says of a blanket in a role."""
        key = (blanket.tag, role)
        if key not in self._ruled:
            self._ruled[key] = rule(blanket, self.at, role)
        return self._ruled[key]

    def judge(self, outfits: Sequence[Outfit], comfort: Comfort) -> list[JudgedOutfit]:
        """Verdict, score and reasons of every outfit, from its row of the comfort, in the same order."""
        return [self._judged(warmth) for warmth in warmths(self.at.horse, outfits, comfort)]

    def _judged(self, warmth: Warmth) -> JudgedOutfit:
        outfit = warmth.outfit
        rulings = self._rulings(outfit)
        refusals = [reason for ruling in rulings for reason in ruling.refusals] or list(_warmer_than_felt(self, outfit))
        cautions = [reason for ruling in rulings for reason in ruling.cautions]
        cautions += [reason for caution in _OUTFIT_CAUTIONS for reason in caution(self, warmth)]
        lighter = _is_lighter_than_felt(self, outfit)
        return JudgedOutfit(
            outfit=outfit,
            verdict=verdict(warmth.score, refused=lighter or bool(refusals), cautions=len(cautions)),
            refused=WORDS[refusals[0].code] if refusals else None,
            reasons=(*refusals, in_words(warmth), *cautions, *_notes(self.at, warmth)),
            score=warmth.score,
            lighter_than_felt=lighter,
            tog=warmth.tog,
            hay_kg_per_day=warmth.hay_kg_per_day,
            low_c=warmth.low_c,
            high_c=warmth.high_c,
            air_c=warmth.air_c,
            cold_c=warmth.cold_c,
            warm_c=warmth.warm_c,
            in_hand=warmth.in_hand,
            liner_met=lining_met(outfit.layers[0] if outfit.layers else None, self.at.horse.liner),
            worn_now=sorted(outfit.tags) == self._worn,
        )

    def _rulings(self, outfit: Outfit) -> list[Ruling]:
        pieces = [(layer, Role.UNDER) for layer in outfit.layers[:-1]]
        pieces += [(piece, Role.OUTERMOST) for piece in (outfit.outer, outfit.neck_cover) if piece]
        return [self.ruling(piece, role) for piece, role in pieces]


def verdict(score: float, *, refused: bool, cautions: int) -> Verdict:
    """wear: score at most 1 and no caution; caution: at most 4; no: above, or refused by a rule or by a hand."""
    if refused or score > CAUTION_UP_TO:
        return Verdict.NO
    return Verdict.WEAR if score <= WEAR_UP_TO and not cautions else Verdict.CAUTION


def rank(judged: JudgedOutfit, *, in_stall: bool) -> tuple[object, ...]:
    """The design's ranking as one tuple, best first; the tags at its end leave no ties."""
    return (
        judged.refused is not None,
        judged.lighter_than_felt,
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


def _old_measure(judge: Judge, warmth: Warmth) -> Iterator[Reason]:
    horse = judge.at.horse
    if fit.measure_is_old(horse) and any(map(relies_on_measure, warmth.outfit.layers)):
        yield because(Code.MEASURE_OLD, days=horse.measured_days_ago, limit=fit.measure_lasts_days(horse.age_years))


def _off_at(judge: Judge, warmth: Warmth) -> Iterator[Reason]:
    if warmth.most_warm <= OFF_ABOVE_DEG or not warmth.outfit.layers:
        return
    hours = judge.at.stay.hours
    over = zip(hours, warmth.warm_c, strict=True)
    times = tuple(hour.time for hour, warm_c in over if warm_c > OFF_ABOVE_DEG)
    figures = {"warm_times": times, "limit_deg": OFF_ABOVE_DEG, "by_deg": warmth.most_warm}
    if times[0] == hours[0].time:
        yield because(Code.WARM_AT, **figures)
    else:
        yield because(Code.OFF_AT, off_time=times[0], **figures)


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
    coolers = tuple(cooler.tag for cooler in judge.coolers)
    if at.horse.sweating:
        yield because(Code.COOL_FIRST, coolers_either=coolers) if coolers else because(Code.WALK_FIRST)
    elif at.is_wet and coolers:
        yield because(Code.DRY_FIRST, coolers_either=coolers, wet_pct=100 * at.wet)
    elif at.is_wet:
        yield because(Code.TOWEL_FIRST, wet_pct=100 * at.wet)
    if at.is_wet and warmth.outfit.layers:
        yield because(Code.RUB_DOWN, wet_pct=100 * at.wet)


def _as_felt(judge: Judge, warmth: Warmth) -> Iterator[Reason]:
    """A hand felt the horse cold, and this is no more than it wore then; or too warm, and this is no less."""
    cold, warm, weight = judge.at.horse.felt_cold, judge.at.horse.felt_warm, _weight(warmth.outfit)
    if cold and weight <= (cold.fill_g, cold.layers):
        yield because(Code.FELT_COLD)
    if warm and warm.layers and weight >= (warm.fill_g, warm.layers):
        yield because(Code.FELT_WARM)


def _is_lighter_than_felt(judge: Judge, outfit: Outfit) -> bool:
    felt = judge.at.horse.felt_cold
    return felt is not None and _weight(outfit) < (felt.fill_g, felt.layers)


def _weight(outfit: Outfit) -> tuple[float, int]:
    """Fill in g, then the number of layers."""
    return outfit.fill_g, len(outfit.layers)


_OUTFIT_CAUTIONS: Final[tuple[Callable[[Judge, Warmth], Iterator[Reason]], ...]] = (
    _off_at,
    _bare_in_rain,
    _rain_unknown,
    _dry_first,
    _old_measure,
    _as_felt,
)


def needs_words(horse: Horse) -> tuple[str, ...]:
    return tuple(sorted(need.value for need in horse.needs))


def _warmer_than_felt(judge: Judge, outfit: Outfit) -> Iterator[Reason]:
    """Layers that may each be worn are together more than what a hand felt to be too much."""
    felt = judge.at.horse.felt_warm
    if felt is None or not outfit.layers:
        return
    more = _weight(outfit) > (felt.fill_g, felt.layers)
    if more or (outfit.neck and not felt.neck):
        yield because(Code.REFUSED_FELT_WARM, tag=" + ".join(outfit.tags))


def _notes(at: Situation, warmth: Warmth) -> Iterator[Reason]:
    horse = at.horse
    if at.warm_day and not warmth.outfit.layers:
        yield because(Code.WARM_DAY, limit_c=WARM_DAY_C, air_c=at.coldest_c)
    if is_hardy(horse) and warmth.cold_hours:
        yield because(Code.HARDY, coat_mm=horse.coat_depth_mm, free_deg=HARDY_FREE_DEG)
    if horse.needs:
        yield because(Code.NEEDS_VET, needs_words=needs_words(horse))
    if horse.age_years < FOAL_UNDER_YEARS:
        yield because(Code.FOAL, months=round(12 * horse.age_years))
