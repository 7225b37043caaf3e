"""Value objects turned into arrays, once: a herd's horses, hours and outfits, checked against the limits on the way."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from barnrugs.matching import limits, wetness
from barnrugs.matching.coat import CLIPPED_SHARE
from barnrugs.matching.horse import Horse
from barnrugs.matching.limits import require
from barnrugs.matching.outfit import Blanket, Outfit
from barnrugs.matching.weather import Conditions, Place, Stay, check_hours, check_start, conditions
from barnrugs.matching.words import Feed, Kind, Need, Waterproofing

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.intp]
Case = tuple[Horse, Stay, Sequence[Outfit]]

FEED_FACTOR = {Feed.LIMITED: 0.9, Feed.MAINTENANCE: 1.0, Feed.FREE: 1.15}
"""Heat production by feed (A; ordered by Cymbaluk 1994, Livest Prod Sci 40:65, R)."""

NEEDS_FEED_AT_MOST = 1.0
FRAIL = frozenset({Need.THIN, Need.OLD, Need.ILL})
FRAIL_SHIFT_C = (6.0, 3.0)
YOUNG_SHIFT_C = (3.0, 3.0)
"""Degrees by which low_c and high_c rise for a horse that needs a keeper's eye (A)."""

TRUNK_SHARE, NECK_SHARE = 0.62, 0.12
"""Share of the skin under a blanket, and under a neck cover besides (A: no published figure found)."""

WINDPROOF_KINDS = frozenset({Kind.TURNOUT, Kind.RAIN_SHEET})
"""Shells that keep the wind out unless entered otherwise; so do waterproof and resistant ones (A)."""


@dataclass(frozen=True)
class Horses:
    """[horses]. feed: heat production factor. low_shift_c, high_shift_c: what needs add."""

    mass_kg: Floats
    bcs: Floats
    coat_mm: Floats
    clip_mm: Floats
    clipped: Floats
    feed: Floats
    offset_c: Floats
    low_shift_c: Floats
    high_shift_c: Floats
    coat_wet: Floats
    coat_wet_under: Floats


@dataclass(frozen=True)
class Outfits:
    """One row for each outfit of each horse, in order. [rows] unless said.

    horse: which horse. covered: share of the skin. fill_g: in all. windproof, airtight: any layer keeps wind out, any
    does not breathe. surface, soak, weight: [rows, layers], skin outwards, the last column always the outermost; weight
    is the layer's part in the mean soak, zero for a column that only repeats the outermost.
    """

    horse: Ints
    covered: Floats
    fill_g: Floats
    windproof: Flags
    airtight: Flags
    surface: Ints
    soak: Floats
    weight: Floats


@dataclass(frozen=True)
class Herd:
    """hours: the conditions as [horses, hours]."""

    horses: Horses
    hours: Conditions
    outfits: Outfits


def pack(cases: Sequence[Case]) -> Herd:
    """Arrays of cases whose stays have equal length. Raises NoAnswer outside the limits."""
    for horse, _, _ in cases:
        check_horse(horse)
    return Herd(_horses(cases), _hours([stay for _, stay, _ in cases]), _outfits([outfits for _, _, outfits in cases]))


def check_horse(horse: Horse) -> None:
    """Raise NoAnswer where the horse leaves the limits of the model."""
    require("horse.mass_kg", horse.mass_kg, limits.MASS_KG, "mass", "kg")
    require("horse.bcs", horse.bcs, limits.BCS, "condition")
    require("horse.coat_depth_mm", horse.coat_depth_mm, limits.COAT_MM, "coat", "mm")
    require("horse.clip_depth_mm", horse.clip_depth_mm, limits.COAT_MM, "clipped_coat", "mm")
    require("horse.offset_c", horse.offset_c, limits.OFFSET_C, "offset", "deg")


def check_outfit(outfit: Outfit, path: str) -> None:
    """Raise NoAnswer where an outfit leaves the limits of the model."""
    require(f"{path}.fill_g", outfit.fill_g, limits.FILL_G, "fill_in_all", "gsm")
    for layer in outfit.layers:
        require(f"{path}.{layer.tag}.fill_g", layer.fill_g, limits.FILL_G, "fill", "gsm")
        require(f"{path}.{layer.tag}.soak", layer.soak, limits.FRACTION, "soak")


def is_windproof(layer: Blanket) -> bool:
    """Whether a layer keeps the wind out: as entered, else by its kind and waterproofing."""
    if layer.windproof is not None:
        return layer.windproof
    return layer.kind in WINDPROOF_KINDS or layer.waterproofing is not Waterproofing.NONE


