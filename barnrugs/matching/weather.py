"""Hours of weather, the places where a horse meets them, and what arrives there as arrays over the hours."""

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
import numpy.typing as npt

from barnrugs.matching import limits
from barnrugs.matching.limits import NoAnswer, require
from barnrugs.matching.reasons import Code, because
from barnrugs.matching.words import PlaceKind, PrecipKind, Shelter

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

WIND_10M_TO_2M = 0.748
"""Wind at 2 m over wind at 10 m: FAO Irrigation and Drainage Paper 56, eq. 47 (M)."""

SHELTER_WIND = {Shelter.OPEN: 1.0, Shelter.WINDBREAK: 0.6, Shelter.SHED: 0.3}
"""Share of the open field's wind that is left (A)."""

SHED_RAIN = 0.5
"""Share of the rain that finds a horse with a run-in shed (A)."""

RAIN_FROM_C = -0.5
"""Precipitation of no stated kind is rain from this air temperature, degC (A)."""

EXPECTED_IN_AN_HOUR_MM = 0.2
EXPECTED_IN_ALL_MM = 0.5
"""From these amounts precipitation is expected (A)."""

GAIN_FULL_BELOW_C, GAIN_NONE_ABOVE_C = 10.0, 18.0
"""A closed barn's indoor gain fades out between these outdoor temperatures, degC (A)."""

SUN_ABSORBED = 0.09
"""Share of global irradiance that warms the horse (A, set by NRC Beef 2000 p.10, R)."""

SKY_LOSS_WM2 = 0.95 * 0.5 * 95.0
"""Net loss to a clear night sky: emissivity 0.95, half the body sees it, 95 W/m2 (A, same)."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where the horse stands. indoor_gain_c: how much warmer the closed barn is than outside, degC."""

    kind: PlaceKind = PlaceKind.TURNOUT
    shelter: Shelter = Shelter.OPEN
    indoor_gain_c: float = 0.0
    companions_chew: bool = False


@dataclass(frozen=True, slots=True)
class Hour:
    """One hour outdoors, UTC. precip_mm None is unknown, never zero; precip_chance None counts as certain.

    wind_10m_ms at 10 m in m/s, rh 0 to 1, irradiance_wm2 global horizontal, clear_night 1 - cloud fraction while the
    sun is down, else 0. place overrides the stay's place for this hour.
    """

    time: datetime
    air_c: float
    wind_10m_ms: float
    rh: float = 0.8
    precip_mm: float | None = 0.0
    precip_chance: float | None = None
    precip_kind: PrecipKind | None = None
    irradiance_wm2: float = 0.0
    clear_night: float = 0.0
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Stay:
    """A horse's consecutive hours at a place, with what it starts from.

    coat_wet: wetness of bare skin at the start, 0 to 1. coat_wet_under: of the skin under what it wears; None starts
    at 0. rain_threshold: chance from which an hour's precipitation counts.
    """

    hours: tuple[Hour, ...]
    place: Place = Place()
    coat_wet: float = 0.0
    coat_wet_under: float | None = None
    rain_threshold: float = 0.3

    def place_at(self, index: int) -> Place:
        return self.hours[index].place or self.place


def saturation_pa(air_c: Floats) -> Floats:
    """Saturation vapour pressure over water, Pa, at every temperature: Magnus form with 611.2, 17.62, 243.12 (M)."""
    return np.asarray(611.2 * np.exp(17.62 * air_c / (243.12 + air_c)))


def viscosity_m2s(air_c: Floats) -> Floats:
    """Kinematic viscosity of air, m2/s: a fit, 1 % from 0 to 40 degC, 3 % at -45 degC (D)."""
    return np.asarray(1.338e-5 + 9.0e-8 * air_c)


def conductivity_wmk(air_c: Floats) -> Floats:
    """Thermal conductivity of air, W/m/K: a fit of the same range (D)."""
    return np.asarray(0.02436 + 7.4e-5 * air_c)


PRANDTL = 0.71
"""Prandtl number of air (M)."""


@dataclass(frozen=True)
class Conditions:
    """What reaches the horse hour by hour; every array [hours].

    air_c: at the place. wind_ms: at the horse, 2 m. rh: at the place. radiation_wm2: gained from the sun, lost to a
    clear night sky. rain_mm: rain that falls on the horse. outdoors: at turnout.
    """

    air_c: Floats
    wind_ms: Floats
    rh: Floats
    radiation_wm2: Floats
    rain_mm: Floats
    outdoors: Flags


def conditions(stay: Stay) -> Conditions:
    """The hours as they arrive at the horse (science of the place: stall, shelter, indoor gain)."""
    hours, outdoors = stay.hours, outdoor(stay)
    outside_c = np.array([hour.air_c for hour in hours], dtype=float)
    air_c = outside_c + _indoor_gain_c(stay, outside_c, outdoors)
    rh = np.array([hour.rh for hour in hours], dtype=float)
    radiation = [SUN_ABSORBED * hour.irradiance_wm2 - SKY_LOSS_WM2 * hour.clear_night for hour in hours]
    return Conditions(
        air_c=air_c,
        wind_ms=_wind_at_horse_ms(stay),
        rh=np.minimum(1.0, rh * saturation_pa(outside_c) / saturation_pa(air_c)),
        radiation_wm2=np.where(outdoors, radiation, 0.0),
        rain_mm=rain_mm(stay),
        outdoors=outdoors,
    )


def outdoor(stay: Stay) -> Flags:
    """Which hours are spent at turnout, [hours]."""
    return np.array([stay.place_at(i).kind is PlaceKind.TURNOUT for i in range(len(stay.hours))], dtype=bool)


