"""Why: every reason the matching gives, as a code with its figures and an English sentence made from one table.

Another language renders the same code and figures with a table of its own (spanish.py). A figure's name ends in its
unit, and the ending decides how it is said: `_c` an air temperature in degC, `_deg` a difference in degC, `_in` inches,
`_cm`, `_mm` of coat or rain, `_kg`, `_ms` of wind, `_kmh`, `_gsm`, `_wm2`, `_figure` a number, `_pct` per cent,
`_time` one moment, `_times` several, `_word` one of our words,
`_words` several of them, `_either` one of several; anything else is said as it is. A sentence may name a figure without
its ending, where the unit varies. `clip`, `cut`, `build` and `where` are words of ours as well.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from enum import StrEnum
from typing import Any, Final, NamedTuple

from barnrugs.matching import units


class Level(StrEnum):
    REFUSAL = "refusal"
    CAUTION = "caution"
    WARMTH = "warmth"
    NOTE = "note"


class Code(StrEnum):
    """What a reason says; the sentence stands in SENTENCES."""

    REFUSED_RAIN = "refused_rain"
    REFUSED_RAIN_UNKNOWN = "refused_rain_unknown"
    REFUSED_RESISTANT = "refused_resistant"
    REFUSED_STABLE_IN_WET = "refused_stable_in_wet"
    REFUSED_SOAKED = "refused_soaked"
    REFUSED_DRYING = "refused_drying"
    REFUSED_DO_NOT_USE = "refused_do_not_use"
    REFUSED_BAGGED = "refused_bagged"
    REFUSED_AWAY = "refused_away"
    REFUSED_UNCHECKED = "refused_unchecked"
    REFUSED_LENT = "refused_lent"
    REFUSED_HOME = "refused_home"
    REFUSED_STORED = "refused_stored"
    REFUSED_LOST = "refused_lost"
    REFUSED_RETIRED = "refused_retired"
    REFUSED_ON_ANOTHER = "refused_on_another"
    REFUSED_NOT_ALLOWED = "refused_not_allowed"
    REFUSED_TRIED_TIGHT = "refused_tried_tight"
    REFUSED_TRIED_BIG = "refused_tried_big"
    REFUSED_SMALL = "refused_small"
    REFUSED_LARGE = "refused_large"
    REFUSED_OVER_HEAD = "refused_over_head"
    REFUSED_SWEATING = "refused_sweating"
    REFUSED_NOT_BREATHABLE = "refused_not_breathable"
    REFUSED_KIND = "refused_kind"
    REFUSED_WARM_DAY = "refused_warm_day"
    REFUSED_FELT_WARM = "refused_felt_warm"
    REFUSED_NOTHING_OVER = "refused_nothing_over"

    RIGHT = "right"
    RIGHT_AT = "right_at"
    RIGHT_EACH_HOUR = "right_each_hour"
    COLD = "cold"
    WARM = "warm"
    COLD_AND_WARM = "cold_and_warm"
    TOO_COLD = "too_cold"
    TOO_WARM = "too_warm"
    WARM_BARE = "warm_bare"

    SIZE_UNDER = "size_under"
    SIZE_OVER = "size_over"
    SIZE_UNKNOWN = "size_unknown"
    CUT = "cut"
    MEASURE_OLD = "measure_old"
    RUBS = "rubs"
    RUBS_SOMEWHERE = "rubs_somewhere"
    SHELL = "shell"
    BARE_NEEDS_RAIN = "bare_needs_rain"
    BARE_CLIPPED_RAIN = "bare_clipped_rain"
    BARE_CLIPPED_UNKNOWN = "bare_clipped_unknown"
    RAIN_UNKNOWN = "rain_unknown"
    RESISTANT_LIGHT_RAIN = "resistant_light_rain"
    STABLE_OUTDOORS = "stable_outdoors"
    WASH_DUE = "wash_due"
    PROOFING_DUE = "proofing_due"
    TEMPORARY_FIX = "temporary_fix"
    BACK_SEAM = "back_seam"
    OFF_AT = "off_at"
    WARM_AT = "warm_at"
    FELT_COLD = "felt_cold"
    FELT_WARM = "felt_warm"
    RUB_DOWN = "rub_down"
    COOL_FIRST = "cool_first"
    WALK_FIRST = "walk_first"
    DRY_FIRST = "dry_first"
    TOWEL_FIRST = "towel_first"

    KEEP_IN = "keep_in"
    KEEP_IN_NONE_HERE = "keep_in_none_here"
    BARE_WILL_DO = "bare_will_do"
    HARDY = "hardy"
    NEEDS_VET = "needs_vet"
    FOAL = "foal"
    WARM_DAY = "warm_day"

    GOES_SHORT = "goes_short"
    SHARE_DEALT = "share_dealt"
    SHARE_STOPPED = "share_stopped"

    OUTSIDE = "outside"
    NOT_A_NUMBER = "not_a_number"
    NO_HOUR = "no_hour"
    HOURS_GAP = "hours_gap"
    READING = "reading"
    SPRAY_RATING = "spray_rating"
    WIND_CHILL_ABOVE = "wind_chill_above"
    WIND_CHILL_CALM = "wind_chill_calm"


class Sentence(NamedTuple):
    level: Level
    english: str


R, C, W, N = Level.REFUSAL, Level.CAUTION, Level.WARMTH, Level.NOTE

SENTENCES: Final[Mapping[Code, Sentence]] = {
    Code.REFUSED_RAIN: Sentence(R, "{tag} is not waterproof, and rain or snow is expected ({rain_mm} in all)."),
    Code.REFUSED_RAIN_UNKNOWN: Sentence(
        R, "{tag} is not waterproof, and whether it will rain is unknown for {hours} of the hours outdoors."
    ),
    Code.REFUSED_RESISTANT: Sentence(
        R, "{tag} is only water-resistant, and {rain_mm} of rain or snow is expected; that serves below {limit_mm}."
    ),
    Code.REFUSED_STABLE_IN_WET: Sentence(
        R, "{tag} is a stable blanket and never goes out in the wet: soaked, it leaves the horse colder than none."
    ),
    Code.REFUSED_SOAKED: Sentence(
        R, "{tag} is wet ({wet_pct} % soaked): never leave a wet blanket on, and never put a dry one over it."
    ),
    Code.REFUSED_DRYING: Sentence(R, "{tag} is hanging to dry; it is offered again once it is marked dry."),
    Code.REFUSED_DO_NOT_USE: Sentence(R, "{tag} is marked do not use until it is repaired."),
    Code.REFUSED_BAGGED: Sentence(R, "{tag} is bagged for the cleaner or repairer."),
    Code.REFUSED_AWAY: Sentence(R, "{tag} is at the cleaner or repairer."),
    Code.REFUSED_UNCHECKED: Sentence(R, "{tag} came back and has not been checked yet."),
    Code.REFUSED_LENT: Sentence(R, "{tag} is lent out."),
    Code.REFUSED_HOME: Sentence(R, "{tag} is at its owner's home."),
    Code.REFUSED_STORED: Sentence(R, "{tag} is stored away; take it out and check it before it is worn."),
    Code.REFUSED_LOST: Sentence(R, "{tag} is reported lost."),
    Code.REFUSED_RETIRED: Sentence(R, "{tag} is retired."),
    Code.REFUSED_ON_ANOTHER: Sentence(R, "{tag} is on another horse."),
    Code.REFUSED_NOT_ALLOWED: Sentence(R, "{tag} belongs to somebody else, who has not given leave to use it."),
    Code.REFUSED_TRIED_TIGHT: Sentence(R, "{tag} was tried on this horse and is too tight."),
    Code.REFUSED_TRIED_BIG: Sentence(R, "{tag} was tried on this horse and is too big."),
    Code.REFUSED_SMALL: Sentence(R, "{tag} is too small by {by}: size {size}, and this horse measures {measure}."),
    Code.REFUSED_LARGE: Sentence(R, "{tag} is too big by {by}: size {size}, and this horse measures {measure}."),
    Code.REFUSED_OVER_HEAD: Sentence(R, "{tag} goes on over the head, and this horse is head-shy."),
    Code.REFUSED_SWEATING: Sentence(
        R, "{tag} is filled or waterproof, and this horse is hot and sweating: cool it out first."
    ),
    Code.REFUSED_NOT_BREATHABLE: Sentence(
        R, "{tag} lets no moisture out, and this horse is wet ({wet_pct} %): dry it before such a blanket goes on."
    ),
    Code.REFUSED_KIND: Sentence(R, "{tag} is a {kind_word}: kept in the inventory, never advised for the weather."),
    Code.REFUSED_FELT_WARM: Sentence(
        R, "{tag} is more than it wore when a hand just felt it too warm: nothing warmer goes on now."
    ),
    Code.REFUSED_NOTHING_OVER: Sentence(
        R, "{tag} is worn only with another blanket over or under it, and none that may be worn here goes with it."
    ),
    Code.REFUSED_WARM_DAY: Sentence(
        R, "{tag} stays off: it is dry and above {limit_c} (at least {air_c}), and then horses want nothing on."
    ),
    Code.RIGHT: Sentence(
        W, "Comfortable from {low_c} to {high_c}, and the air stays between {coldest_c} and {warmest_c}."
    ),
    Code.RIGHT_AT: Sentence(W, "Comfortable from {low_c} to {high_c}, and the air is at {air_c}."),
    Code.RIGHT_EACH_HOUR: Sentence(
        W, "Comfortable in each of the {hours} hours as wind and wet change; air {coldest_c} to {warmest_c}."
    ),
    Code.COLD: Sentence(
        W,
        "Cold by up to {by_deg} in {cold_hours} of {hours} hours; about {hay_kg} more hay a day makes up for it.",
    ),
    Code.WARM: Sentence(W, "Warm by up to {by_deg} in {warm_hours} of {hours} hours."),
    Code.COLD_AND_WARM: Sentence(
        W,
        "Cold by up to {cold_deg} in {cold_hours} and warm by up to {warm_deg} in {warm_hours} of {hours} hours; "
        "better changed in between.",
    ),
    Code.TOO_COLD: Sentence(
        W,
        "Too cold by up to {by_deg} in {cold_hours} of {hours} hours: it needs shelter or more cover, "
        "and about {hay_kg} more hay a day.",
    ),
    Code.TOO_WARM: Sentence(
        W,
        "Too warm by up to {by_deg} in {warm_hours} of {hours} hours: a sweated horse is a wet horse.",
    ),
    Code.WARM_BARE: Sentence(
        W,
        "Warm with nothing on by up to {by_deg} in {warm_hours} of {hours} hours: offer shade and water.",
    ),
    Code.SIZE_UNDER: Sentence(
        C, "{tag} is {by} small (size {size} on a horse of {measure}): check chest, withers and tail."
    ),
    Code.SIZE_OVER: Sentence(
        C, "{tag} is {by} big (size {size} on a horse of {measure}): check that it does not slip."
    ),
    Code.SIZE_UNKNOWN: Sentence(
        C, "{tag} has no size to compare with this horse's measure: try it on and note how it fits."
    ),
    Code.CUT: Sentence(C, "{tag} has a {cut} cut, and this horse is of {build} build: check shoulders and withers."),
    Code.MEASURE_OLD: Sentence(
        C, "This horse was measured {days} days ago, and at its age that holds for {limit} days: measure it again."
    ),
    Code.RUBS: Sentence(C, "{tag} rubs this horse: look at {where} each time it comes off."),
    Code.RUBS_SOMEWHERE: Sentence(C, "{tag} rubs this horse: look for where each time it comes off, and note it."),
    Code.SHELL: Sentence(
        C, "{tag} has a {denier} denier shell, and this horse and its company call for {need}: look for tears."
    ),
    Code.BARE_NEEDS_RAIN: Sentence(
        C, "This horse is {needs_words}, and rain or snow is expected at down to {air_c}: keep it dry."
    ),
    Code.BARE_CLIPPED_RAIN: Sentence(
        C, "This horse has a {clip} clip, and rain or snow is expected ({rain_mm} in all): clipped skin gets wet."
    ),
    Code.BARE_CLIPPED_UNKNOWN: Sentence(
        C, "This horse has a {clip} clip, and whether it will rain is unknown for {hours} of the hours outdoors."
    ),
    Code.RAIN_UNKNOWN: Sentence(
        C, "Whether it will rain is unknown for {hours} of the hours, and a coat of {coat_mm} keeps little out."
    ),
    Code.RESISTANT_LIGHT_RAIN: Sentence(
        C, "{tag} is only water-resistant, and {rain_mm} of rain or snow is expected: swap it if there is more."
    ),
    Code.STABLE_OUTDOORS: Sentence(
        C, "{tag} is a stable blanket going outdoors: take it in at the first rain, and look for slips and tears."
    ),
    Code.WASH_DUE: Sentence(C, "{tag} is due for a wash: look for rubs where the lining is dirty."),
    Code.PROOFING_DUE: Sentence(C, "{tag} is due for waterproofing and may let rain through: feel under it."),
    Code.TEMPORARY_FIX: Sentence(C, "{tag} holds by a temporary fix: check the fix before it goes on."),
    Code.BACK_SEAM: Sentence(
        C, "{tag} is entered as a turnout with a seam along the back, which marks a stable blanket: check which it is."
    ),
    Code.OFF_AT: Sentence(
        C, "Off at {off_time}: more than {limit_deg} too warm under it at {warm_times}, by up to {by_deg}."
    ),
    Code.WARM_AT: Sentence(
        C, "More than {limit_deg} too warm under it from the start, at {warm_times}, by up to {by_deg}."
    ),
    Code.FELT_COLD: Sentence(C, "A hand just felt it cold, and this is no more than it wore then."),
    Code.FELT_WARM: Sentence(C, "A hand just felt it too warm, and this is no less than it wore then."),
    Code.RUB_DOWN: Sentence(
        C, "Rub it down first: this horse is wet ({wet_pct} %); if it shivers, call the veterinarian."
    ),
    Code.COOL_FIRST: Sentence(
        C, "This horse is hot and sweating: cooler {coolers_either} first, until it is cool and dry, then ask again."
    ),
    Code.WALK_FIRST: Sentence(
        C, "This horse is hot and sweating: walk it first, until it is cool and dry, then ask again."
    ),
    Code.DRY_FIRST: Sentence(
        C, "This horse is wet ({wet_pct} %): cooler {coolers_either} first, until it is dry, then ask again."
    ),
    Code.TOWEL_FIRST: Sentence(
        C, "This horse is wet ({wet_pct} %): dry it by hand first, until it is dry, then ask again."
    ),
    Code.KEEP_IN: Sentence(
        N,
        "Keep it in, out of wind and wet: of {count} blankets here none may be worn now, and nothing on is not right "
        "for it; give hay, and call the veterinarian if it shivers.",
    ),
    Code.KEEP_IN_NONE_HERE: Sentence(
        N,
        "Keep it in, out of wind and wet: there is no blanket here for it, and nothing on is not right; give hay, "
        "and call the veterinarian if it shivers.",
    ),
    Code.BARE_WILL_DO: Sentence(
        N, "Of {count} blankets here none may be worn now; nothing on is right, but keep it in if the weather turns."
    ),
    Code.HARDY: Sentence(
        N, "Unclipped, in good flesh and with a coat of {coat_mm}: the first {free_deg} of cold do not count."
    ),
    Code.NEEDS_VET: Sentence(
        N, "This horse is {needs_words}: a keeper's eye and the veterinarian's word stand above these figures."
    ),
    Code.FOAL: Sentence(
        N, "This horse is {months} months old: these figures are little tried on foals, so ask the veterinarian."
    ),
    Code.WARM_DAY: Sentence(N, "It is dry and above {limit_c} (at least {air_c}), and then horses want nothing on."),
    Code.GOES_SHORT: Sentence(N, "{name} goes short: {held}, so it gets {given}."),
    Code.SHARE_DEALT: Sentence(N, "No exact answer within {limit_s} s; dealt out one horse at a time, neediest first."),
    Code.SHARE_STOPPED: Sentence(N, "Stopped after {limit_s} s; the sum may be {gap_pct} % from the best."),
    Code.OUTSIDE: Sentence(W, "{what_word} must lie between {low} and {high}."),
    Code.NOT_A_NUMBER: Sentence(W, "{what_word} is not a number."),
    Code.NO_HOUR: Sentence(W, "There is no hour to answer for."),
    Code.HOURS_GAP: Sentence(W, "This hour does not follow the one before it: the hours have a gap."),
    Code.READING: Sentence(W, "It needs finite degrees, low end at or below high end, and an age from 0 days."),
    Code.SPRAY_RATING: Sentence(W, "A spray rating is one of {ratings_either}."),
    Code.WIND_CHILL_ABOVE: Sentence(W, "Wind chill is defined to {limit_c}."),
    Code.WIND_CHILL_CALM: Sentence(W, "Wind chill is defined above {limit_kmh}."),
}
"""Level and English sentence of every code; figures in braces."""


@dataclass(frozen=True, slots=True)
class Language:
    """A language's own table: a sentence for every code, with the same figures, and its words.

    words: for those of ours that are said otherwise. both, either, under: between the last two of several, between one
    and another, between layers. nothing: where no blanket is named. goes_on: which blanket another horse gets.
    """

    sentences: Mapping[Code, str]
    words: Mapping[str, str] = field(default_factory=dict)
    both: str = "and"
    either: str = "or"
    under: str = "with"
    nothing: str = "nothing"
    goes_on: str = "{tag} goes on {horse}"

    def word(self, word: str) -> str:
        return self.words.get(word, word.replace("_", " "))


ENGLISH: Final = Language(
    {code: sentence.english for code, sentence in SENTENCES.items()},
    {
        "neck": "neck and mane",
        "legs": "hind legs",
        "air_here": "Air temperature at the place",
        "air": "Air temperature",
        "wind": "Wind at 10 m",
        "humidity": "Relative humidity",
        "sun": "Irradiance",
        "clear_night": "The clear part of the night sky",
        "chance": "The chance of rain or snow",
        "falling": "Rain or snow in the hour",
        "rain_from": "The chance from which rain counts",
        "coat_wet": "Coat wetness",
        "coat_wet_under": "Coat wetness under a blanket",
        "mass": "Body mass",
        "condition": "Condition score",
        "coat": "Coat depth",
        "clipped_coat": "Coat depth where clipped",
        "offset": "The offset",
        "fill": "Fill",
        "fill_in_all": "Fill in all",
        "soak": "Wetness of a blanket",
    },
)


@dataclass(frozen=True, slots=True)
class Voice:
    """How a reason is said: the barn's time zone (None: as the hours came), its units, and the language."""

    zone: tzinfo | None = None
    us_units: bool = False
    language: Language = ENGLISH


