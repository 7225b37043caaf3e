"""The same balance as a plain loop over numbers, written from the equations with figures of its own.

It is the yardstick of the bench and a second opinion for the tests: sharing constants with the array code would hide a
mistyped one. Only what an honest loop would hoist is hoisted: the horse's terms, the hour's air, the bare skin.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import Blanket, Outfit
from barnrugs.matching.weather import Hour, Place, Stay

WIND_LEFT = {"open": 1.0, "windbreak": 0.6, "shed": 0.3}
CLIPPED = {"none": 0.0, "bib": 0.10, "irish": 0.30, "trace": 0.40, "blanket": 0.55, "hunter": 0.80, "full": 1.0}
FEED = {"limited": 0.9, "maintenance": 1.0, "free": 1.15}


class Air(NamedTuple):
    """One hour at the horse: degC, m/s, m2K/W, W/m2, W/m2, mm, and activity."""

    air_c: float
    wind_ms: float
    resistance: float
    latent: float
    radiation: float
    rain_mm: float
    activity: float


class Answer(NamedTuple):
    """Of one outfit in one hour: degC, degC, kg a day."""

    low_c: float
    high_c: float
    hay_kg: float


class Body(NamedTuple):
    """W/m2 before activity, m2K/W, m2."""

    heat: float
    cold: float
    warm: float
    skin_m2: float


class Path(NamedTuple):
    """A path from the core through skin: its share, its resistance past the tissue less R_a, its wet surface."""

    share: float
    resistance: float
    wet: float


def answers(horse: Horse, stay: Stay, outfits: Sequence[Outfit]) -> list[list[Answer]]:
    """One list of hours for each outfit. Limits are not checked here."""
    body = _body(horse)
    hours = [_air(hour, stay.place_at(index), stay.rain_threshold) for index, hour in enumerate(stay.hours)]
    bare = _bare(horse, stay, hours)
    return [_outfit(horse, stay, outfit, body, hours, bare) for outfit in outfits]


def _body(horse: Horse) -> Body:
    skin = 1.09 + 0.008 * horse.mass_kg
    heat = 142.0 * (horse.mass_kg**0.75 / skin) / (500.0**0.75 / 5.09)
    feed = FEED[horse.feed]
    if horse.needs & {"thin", "old", "ill"}:
        feed = min(feed, 1.0)
    cold = 0.150 * (5.25 + 0.75 * horse.bcs) / 9.0 * (horse.mass_kg / 500.0) ** 0.33
    return Body(heat * feed, cold, 0.4 * cold, skin)


def _saturation_pa(air_c: float) -> float:
    return 611.2 * math.exp(17.62 * air_c / (243.12 + air_c))


def _air(hour: Hour, place: Place, threshold: float) -> Air:
    air_c, rh, wind, radiation, rain, activity = hour.air_c, hour.rh, 0.0, 0.0, 0.0, 1.0
    if place.kind == "stall":
        air_c += place.indoor_gain_c * min(1.0, max(0.0, (18.0 - air_c) / 8.0))
        rh = min(1.0, rh * _saturation_pa(hour.air_c) / _saturation_pa(air_c))
    else:
        wind = 0.748 * WIND_LEFT[place.shelter] * hour.wind_10m_ms
        radiation = 0.09 * hour.irradiance_wm2 - 0.95 * 0.5 * 95.0 * hour.clear_night
        rain, activity = _rain_mm(hour, place, threshold), 1.10
    convection = _convection(air_c, wind)
    resistance = 1.0 / (convection + 4.0 * 0.95 * 5.670374419e-8 * (air_c + 273.15) ** 3)
    latent = max(0.0, convection * (_saturation_pa(air_c + 1.0) - rh * _saturation_pa(air_c)) / 66.0)
    return Air(air_c, wind, resistance, latent, radiation, rain, activity)


def _rain_mm(hour: Hour, place: Place, threshold: float) -> float:
    if hour.precip_mm is None or (hour.precip_chance is not None and hour.precip_chance < threshold):
        return 0.0
    rains = hour.precip_kind == "rain" if hour.precip_kind else hour.air_c >= -0.5
    return (hour.precip_mm * (0.5 if place.shelter == "shed" else 1.0)) if rains else 0.0


def _convection(air_c: float, wind_ms: float) -> float:
    re = wind_ms * 0.65 / (1.338e-5 + 9.0e-8 * air_c)
    laminar = 0.62 * math.sqrt(re) * math.pow(0.71, 1 / 3) / math.pow(1 + math.pow(0.4 / 0.71, 2 / 3), 1 / 4)
    nu = 0.3 + laminar * math.pow(1 + math.pow(re / 282000, 5 / 8), 4 / 5)
    return max(3.3, nu * (0.02436 + 7.4e-5 * air_c) / 0.65)


def _carried(start: float, rain_mm: list[float], soak_mm: float, tau_h: float, most: float) -> list[float]:
    """The state of each hour: the larger of its start and its end."""
    state, during = start, []
    for rain in rain_mm:
        kept = state if rain >= 0.1 else state * math.exp(-1.0 / tau_h)
        after = most - (most - kept) * math.exp(-rain / soak_mm) if soak_mm else kept
        during.append(max(state, after))
        state = after
    return during


def _bare(horse: Horse, stay: Stay, hours: list[Air]) -> list[list[Path]]:
    """Both bare paths of each hour, their shares of bare skin."""
    clipped, rain = CLIPPED[horse.clip], [air.rain_mm for air in hours]
    paths = []
    for share, depth_mm in ((1.0 - clipped, horse.coat_depth_mm), (clipped, horse.clip_depth_mm)):
        long = min(1.0, max(0.0, (depth_mm - 6.0) / 14.0))
        wets = _carried(stay.coat_wet, rain, 3.0 + 5.0 * long, 2.0 + long, 0.9 - 0.3 * long)
        paths.append(
            [
                Path(share, depth_mm / 1000 / (0.085 * (1 + 0.19 * air.wind_ms)) * (1 - 0.8 * wet), 0.4 * wet)
                for air, wet in zip(hours, wets, strict=True)
            ]
        )
    return [list(pair) for pair in zip(*paths, strict=True)]


def _bare_freedom(horse: Horse) -> float:
    clipped = CLIPPED[horse.clip]
    full, clip = (max(0.3, 1.0 - 0.012 * depth_mm) for depth_mm in (horse.coat_depth_mm, horse.clip_depth_mm))
    return (1.0 - clipped) * full + clipped * clip


def _layer_soaks(outfit: Outfit, rain_mm: list[float]) -> list[list[float]]:
    """Soak of each layer in each hour, from the skin outwards."""
    soaks: list[list[float]] = []
    reached = True
    for layer in reversed(outfit.layers):
        sound = layer.waterproofing == "waterproof" and not layer.proofing_due
        soak_mm, tau_h = (0.0, 6.0) if sound else (3.0, 12.0) if layer.waterproofing == "none" else (10.0, 8.0)
        reached = reached and not sound
        start = 0.0 if layer.state == "ready" else layer.soak
        soaks.insert(0, _carried(start, rain_mm, soak_mm if reached else 0.0, tau_h, 1.0))
    return soaks


def _windproof(layer: Blanket) -> bool:
    if layer.windproof is not None:
        return layer.windproof
    return layer.kind in ("turnout", "rain_sheet") or layer.waterproofing in ("waterproof", "resistant")


def _outfit(
    horse: Horse, stay: Stay, outfit: Outfit, body: Body, hours: list[Air], bare: list[list[Path]]
) -> list[Answer]:
    free_bare = _bare_freedom(horse)
    if not outfit.layers:
        return [_hour(horse, body, air, paths, [], free_bare, 0.0, 0.0) for air, paths in zip(hours, bare, strict=True)]
    rain = [air.rain_mm for air in hours]
    soaks, under = _layer_soaks(outfit, rain), _carried(stay.coat_wet_under or 0.0, rain, 0.0, 6.0, 1.0)
    fills = [layer.fill_g for layer in outfit.layers]
    fill, windproof = sum(fills), any(_windproof(layer) for layer in outfit.layers)
    parts = [each / fill for each in fills] if fill else [1.0 / len(fills)] * len(fills)
    covered, clipped = 0.62 + (0.12 if outfit.neck else 0.0), CLIPPED[horse.clip]
    free_under = 0.5 if all(layer.breathable for layer in outfit.layers) else 0.25
    found = []
    for index, air in enumerate(hours):
        soak = sum(part * each[index] for part, each in zip(parts, soaks, strict=True))
        layers = (0.05 + 0.00135 * fill) / (1.0 if windproof else 1.0 + 0.10 * air.wind_ms) * (1.0 - 0.90 * soak)
        wind, wet = (0.0 if windproof else 0.3 * air.wind_ms), max(soaks[0][index], under[index])
        coat = 0.55 / 1000 / (0.085 * (1 + 0.19 * wind)) * (1 - 0.8 * wet)
        outer = soaks[-1][index]
        paths = [
            Path((1.0 - clipped), horse.coat_depth_mm * coat + layers, outer),
            Path(clipped, horse.clip_depth_mm * coat + layers, outer),
        ]
        found.append(_hour(horse, body, air, bare[index], paths, free_bare, free_under, covered))
    return found


def _conductance(paths: list[Path], tissue: float, air: Air) -> tuple[float, float]:
    """G, W/m2/K, and W, W/m2."""
    conducting = evaporating = 0.0
    for share, resistance, wet in paths:
        each = share / (tissue + resistance + air.resistance)
        conducting += each
        evaporating += each * wet * air.latent * air.resistance
    return conducting, evaporating


def _hour(
    horse: Horse,
    body: Body,
    air: Air,
    bare: list[Path],
    under: list[Path],
    free_bare: float,
    free_under: float,
    covered: float,
) -> Answer:
    heat = body.heat * air.activity
    still = 38.0 - air.radiation * air.resistance + horse.offset_c
    everywhere = [Path(covered * p.share, p.resistance, p.wet) for p in under]
    everywhere += [Path((1.0 - covered) * p.share, p.resistance, p.wet) for p in bare]

    def warmest(paths: list[Path], freedom: float) -> float:
        leaving = heat - 0.35 * heat - 0.394 * heat * freedom
        conducting, evaporating = _conductance(paths, body.warm, air)
        return still - (leaving - min(evaporating, leaving)) / conducting

    conducting, evaporating = _conductance(everywhere, body.cold, air)
    low = still - (0.65 * heat - min(evaporating, 0.65 * heat)) / conducting
    high = warmest(bare, free_bare)
    if under:
        whole = warmest(everywhere, covered * free_under + (1.0 - covered) * free_bare)
        high = min((whole + warmest(under, free_under)) / 2, high)
    high = max(low, high)
    if horse.needs & {"thin", "old", "ill"}:
        low, high = low + 6.0, high + 3.0
    elif "young" in horse.needs:
        low, high = low + 3.0, high + 3.0
    high = max(low, high)
    hay = max(0.0, low - air.air_c) * conducting * body.skin_m2 * 86400 / 8.0e6
    return Answer(low, high, hay)
