"""Why a blanket is never offered, or only with a caution: one table, case by case, and the sentences' figures.

Common practice, no source, unless a row says otherwise. Nothing here knows warmth: that is the judge's.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final, NamedTuple

from barnrugs.matching import fit, strength, weather
from barnrugs.matching.fit import Size
from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import OUTER_KINDS, Blanket, Role
from barnrugs.matching.reasons import Code, Level, Reason, because
from barnrugs.matching.weather import Stay
from barnrugs.matching.wetness import SOAKED_FROM
from barnrugs.matching.words import Clip, Fit, Front, Habit, Kind, Refusal, State, Waterproofing

RESISTANT_UP_TO_MM: Final = 2.0
"""Rain or snow of a stay from which water-resistant is not enough, mm (A)."""

WET_COAT_FROM: Final = 0.3
"""Coat wetness from which a horse counts as wet (A)."""

WARM_DAY_C: Final = 20.0
"""Above it, dry, every horse wants its blanket off: Mejdell et al. 2019, Appl Anim Behav Sci 212:52 (R)."""

FOAL_UNDER_YEARS: Final = 0.5


class Sky(StrEnum):
    """What the sky holds for a stay, as far as it decides what may go out."""

    INDOORS = "indoors"
    DRY = "dry"
    LIGHT = "light"
    WET = "wet"
    UNKNOWN = "unknown"


class Subject(StrEnum):
    """What a row of the table is about."""

    STATE = "state"
    SOAKED = "soaked"
    ALLOWED = "allowed"
    KIND = "kind"
    TRIED = "tried"
    SIZE = "size"
    FRONT_HEAD_SHY = "front_head_shy"
    SWEATING = "sweating"
    WET_HORSE = "wet_horse"
    FELT_WARM = "felt_warm"
    WARM_DAY = "warm_day"
    OUTERMOST = "outermost"
    STABLE_OUTERMOST = "stable_outermost"
    CARRIED = "carried"


Case = tuple[Subject, *tuple[Any, ...]]


def _rows(subject: Subject, cases: Mapping[Any, Code | None]) -> dict[Case, Code | None]:
    return {(subject, *(case if isinstance(case, tuple) else (case,))): code for case, code in cases.items()}


TABLE: Final[Mapping[Case, Code | None]] = {
    **_rows(
        Subject.STATE,
        {
            State.READY: None,
            State.ON_HORSE: Code.REFUSED_ON_ANOTHER,
            State.DRYING: Code.REFUSED_DRYING,
            State.DO_NOT_USE: Code.REFUSED_DO_NOT_USE,
            State.BAGGED: Code.REFUSED_BAGGED,
            State.AWAY: Code.REFUSED_AWAY,
            State.UNCHECKED: Code.REFUSED_UNCHECKED,
            State.LENT: Code.REFUSED_LENT,
            State.HOME: Code.REFUSED_HOME,
            State.STORED: Code.REFUSED_STORED,
            State.LOST: Code.REFUSED_LOST,
            State.RETIRED: Code.REFUSED_RETIRED,
        },
    ),
    **_rows(Subject.SOAKED, {False: None, True: Code.REFUSED_SOAKED}),
    **_rows(Subject.ALLOWED, {True: None, False: Code.REFUSED_NOT_ALLOWED}),
    **_rows(
        Subject.TRIED,
        {
            None: None,
            Fit.FITS: None,
            Fit.TIGHT: Code.REFUSED_TRIED_TIGHT,
            Fit.TOO_BIG: Code.REFUSED_TRIED_BIG,
            Fit.RUBS: Code.RUBS,
        },
    ),
    **_rows(
        Subject.SIZE,
        {
            Size.RIGHT: None,
            Size.STEP_UNDER: Code.SIZE_UNDER,
            Size.STEP_OVER: Code.SIZE_OVER,
            Size.TOO_SMALL: Code.REFUSED_SMALL,
            Size.TOO_LARGE: Code.REFUSED_LARGE,
            Size.UNKNOWN: Code.SIZE_UNKNOWN,
        },
    ),
    **_rows(
        Subject.FRONT_HEAD_SHY,
        {
            (front, shy): Code.REFUSED_OVER_HEAD if shy and front is Front.CLOSED else None
            for front in Front
            for shy in (False, True)
        },
    ),
    **_rows(Subject.SWEATING, {"filled or waterproof": Code.REFUSED_SWEATING, "neither": None}),
    **_rows(Subject.WET_HORSE, {"breathable": None, "not breathable": Code.REFUSED_NOT_BREATHABLE}),
    **_rows(
        Subject.OUTERMOST,
        {
            (Sky.INDOORS, Waterproofing.NONE): None,
            (Sky.INDOORS, Waterproofing.RESISTANT): None,
            (Sky.INDOORS, Waterproofing.WATERPROOF): None,
            (Sky.DRY, Waterproofing.NONE): None,
            (Sky.DRY, Waterproofing.RESISTANT): None,
            (Sky.DRY, Waterproofing.WATERPROOF): None,
            (Sky.LIGHT, Waterproofing.NONE): Code.REFUSED_RAIN,
            (Sky.LIGHT, Waterproofing.RESISTANT): Code.RESISTANT_LIGHT_RAIN,
            (Sky.LIGHT, Waterproofing.WATERPROOF): None,
            (Sky.WET, Waterproofing.NONE): Code.REFUSED_RAIN,
            (Sky.WET, Waterproofing.RESISTANT): Code.REFUSED_RESISTANT,
            (Sky.WET, Waterproofing.WATERPROOF): None,
            (Sky.UNKNOWN, Waterproofing.NONE): Code.REFUSED_RAIN_UNKNOWN,
            (Sky.UNKNOWN, Waterproofing.RESISTANT): Code.REFUSED_RAIN_UNKNOWN,
            (Sky.UNKNOWN, Waterproofing.WATERPROOF): None,
        },
    ),
    **_rows(
        Subject.STABLE_OUTERMOST,
        {
            Sky.INDOORS: None,
            Sky.DRY: Code.STABLE_OUTDOORS,
            Sky.LIGHT: Code.REFUSED_STABLE_IN_WET,
            Sky.WET: Code.REFUSED_STABLE_IN_WET,
            Sky.UNKNOWN: Code.REFUSED_STABLE_IN_WET,
        },
    ),
    **_rows(Subject.FELT_WARM, {"warmer": Code.REFUSED_FELT_WARM, "not warmer": None}),
    **_rows(Subject.CARRIED, {True: None, False: Code.REFUSED_NOTHING_OVER}),
    **_rows(Subject.WARM_DAY, {False: None, True: Code.REFUSED_WARM_DAY}),
    **_rows(
        Subject.KIND,
        {
            Kind.TURNOUT: None,
            Kind.RAIN_SHEET: None,
            Kind.SHEET: None,
            Kind.STABLE: None,
            Kind.LINER: None,
            Kind.NECK_COVER: None,
            Kind.COOLER: Code.REFUSED_KIND,
            Kind.EXERCISE_SHEET: Code.REFUSED_KIND,
            Kind.DRESS_SHEET: Code.REFUSED_KIND,
            Kind.FLY_SHEET: Code.REFUSED_KIND,
        },
    ),
}
"""What each case comes to: a refusal, a caution, or nothing."""

WORDS: Final[Mapping[Code, Refusal]] = {
    Code.REFUSED_RAIN: Refusal.RAIN,
    Code.REFUSED_RAIN_UNKNOWN: Refusal.RAIN,
    Code.REFUSED_RESISTANT: Refusal.RAIN,
    Code.REFUSED_STABLE_IN_WET: Refusal.STABLE_IN_WET,
    Code.REFUSED_SOAKED: Refusal.SOAKED,
    Code.REFUSED_DRYING: Refusal.DRYING,
    Code.REFUSED_DO_NOT_USE: Refusal.DO_NOT_USE,
    Code.REFUSED_BAGGED: Refusal.BAGGED,
    Code.REFUSED_AWAY: Refusal.AWAY,
    Code.REFUSED_UNCHECKED: Refusal.UNCHECKED,
    Code.REFUSED_LENT: Refusal.LENT,
    Code.REFUSED_HOME: Refusal.HOME,
    Code.REFUSED_STORED: Refusal.STORED,
    Code.REFUSED_LOST: Refusal.LOST,
    Code.REFUSED_RETIRED: Refusal.RETIRED,
    Code.REFUSED_ON_ANOTHER: Refusal.ON_ANOTHER,
    Code.REFUSED_NOT_ALLOWED: Refusal.NOT_ALLOWED,
    Code.REFUSED_TRIED_TIGHT: Refusal.TIGHT,
    Code.REFUSED_TRIED_BIG: Refusal.TOO_BIG,
    Code.REFUSED_SMALL: Refusal.TIGHT,
    Code.REFUSED_LARGE: Refusal.TOO_BIG,
    Code.REFUSED_OVER_HEAD: Refusal.OVER_HEAD,
    Code.REFUSED_SWEATING: Refusal.SWEATING,
    Code.REFUSED_NOT_BREATHABLE: Refusal.NOT_BREATHABLE,
    Code.REFUSED_KIND: Refusal.KIND,
    Code.REFUSED_WARM_DAY: Refusal.WARM_DAY,
    Code.REFUSED_FELT_WARM: Refusal.FELT_WARM,
    Code.REFUSED_NOTHING_OVER: Refusal.NOTHING_OVER,
}
"""The one word of each refusal."""


@dataclass(frozen=True, slots=True)
class Situation:
    """What of a horse and its stay decides about blankets.

    precip_mm: rain and snow of the outdoor hours that count. unknown_hours: outdoor hours whose precipitation nobody
    knows. coldest_c, coldest_out_c: least air temperature at the place, and of the hours outdoors (None: indoors all
    the time). wet: the wetter of the horse's coats, 0 to 1.
    """

    horse: Horse
    stay: Stay
    sky: Sky
    expected: bool
    precip_mm: float
    unknown_hours: int
    coldest_c: float
    coldest_out_c: float | None
    companions_chew: bool
    wet: float
    warm_day: bool

    @property
    def is_wet(self) -> bool:
        return self.wet >= WET_COAT_FROM

    @property
    def outdoors(self) -> bool:
        return self.coldest_out_c is not None

    @property
    def clipped(self) -> bool:
        return self.horse.clip is not Clip.NONE


def situation(horse: Horse, stay: Stay) -> Situation:
    """Read once what every blanket of this horse is asked against. The stay must lie within the model's limits."""
    expected, unknown = weather.precipitation_expected(stay)
    outdoors, air_c = weather.outdoor(stay), weather.air_c(stay)
    precip_mm = float(weather.precip_mm(stay).sum())
    wet = max(stay.coat_wet, stay.coat_wet_under or 0.0)
    calm_and_warm = bool((air_c > WARM_DAY_C).all()) and not expected and not unknown and wet < WET_COAT_FROM
    places = (stay.place_at(index) for index in range(len(stay.hours)) if outdoors[index])
    return Situation(
        horse=horse,
        stay=stay,
        sky=_sky(outdoors=bool(outdoors.any()), expected=expected, unknown=unknown, precip_mm=precip_mm),
        expected=expected,
        precip_mm=precip_mm,
        unknown_hours=int(weather.unknown(stay).sum()),
        coldest_c=float(air_c.min()),
        coldest_out_c=float(air_c[outdoors].min()) if outdoors.any() else None,
        companions_chew=any(place.companions_chew for place in places),
        wet=wet,
        warm_day=calm_and_warm and horse.age_years >= FOAL_UNDER_YEARS,
    )