METRIC: Final = Voice()


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: code, level and figures; `text` is the English sentence in metric units."""

    code: Code
    params: Mapping[str, Any] = field(default_factory=dict)

    @property
    def level(self) -> Level:
        return SENTENCES[self.code].level

    @property
    def text(self) -> str:
        return self.say(METRIC)

    def say(self, voice: Voice) -> str:
        """The sentence in the voice's language, with its figures in the voice's zone and units."""
        figures = {name: _figure(name, value, voice) for name, value in self.params.items()}
        stems = {name.rsplit("_", 1)[0]: said for name, said in figures.items()}
        return voice.language.sentences[self.code].format(**{**stems, **figures})


TOO_WARM: Final = frozenset({Code.OFF_AT, Code.WARM_AT})
"""It gets too warm under what is worn, later or from the start."""


def because(code: Code, **params: Any) -> Reason:
    return Reason(code, params)


def _number(value: float, digits: int = 1) -> str:
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _temperature(value: float, voice: Voice) -> str:
    return f"{_number(units.f_from_c(value), 0)} °F" if voice.us_units else f"{_number(value)} °C"


def _difference(value: float, voice: Voice) -> str:
    digits = 0 if voice.us_units else 1
    return f"{_number(units.difference(value, us=voice.us_units), digits)} {units.degree(us=voice.us_units)}"


def _mass(value: float, voice: Voice) -> str:
    return f"{_number(units.lb_from_kg(value))} lb" if voice.us_units else f"{_number(value)} kg"


def _depth(value: float, voice: Voice) -> str:
    return f"{_number(units.inches_from_mm(value), 2)} in" if voice.us_units else f"{_number(value)} mm"


def _wind(value_ms: float, voice: Voice) -> str:
    return f"{_number(units.mph_from_ms(value_ms), 0)} mph" if voice.us_units else f"{_number(value_ms)} m/s"


def _clock(value: datetime, voice: Voice) -> str:
    return f"{value.astimezone(voice.zone) if voice.zone else value:%H:%M}"


def _clocks(values: Iterable[datetime], voice: Voice) -> str:
    return ", ".join(_clock(value, voice) for value in values)


def _with_unit(unit: str) -> Callable[[Any, Voice], str]:
    return lambda value, _: f"{_number(value)} {unit}"


def joined(values: Iterable[str], link: str) -> str:
    *some, last = values
    return f"{', '.join(some)} {link} {last}" if some else last


_SAYERS: Final[Mapping[str, Callable[[Any, Voice], str]]] = {
    "c": _temperature,
    "deg": _difference,
    "in": _with_unit("in"),
    "cm": _with_unit("cm"),
    "mm": _depth,
    "kg": _mass,
    "ms": _wind,
    "kmh": _with_unit("km/h"),
    "gsm": _with_unit("g/m2"),
    "wm2": _with_unit("W/m2"),
    "figure": lambda value, _: _number(value),
    "pct": lambda value, _: _number(value, 0),
    "time": _clock,
    "times": _clocks,
    "word": lambda value, voice: voice.language.word(value),
    "words": lambda values, voice: joined(map(voice.language.word, values), voice.language.both),
    "either": lambda values, voice: joined(values, voice.language.either),
}
_WORDS: Final = frozenset({"clip", "cut", "build", "where"})


def _figure(name: str, value: Any, voice: Voice) -> str:
    if name in _WORDS:
        return voice.language.word(value)
    sayer = _SAYERS.get(name.rsplit("_", 1)[-1]) if "_" in name else None
    return sayer(value, voice) if sayer else str(value)
