"""Why: every reason the matching gives, as a code with its figures and an English sentence made from one table.

A translation renders the same code and figures with a table of its own. A figure's name ends in its unit, and the ending
decides how it is said: `_c` an air temperature in degC, `_deg` a difference in degC, `_g` fill in g/m2, `_in` inches, `_cm`,
`_mm` of rain, `_kg`, `_time` one moment, `_times` several, `_words` words joined by commas; anything else is said as it is.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from enum import StrEnum
from typing import Any, Final, NamedTuple


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

    RIGHT = "right"
    RIGHT_EACH_HOUR = "right_each_hour"
    COLD = "cold"
    WARM = "warm"
    COLD_AND_WARM = "cold_and_warm"
    TOO_COLD = "too_cold"
    TOO_WARM = "too_warm"
    WARM_BARE = "warm_bare"
    COLD_HARDY = "cold_hardy"

    SIZE_UNDER = "size_under"
    SIZE_OVER = "size_over"
    SIZE_UNKNOWN = "size_unknown"
    CUT = "cut"
    MEASURE_OLD = "measure_old"
    RUBS = "rubs"
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
    RUB_DOWN = "rub_down"
    COOL_FIRST = "cool_first"
    DRY_FIRST = "dry_first"

    KEEP_IN = "keep_in"
    KEEP_IN_STALL = "keep_in_stall"
    NEEDS_VET = "needs_vet"
    WARM_DAY = "warm_day"


class Sentence(NamedTuple):
    level: Level
    english: str


R, C, W, N = Level.REFUSAL, Level.CAUTION, Level.WARMTH, Level.NOTE

SENTENCES: Final[Mapping[Code, Sentence]] = {
    Code.REFUSED_RAIN: Sentence(R, "{tag} is not waterproof, and rain or snow is expected ({rain_mm} in all)."),
    Code.REFUSED_RAIN_UNKNOWN: Sentence(
        R, "{tag} is not fully waterproof, and whether it will rain is unknown for {hours} of the hours outdoors."
    ),
    Code.REFUSED_RESISTANT: Sentence(
        R, "{tag} is only water-resistant, and {rain_mm} of rain or snow is expected; from {limit_mm} it soaks through."
    ),
    Code.REFUSED_STABLE_IN_WET: Sentence(
        R, "{tag} is a stable blanket, and a stable blanket never goes out in the wet: soaked, it is worse than none."
    ),
    Code.REFUSED_SOAKED: Sentence(
        R, "{tag} is wet ({wet_pct} % of what it can hold); never leave a wet blanket on, and never cover it with a dry one."
    ),
    Code.REFUSED_DRYING: Sentence(R, "{tag} is hanging to dry; it is offered again when somebody marks it dry."),
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
    Code.REFUSED_SMALL: Sentence(R, "{tag} is {by} too small: size {size} on a horse that measures {measure}."),
    Code.REFUSED_LARGE: Sentence(R, "{tag} is {by} over: size {size} on a horse that measures {measure}."),
    Code.REFUSED_OVER_HEAD: Sentence(R, "{tag} has a closed front that goes over the head, and this horse is head-shy."),
    Code.REFUSED_SWEATING: Sentence(
        R, "This horse is hot and sweating: nothing filled or waterproof, so not {tag}; cool it out first."
    ),
    Code.REFUSED_NOT_BREATHABLE: Sentence(
        R, "{tag} lets no moisture out, and this horse is wet ({wet_pct} %); dry it before anything of that sort goes on."
    ),
    Code.REFUSED_KIND: Sentence(R, "{tag} is a {kind}: kept in the inventory, never advised for the weather."),
    Code.REFUSED_WARM_DAY: Sentence(
        R, "It stays dry and above {limit_c} (at least {air_c}): at such warmth horses want nothing on, so not {tags_words}."
    ),
    Code.RIGHT: Sentence(
        W, "Comfortable from {low_c} to {high_c}, and the air stays between {coldest_c} and {warmest_c}."
    ),
    Code.RIGHT_EACH_HOUR: Sentence(
        W, "Comfortable in each of the {hours} hours as wind and wet change; the air runs from {coldest_c} to {warmest_c}."
    ),
    Code.COLD: Sentence(
        W,
        "A little cold: up to {by_deg} below its comfort, in {cold_hours} of {hours} hours; "
        "{hay_kg} more hay a day would make up for it.",
    ),
    Code.WARM: Sentence(
        W, "A little warm: up to {by_deg} above its comfort, in {warm_hours} of {hours} hours."
    ),
    Code.COLD_AND_WARM: Sentence(
        W,
        "Cold by up to {cold_deg} in {cold_hours} and warm by up to {warm_deg} in {warm_hours} of {hours} hours: "
        "better changed in between.",
    ),
    Code.TOO_COLD: Sentence(
        W,
        "Too cold: up to {by_deg} below its comfort, in {cold_hours} of {hours} hours; it would burn {hay_kg} more hay a day, "
        "so give more cover, shelter and hay.",
    ),
    Code.TOO_WARM: Sentence(
        W, "Too warm: up to {by_deg} above its comfort, in {warm_hours} of {hours} hours; a sweated horse is a wet horse."
    ),
    Code.WARM_BARE: Sentence(
        W, "Warm enough with nothing on: up to {by_deg} above its comfort, and there is nothing left to take off."
    ),
    Code.COLD_HARDY: Sentence(
        N, "Unclipped, well covered and with a coat of {coat_mm}, it can stand the first {free_deg} of cold; they do not count."
    ),
    Code.SIZE_UNDER: Sentence(
        C, "{tag} is {by} small: size {size} on a horse that measures {measure}; check chest, wither and tail before it goes."
    ),
    Code.SIZE_OVER: Sentence(
        C, "{tag} is {by} over: size {size} on a horse that measures {measure}; check that it does not slip."
    ),
    Code.SIZE_UNKNOWN: Sentence(
        C, "Nothing tells whether {tag} fits: its size or this horse's measure is missing; try it on and note it."
    ),
    Code.CUT: Sentence(C, "{tag} has a {cut} cut, and this horse is of {build} build; check shoulder and wither."),
    Code.MEASURE_OLD: Sentence(
        C, "This horse was last measured {days} days ago, and {limit} days is the limit at its age; measure it again."
    ),
    Code.RUBS: Sentence(C, "{tag} rubs this horse ({where}); look there every time it comes off."),
    Code.SHELL: Sentence(
        C, "{tag} has a {denier} denier shell, and {need} is usual for this horse and its company (common practice)."
    ),
    Code.BARE_NEEDS_RAIN: Sentence(
        C,
        "This horse is {needs_words}, and rain is expected at {air_c}: keep it dry, and the veterinarian's word is above "
        "any figure here.",
    ),
    Code.BARE_CLIPPED_RAIN: Sentence(
        C, "This horse is clipped ({clip}), and rain or snow is expected ({rain_mm} in all): bare skin gets wet."
    ),
    Code.BARE_CLIPPED_UNKNOWN: Sentence(
        C, "This horse is clipped ({clip}), and whether it will rain is unknown for {hours} of the hours outdoors."
    ),
    Code.RAIN_UNKNOWN: Sentence(
        C, "Whether it will rain is unknown for {hours} of the hours outdoors, and a coat of {coat_mm} keeps little rain out."
    ),
    Code.RESISTANT_LIGHT_RAIN: Sentence(
        C, "{tag} is only water-resistant, and {rain_mm} of rain or snow is expected; swap it if the rain gets heavier."
    ),
    Code.STABLE_OUTDOORS: Sentence(
        C, "{tag} is a stable blanket going outdoors: bring it in at the first rain, and look for slips and tears."
    ),
    Code.WASH_DUE: Sentence(C, "{tag} is due for a wash; a dirty lining rubs."),
    Code.PROOFING_DUE: Sentence(C, "{tag} is due for waterproofing and may let rain through."),
    Code.TEMPORARY_FIX: Sentence(C, "{tag} holds by a temporary fix; check it before and after."),
    Code.BACK_SEAM: Sentence(
        C, "{tag} is entered as a turnout with a seam along the back; such a seam leaks and marks a stable blanket, so check it."
    ),
    Code.OFF_AT: Sentence(
        C, "Off at {off_time}: more than {limit_deg} too warm at {warm_times}, by up to {by_deg}."
    ),
    Code.RUB_DOWN: Sentence(
        C, "This horse is wet ({wet_pct} %): rub it down before {tags_words} goes on; if it shivers, call the veterinarian."
    ),
    Code.COOL_FIRST: Sentence(
        C, "This horse is hot and sweating: cool it out first ({first}), until it is dry, then ask again."
    ),
    Code.DRY_FIRST: Sentence(
        C,
        "This horse is wet ({wet_pct} %): dry it first ({first}), then ask again; if it shivers, call the veterinarian.",
    ),
    Code.KEEP_IN: Sentence(
        N,
        "Keep it in: none of the {count} blankets here may be worn now, and with nothing on it would be {state} by up to "
        "{by_deg}; shelter and hay first, and call the veterinarian if it shivers.",
    ),
    Code.KEEP_IN_STALL: Sentence(
        N,
        "Keep it in, out of the draft: none of the {count} blankets here may be worn now, and with nothing on it would be "
        "{state} by up to {by_deg}; more hay and bedding, and call the veterinarian if it shivers.",
    ),
    Code.NEEDS_VET: Sentence(
        N, "This horse is {needs_words}: a keeper's eye and the veterinarian's word stand above any figure here."
    ),
    Code.WARM_DAY: Sentence(
        N, "It stays dry and above {limit_c} (at least {air_c}): at such warmth horses want nothing on."
    ),
}


@dataclass(frozen=True, slots=True)
class Voice:
    """How figures are said: the barn's time zone (None: as the hours came) and its units."""

    zone: tzinfo | None = None
    us_units: bool = False


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
        """The English sentence with its figures in the voice's zone and units."""
        figures = {name: _figure(name, value, voice) for name, value in self.params.items()}
        return SENTENCES[self.code].english.format(**figures)