def _sky(*, outdoors: bool, expected: bool, unknown: bool, precip_mm: float) -> Sky:
    if not outdoors:
        return Sky.INDOORS
    if unknown:
        return Sky.UNKNOWN
    if not expected:
        return Sky.DRY
    return Sky.WET if precip_mm >= RESISTANT_UP_TO_MM else Sky.LIGHT


class Ruling(NamedTuple):
    """What is to be said of one blanket in one role: refusals in the table's order, then cautions."""

    refusals: tuple[Reason, ...]
    cautions: tuple[Reason, ...]

    @property
    def refused(self) -> Refusal | None:
        return WORDS[self.refusals[0].code] if self.refusals else None


def rule(blanket: Blanket, at: Situation, role: Role) -> Ruling:
    """Everything the table and the blanket's particulars say of it in a role."""
    ruled = [reason for case in _cases(blanket, at, role) if (reason := _reason(case, blanket, at))]
    refusals = tuple(reason for reason in ruled if reason.level is Level.REFUSAL)
    cautions = tuple(reason for reason in ruled if reason.level is Level.CAUTION)
    return Ruling(refusals, cautions + tuple(_particulars(blanket, at, role)))


def lasting(blanket: Blanket, habits: Collection[Habit]) -> tuple[Reason, ...]:
    """What is refused of it on a horse in any weather: no leave, tried and not fitting, over the head of a shy one."""
    codes = (TABLE[case] for case in _lasting_cases(blanket, habits))
    return tuple(because(code, tag=blanket.tag) for code in codes if code and code in WORDS)


