"""Wetness carried through the hours: of the bare coat, of the coat under layers, and of every layer.

    s(t+1) = s_max - (s_max - s(t) exp(-1/tau)) exp(-p/S)        p: rain in the hour, mm

An hour of 0.1 mm or more dries nothing: there exp(-1/tau) is 1. The step is linear in s, so the state after any number
of hours is keep * s(0) + gain, and keep and gain depend on the stay and the kind of surface only, not on how wet it
began. All constants A.
"""

from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from barnrugs.matching.outfit import Blanket, Outfit
from barnrugs.matching.words import State, Waterproofing

Floats = npt.NDArray[np.float64]

NO_DRYING_FROM_MM = 0.1
SOAKED_FROM = 0.2
"""A layer counts as soaked from here."""

SHORT_COAT_MM, LONG_COAT_MM = 6.0, 20.0
COVERED_COAT_TAU_H = 6.0
HUNG_INDOORS_TAU_H = 6.0


class Soaking(NamedTuple):
    """soak_mm: rain that leaves 1/e of it dry, infinite where rain never comes. tau_h: drying. most: s_max."""

    soak_mm: float
    tau_h: float
    most: float = 1.0


BARE_SHORT = Soaking(3.0, 2.0, 0.9)
BARE_LONG = Soaking(8.0, 3.0, 0.6)


class Surface(IntEnum):
    """How a layer meets the rain: its cloth, and whether a waterproof layer lies over it."""

    OPEN = 0
    RESISTANT = 1
    OPEN_SHELTERED = 2
    RESISTANT_SHELTERED = 3
    WATERPROOF = 4


LAYER_SOAKING = {
    Surface.OPEN: Soaking(3.0, 12.0),
    Surface.RESISTANT: Soaking(10.0, 8.0),
    Surface.OPEN_SHELTERED: Soaking(np.inf, 12.0),
    Surface.RESISTANT_SHELTERED: Soaking(np.inf, 8.0),
    Surface.WATERPROOF: Soaking(np.inf, 6.0),
}


@dataclass(frozen=True)
class Carried:
    """keep, gain: [..., hours + 1]; the state at each hour's start, and after the last, is keep * start + gain."""

    keep: Floats
    gain: Floats

    def during(self, start: Floats) -> Floats:
        """The state each hour is judged by: the larger of its start and its end, [..., hours]."""
        state = self.keep * start[..., None] + self.gain
        return np.maximum(state[..., :-1], state[..., 1:])


def carry(rain_mm: Floats, soak_mm: Floats, tau_h: Floats, most: Floats) -> Carried:
    """How a surface takes and loses water over the hours.

    rain_mm: [..., hours]. soak_mm, tau_h, most: broadcast against [...], one value for each surface.
    """
    dry = np.where(rain_mm >= NO_DRYING_FROM_MM, 1.0, np.exp(-1.0 / tau_h[..., None]))
    wash = np.exp(-rain_mm / soak_mm[..., None])
    keep, gain = [np.ones(wash.shape[:-1])], [np.zeros(wash.shape[:-1])]
    for hour in range(wash.shape[-1]):
        step = dry[..., hour] * wash[..., hour]
        keep.append(keep[-1] * step)
        gain.append(gain[-1] * step + most * (1.0 - wash[..., hour]))
    return Carried(np.stack(keep, -1), np.stack(gain, -1))


def bare_coat(rain_mm: Floats, depth_mm: Floats) -> Carried:
    """Carried wetness of a bare coat of a depth: short to 6 mm, long from 20 mm, linear between."""
    long = np.clip((depth_mm - SHORT_COAT_MM) / (LONG_COAT_MM - SHORT_COAT_MM), 0.0, 1.0)
    soak_mm, tau_h, most = (a + (b - a) * long for a, b in zip(BARE_SHORT, BARE_LONG, strict=True))
    return carry(rain_mm, soak_mm, tau_h, most)


def covered_coat(rain_mm: Floats) -> Carried:
    """Carried wetness of the coat under layers: rain reaches it only through the innermost layer's soak."""
    shape = rain_mm.shape[:-1]
    return carry(rain_mm, np.full(shape, np.inf), np.full(shape, COVERED_COAT_TAU_H), np.ones(shape))


def layers(rain_mm: Floats) -> Carried:
    """Carried soak of each surface, [..., surfaces, hours + 1]."""
    soaking = np.array([LAYER_SOAKING[surface] for surface in Surface])
    return carry(rain_mm[..., None, :], *np.broadcast_arrays(*soaking.T))


def hung_indoors(soak: float, hours: float) -> float:
    """Soak of any layer after some hours on a rail indoors."""
    return float(soak * np.exp(-hours / HUNG_INDOORS_TAU_H))


def start_soak(layer: Blanket) -> float:
    """Soak of a layer as the hours begin: one marked ready is dry."""
    return 0.0 if layer.state is State.READY else layer.soak


def surfaces(outfit: Outfit) -> tuple[Surface, ...]:
    """How each layer meets the rain, from the skin outwards: rain reaches all down to the first waterproof one."""
    found: list[Surface] = []
    sheltered = False
    for layer in reversed(outfit.layers):
        surface = _surface(layer, sheltered)
        sheltered = sheltered or surface is Surface.WATERPROOF
        found.append(surface)
    return tuple(reversed(found))


def _surface(layer: Blanket, sheltered: bool) -> Surface:
    if layer.waterproofing is Waterproofing.NONE:
        return Surface.OPEN_SHELTERED if sheltered else Surface.OPEN
    if layer.waterproofing is Waterproofing.WATERPROOF and not layer.proofing_due:
        return Surface.WATERPROOF
    return Surface.RESISTANT_SHELTERED if sheltered else Surface.RESISTANT