def air_c(stay: Stay) -> Floats:
    """Air temperature at the place, degC, [hours]."""
    outside_c = np.array([hour.air_c for hour in stay.hours], dtype=float)
    return outside_c + _indoor_gain_c(stay, outside_c, outdoor(stay))


def _indoor_gain_c(stay: Stay, outside_c: Floats, outdoors: Flags) -> Floats:
    gain = np.array([stay.place_at(i).indoor_gain_c for i in range(len(stay.hours))], dtype=float)
    left = np.clip((GAIN_NONE_ABOVE_C - outside_c) / (GAIN_NONE_ABOVE_C - GAIN_FULL_BELOW_C), 0.0, 1.0)
    return np.where(outdoors, 0.0, gain * left)


def _wind_at_horse_ms(stay: Stay) -> Floats:
    places = [stay.place_at(i) for i in range(len(stay.hours))]
    factor = [SHELTER_WIND[p.shelter] if p.kind is PlaceKind.TURNOUT else 0.0 for p in places]
    wind: Floats = np.array([hour.wind_10m_ms for hour in stay.hours], dtype=float)
    return np.asarray(WIND_10M_TO_2M * wind * np.array(factor))


def precip_mm(stay: Stay) -> Floats:
    """Precipitation of any kind that counts, mm in the hour, as it falls outdoors: no shed halves it, [hours].

    Zero in a stall, where its chance is below the stay's threshold, and where it is unknown (ask `unknown`).
    """
    falling: Floats = np.array([_falling_mm(stay, i) for i in range(len(stay.hours))], dtype=float)
    return falling


def unknown(stay: Stay) -> Flags:
    """Outdoor hours whose precipitation nobody knows, [hours]."""
    missing: Flags = np.array([hour.precip_mm is None for hour in stay.hours], dtype=bool)
    return outdoor(stay) & missing


def rain_mm(stay: Stay) -> Floats:
    """Rain that falls on the horse, mm in the hour: what counts of `precip_mm`, no snow, halved by a shed, [hours]."""
    shed = np.array([stay.place_at(i).shelter is Shelter.SHED for i in range(len(stay.hours))], dtype=bool)
    rain = np.array([_is_rain(hour) for hour in stay.hours], dtype=bool)
    return np.asarray(np.where(rain, precip_mm(stay), 0.0) * np.where(shed, SHED_RAIN, 1.0))


def precipitation_expected(stay: Stay) -> tuple[bool, bool]:
    """Whether rain or snow is expected in the outdoor hours, and whether any of those hours is unknown."""
    falling = precip_mm(stay)
    expected = bool((falling >= EXPECTED_IN_AN_HOUR_MM).any() or falling.sum() >= EXPECTED_IN_ALL_MM)
    return expected, bool(unknown(stay).any())


def _falling_mm(stay: Stay, index: int) -> float:
    hour = stay.hours[index]
    certain_enough = hour.precip_chance is None or hour.precip_chance >= stay.rain_threshold
    if hour.precip_mm is None or not certain_enough or stay.place_at(index).kind is PlaceKind.STALL:
        return 0.0
    return hour.precip_mm


def _is_rain(hour: Hour) -> bool:
    if hour.precip_kind is None:
        return hour.air_c >= RAIN_FROM_C
    return hour.precip_kind is PrecipKind.RAIN


def check(stay: Stay) -> None:
    """Raise NoAnswer where the stay leaves the limits of the model or its hours are not consecutive."""
    check_start(stay)
    check_hours(stay)


def check_start(stay: Stay) -> None:
    """Raise NoAnswer where what the stay starts from leaves the limits."""
    require("start_state.coat_wet", stay.coat_wet, limits.FRACTION, "coat_wet")
    require("rain_threshold", stay.rain_threshold, limits.FRACTION, "rain_from")
    if stay.coat_wet_under is not None:
        require("start_state.coat_wet_under", stay.coat_wet_under, limits.FRACTION, "coat_wet_under")


def check_hours(stay: Stay) -> None:
    """Raise NoAnswer where the hours leave the limits, are none, or leave a gap."""
    if not stay.hours:
        raise NoAnswer("hours", because(Code.NO_HOUR))
    for index, hour in enumerate(stay.hours):
        _check_hour(f"hours[{index}]", hour)
    _check_consecutive(stay.hours)
    for index, at_place_c in enumerate(air_c(stay)):
        require(f"hours[{index}].air_c", float(at_place_c), limits.AIR_C, "air_here", "c")


def _check_hour(path: str, hour: Hour) -> None:
    if not math.isfinite(hour.air_c):
        raise NoAnswer(f"{path}.air_c", because(Code.NOT_A_NUMBER, what_word="air"))
    require(f"{path}.wind_10m_ms", hour.wind_10m_ms, limits.WIND_10M_MS, "wind", "ms")
    require(f"{path}.rh", hour.rh, limits.FRACTION, "humidity")
    require(f"{path}.irradiance_wm2", hour.irradiance_wm2, limits.IRRADIANCE_WM2, "sun", "wm2")
    require(f"{path}.clear_night", hour.clear_night, limits.FRACTION, "clear_night")
    if hour.precip_chance is not None:
        require(f"{path}.precip_chance", hour.precip_chance, limits.FRACTION, "chance")
    if hour.precip_mm is not None:
        require(f"{path}.precip_mm", hour.precip_mm, limits.PRECIP_MM, "falling", "mm")


def _check_consecutive(hours: tuple[Hour, ...]) -> None:
    for index in range(1, len(hours)):
        before, now = hours[index - 1].time, hours[index].time
        if (before.tzinfo is None) != (now.tzinfo is None) or now - before != timedelta(hours=1):
            raise NoAnswer(f"hours[{index}].time", because(Code.HOURS_GAP))