def because(code: Code, **params: Any) -> Reason:
    return Reason(code, params)


def _number(value: float, digits: int = 1) -> str:
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _temperature(value: float, voice: Voice) -> str:
    return f"{_number(value * 1.8 + 32, 0)} °F" if voice.us_units else f"{_number(value)} °C"


def _difference(value: float, voice: Voice) -> str:
    return f"{_number(value * 1.8)} °F" if voice.us_units else f"{_number(value)} °C"


def _mass(value: float, voice: Voice) -> str:
    return f"{_number(value / 0.45359237)} lb" if voice.us_units else f"{_number(value)} kg"


def _depth(value: float, voice: Voice) -> str:
    return f"{_number(value / 25.4, 2)} in" if voice.us_units else f"{_number(value)} mm"


def _clock(value: datetime, voice: Voice) -> str:
    return f"{value.astimezone(voice.zone) if voice.zone else value:%H:%M}"


def _clocks(values: Iterable[datetime], voice: Voice) -> str:
    return ", ".join(_clock(value, voice) for value in values)


def _words(values: Iterable[str], voice: Voice) -> str:
    return ", ".join(values)


_SAYERS: Final = {
    "c": _temperature,
    "deg": _difference,
    "g": lambda value, voice: f"{_number(value)} g",
    "in": lambda value, voice: f"{_number(value)} in",
    "cm": lambda value, voice: f"{_number(value)} cm",
    "mm": _depth,
    "kg": _mass,
    "pct": lambda value, voice: _number(value, 0),
    "time": _clock,
    "times": _clocks,
    "words": _words,
}


def _figure(name: str, value: Any, voice: Voice) -> str:
    sayer = _SAYERS.get(name.rsplit("_", 1)[-1]) if "_" in name else None
    return sayer(value, voice) if sayer else str(value)