def suits_but_for_kind(blanket: Blanket, at: Situation) -> bool:
    """Whether only its kind keeps a blanket from being offered: a cooler that may be used first."""
    return all(reason.code is Code.REFUSED_KIND for reason in rule(blanket, at, Role.UNDER).refusals)


def relies_on_measure(blanket: Blanket) -> bool:
    """Whether size arithmetic is all that is known of the fit; a neck cover has no such size."""
    return blanket.kind is not Kind.NECK_COVER and not fit.was_tried_and_fits(blanket)


def _cases(blanket: Blanket, at: Situation, role: Role) -> Iterator[Case]:
    horse = at.horse
    if blanket.tag not in horse.on_now or blanket.state is not State.ON_HORSE:
        yield Subject.STATE, blanket.state
    yield Subject.SOAKED, blanket.soak >= SOAKED_FROM
    yield from _lasting_cases(blanket, horse.habits)
    if relies_on_measure(blanket):
        yield Subject.SIZE, fit.size(blanket, horse)
    if horse.sweating:
        yield Subject.SWEATING, "filled or waterproof" if _holds_heat_in(blanket) else "neither"
    if at.is_wet:
        yield Subject.WET_HORSE, "breathable" if blanket.breathable else "not breathable"
    if horse.felt_warm and blanket.kind not in (Kind.COOLER, Kind.NECK_COVER):
        yield Subject.FELT_WARM, "warmer" if blanket.fill_g > horse.felt_warm.fill_g else "not warmer"
    yield Subject.KIND, blanket.kind
    yield Subject.WARM_DAY, at.warm_day
    if role is Role.OUTERMOST:
        yield from _outermost_cases(blanket, at)


