"""The heat balance: between which air temperatures a horse is comfortable in an outfit, hour by hour.

It is decision support: it replaces neither a hand under the blanket nor a veterinarian.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from barnrugs.matching.balance import Bands, bands
from barnrugs.matching.body import layers_dry_m2kw
from barnrugs.matching.herd import Case, Herd, pack
from barnrugs.matching.horse import Horse
from barnrugs.matching.limits import NoAnswer
from barnrugs.matching.outfit import Outfit
from barnrugs.matching.units import M2KW_PER_TOG
from barnrugs.matching.weather import Stay

__all__ = ["Comfort", "NoAnswer", "comfort", "comfort_herd"]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Comfort:
    """What a horse's outfits are to it; arrays [outfits, hours] unless said.

    low_c, high_c: the comfort band, air temperature, degC. air_c: [hours], at the place. cold_c, warm_c: degrees below
    low_c, above high_c, zero or more. hay_kg_per_day: [outfits], mean over the hours. tog: [outfits], the layers dry in
    still air. coat_wet: the bare horse's coat, or the coat under the outfit, 0 to 1. soak: of the outermost layer.
    surface_c: the coat's surface, under the outfit or bare, degC; mean over clipped and unclipped skin.
    """

    low_c: Floats
    high_c: Floats
    air_c: Floats
    cold_c: Floats
    warm_c: Floats
    hay_kg_per_day: Floats
    tog: Floats
    coat_wet: Floats
    soak: Floats
    surface_c: Floats


def comfort(horse: Horse, stay: Stay, outfits: Sequence[Outfit]) -> Comfort:
    """The comfort of one horse in each outfit. Raises NoAnswer outside the limits of the model."""
    return comfort_herd([(horse, stay, outfits)])[0]


def comfort_herd(cases: Sequence[Case]) -> list[Comfort]:
    """The comfort of many horses, in order: one array pass for all stays of one length. Raises NoAnswer."""
    by_length: dict[int, list[int]] = {}
    for index, (_, stay, _) in enumerate(cases):
        by_length.setdefault(len(stay.hours), []).append(index)
    found: dict[int, Comfort] = {}
    for indices in by_length.values():
        herd = pack([cases[index] for index in indices])
        found.update(zip(indices, _split(herd, bands(herd)), strict=True))
    return [found[index] for index in range(len(cases))]


def _split(herd: Herd, found: Bands) -> Iterator[Comfort]:
    """One Comfort for each horse."""
    tog = np.where(herd.outfits.covered > 0, layers_dry_m2kw(herd.outfits.fill_g) / M2KW_PER_TOG, 0.0)
    ends = np.searchsorted(herd.outfits.horse, np.arange(len(herd.horses.mass_kg) + 1))
    for horse, (start, end) in enumerate(pairwise(ends)):
        rows, air_c = slice(start, end), herd.hours.air_c[horse]
        low_c, high_c = found.low_c[rows], found.high_c[rows]
        yield Comfort(
            low_c=low_c,
            high_c=high_c,
            air_c=air_c,
            cold_c=np.maximum(0.0, low_c - air_c),
            warm_c=np.maximum(0.0, air_c - high_c),
            hay_kg_per_day=found.hay_kg_per_day[rows],
            tog=tog[rows],
            coat_wet=found.coat_wet[rows],
            soak=found.soak[rows],
            surface_c=found.surface_c[rows],
        )