def needs_shift_c(needs: frozenset[Need]) -> tuple[float, float]:
    """What a horse's needs add to low_c and to high_c, once."""
    if needs & FRAIL:
        return FRAIL_SHIFT_C
    return YOUNG_SHIFT_C if Need.YOUNG in needs else (0.0, 0.0)


def feed_factor(horse: Horse) -> float:
    """Heat production by feed; extra hay is not counted on for a thin, old or ill horse."""
    factor = FEED_FACTOR[horse.feed]
    return min(factor, NEEDS_FEED_AT_MOST) if horse.needs & FRAIL else factor


def _horses(cases: Sequence[Case]) -> Horses:
    rows = [_horse_row(horse, stay) for horse, stay, _ in cases]
    return Horses(*np.array(rows, dtype=float).reshape(len(rows), -1).T)


def _horse_row(horse: Horse, stay: Stay) -> tuple[float, ...]:
    return (
        horse.mass_kg,
        horse.bcs,
        horse.coat_depth_mm,
        horse.clip_depth_mm,
        CLIPPED_SHARE[horse.clip],
        feed_factor(horse),
        horse.offset_c,
        *needs_shift_c(horse.needs),
        stay.coat_wet,
        stay.coat_wet_under or 0.0,
    )


def _hours(stays: Sequence[Stay]) -> Conditions:
    """Horses of one paddock share their hours, so each distinct run of hours is worked out once."""
    known: dict[tuple[int, Place, float], Conditions] = {}
    keys = [(id(stay.hours), stay.place, stay.rain_threshold) for stay in stays]
    for key, stay in zip(keys, stays, strict=True):
        check_start(stay)
        if key not in known:
            check_hours(stay)
            known[key] = conditions(stay)
    names = Conditions.__dataclass_fields__
    return Conditions(**{name: np.stack([getattr(known[key], name) for key in keys]) for name in names})


def _outfits(of_horses: Sequence[Sequence[Outfit]]) -> Outfits:
    """Horses may be offered the same outfits, so each distinct one is checked and turned into figures once."""
    distinct: list[Outfit] = []
    position: dict[int, int] = {}
    at: list[int] = []
    for outfits in of_horses:
        for index, outfit in enumerate(outfits):
            if id(outfit) not in position:
                check_outfit(outfit, f"outfits[{index}]")
                position[id(outfit)] = len(distinct)
                distinct.append(outfit)
            at.append(position[id(outfit)])
    horse = np.repeat(np.arange(len(of_horses)), [len(outfits) for outfits in of_horses])
    return _outfit_arrays(distinct, np.array(at, dtype=np.intp), horse)


def _outfit_arrays(distinct: Sequence[Outfit], at: Ints, horse: Ints) -> Outfits:
    surface, soak, weight = _layer_columns(distinct)
    return Outfits(
        horse=horse,
        covered=np.array([covered_share(outfit) for outfit in distinct])[at],
        fill_g=np.array([outfit.fill_g for outfit in distinct], dtype=float)[at],
        windproof=np.array([any(map(is_windproof, outfit.layers)) for outfit in distinct], dtype=bool)[at],
        airtight=np.array([not all(layer.breathable for layer in o.layers) for o in distinct], dtype=bool)[at],
        surface=surface[at],
        soak=soak[at],
        weight=weight[at],
    )


def covered_share(outfit: Outfit) -> float:
    """Share of the skin under an outfit."""
    if not outfit.layers:
        return 0.0
    return TRUNK_SHARE + (NECK_SHARE if outfit.neck else 0.0)


def _layer_columns(outfits: Sequence[Outfit]) -> tuple[Ints, Floats, Floats]:
    columns = max([2, *(len(outfit.layers) for outfit in outfits)])
    surface = np.full((len(outfits), columns), wetness.Surface.WATERPROOF, dtype=np.intp)
    soak, weight = np.zeros(surface.shape), np.zeros(surface.shape)
    for row, outfit in enumerate(outfits):
        if outfit.layers:
            of = [*range(len(outfit.layers) - 1), *[len(outfit.layers) - 1] * (columns + 1 - len(outfit.layers))]
            found = wetness.surfaces(outfit)
            surface[row] = [found[layer] for layer in of]
            soak[row] = [wetness.start_soak(outfit.layers[layer]) for layer in of]
            weight[row, : len(outfit.layers)] = layer_weights(outfit)
    return surface, soak, weight


def layer_weights(outfit: Outfit) -> list[float]:
    """Each layer's part in the mean soak: by fill, or alike where nothing has fill."""
    if outfit.fill_g > 0:
        return [layer.fill_g / outfit.fill_g for layer in outfit.layers]
    return [1.0 / len(outfit.layers)] * len(outfit.layers)