def _lasting_cases(blanket: Blanket, habits: Collection[Habit]) -> Iterator[Case]:
    yield Subject.ALLOWED, blanket.allowed
    yield Subject.TRIED, blanket.fit
    yield Subject.FRONT_HEAD_SHY, blanket.front, Habit.HEAD_SHY in habits


def _outermost_cases(blanket: Blanket, at: Situation) -> Iterator[Case]:
    if blanket.kind is Kind.STABLE:
        yield Subject.STABLE_OUTERMOST, at.sky
    elif blanket.kind in OUTER_KINDS or blanket.kind is Kind.NECK_COVER:
        yield Subject.OUTERMOST, at.sky, blanket.waterproofing


def _holds_heat_in(blanket: Blanket) -> bool:
    return blanket.fill_g > 0 or blanket.waterproofing is Waterproofing.WATERPROOF


def _reason(case: Case, blanket: Blanket, at: Situation) -> Reason | None:
    code = TABLE[case]
    if code is Code.RUBS and not blanket.rubs_where:
        code = Code.RUBS_SOMEWHERE
    return None if code is None else Reason(code, {"tag": blanket.tag, **_figures(code, blanket, at)})


def _figures(code: Code, blanket: Blanket, at: Situation) -> Mapping[str, Any]:
    if case_figures := _CASE_FIGURES.get(code):
        return case_figures(blanket, at)
    return {}


def _size_figures(blanket: Blanket, at: Situation) -> Mapping[str, Any]:
    return fit.size_figures(blanket, at.horse)


def _rain_figures(_: Blanket, at: Situation) -> Mapping[str, Any]:
    return {"rain_mm": at.precip_mm, "limit_mm": RESISTANT_UP_TO_MM}


_CASE_FIGURES: Final = {
    Code.REFUSED_SOAKED: lambda blanket, _: {"wet_pct": 100 * blanket.soak},
    Code.REFUSED_NOT_BREATHABLE: lambda _, at: {"wet_pct": 100 * at.wet},
    Code.REFUSED_KIND: lambda blanket, _: {"kind_word": blanket.kind.value},
    Code.REFUSED_WARM_DAY: lambda _, at: {"limit_c": WARM_DAY_C, "air_c": at.coldest_c},
    Code.REFUSED_RAIN_UNKNOWN: lambda _, at: {"hours": at.unknown_hours},
    Code.RUBS: lambda blanket, _: {"where": blanket.rubs_where},
    Code.REFUSED_RAIN: _rain_figures,
    Code.REFUSED_RESISTANT: _rain_figures,
    Code.RESISTANT_LIGHT_RAIN: _rain_figures,
    Code.SIZE_UNDER: _size_figures,
    Code.SIZE_OVER: _size_figures,
    Code.REFUSED_SMALL: _size_figures,
    Code.REFUSED_LARGE: _size_figures,
}


def _particulars(blanket: Blanket, at: Situation, role: Role) -> Iterator[Reason]:
    tag = blanket.tag
    if relies_on_measure(blanket) and fit.cut_against_build(blanket.cut, at.horse.build):
        yield because(Code.CUT, tag=tag, cut=blanket.cut.value, build=at.horse.build.value)
    if role is Role.OUTERMOST and at.outdoors:
        yield from _shell(blanket, at)
    if blanket.kind is Kind.TURNOUT and blanket.back_seam:
        yield because(Code.BACK_SEAM, tag=tag)
    for due, code in (
        (blanket.wash_due, Code.WASH_DUE),
        (blanket.proofing_due, Code.PROOFING_DUE),
        (blanket.temporary_fix, Code.TEMPORARY_FIX),
    ):
        if due:
            yield because(code, tag=tag)


def _shell(blanket: Blanket, at: Situation) -> Iterator[Reason]:
    need = strength.denier_need(at.horse.habits, alone=at.horse.alone, companions_chew=at.companions_chew)
    if blanket.denier is not None and blanket.denier < need:
        yield because(Code.SHELL, tag=blanket.tag, denier=blanket.denier, need=need)
