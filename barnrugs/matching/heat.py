"""The heat balance: between which air temperatures a horse is comfortable in an outfit, hour by hour.

Steady state, per square metre of skin, parallel paths from one core: covered and bare skin, each split by a clip.

    G(I)   = sum f_i / (I + R_i + R_a)                          W(I) = sum f_i w_i LE R_a / (R_a + I + R_i)
    low_c  = T_core - (M - E_min  - W(I_cold)) / G(I_cold) - Q_rad R_a + offset
    whole  = T_core - (M - E_warm - W(I_warm)) / G(I_warm) - Q_rad R_a + offset
    under  = whole over the covered paths alone
    high_c = max(low_c, whole) bare; max(low_c, min((whole + under) / 2, bare whole)) with anything on

It is decision support: it replaces neither a hand under the blanket nor a veterinarian.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from barnrugs.matching import wetness
from barnrugs.matching.boundary import boundary
from barnrugs.matching.herd import Case, Herd, Horses, Outfits, pack
from barnrugs.matching.horse import Horse
from barnrugs.matching.limits import NoAnswer
from barnrugs.matching.outfit import Outfit
from barnrugs.matching.units import M2KW_PER_TOG
from barnrugs.matching.weather import Stay

__all__ = ["Bands", "Comfort", "NoAnswer", "bands", "comfort", "comfort_herd", "full_bands", "pack"]

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.intp]

CORE_C = 38.0
"""Core temperature: 37.5 to 38.5 in Kang et al. 2023, Int J Biometeorol 67:957 (R)."""

REST_HEAT_WM2 = 142.0
"""Heat production at rest on maintenance feed, 500 kg: Morgan 1998, J Therm Biol 23:59 (R)."""

METABOLIC_EXPONENT = 0.75
"""Kleiber (M)."""

TURNOUT_ACTIVITY = 1.10
"""Group and foraging allowance, Coenen et al. 2011 (Q): its low end."""

COLD_EVAPORATION = 0.35
"""Of M: 142 - 2.78 x 33 = 50 W/m2 from Morgan, Ehrlemark and Sallvik 1997, J Therm Biol 22:177 (D)."""

WARM_EVAPORATION = 0.394
"""Of M, on top, where skin is free to evaporate: (142 - 2.78 x 13) - 50 = 56 W/m2, same paper (D)."""

FREEDOM_BREATHABLE, FREEDOM_AIRTIGHT = 0.5, 0.25
FREEDOM_BARE_LEAST, FREEDOM_LOST_PER_MM = 0.3, 0.012
"""psi, how freely skin evaporates under layers and through a bare coat (A)."""

TISSUE_M2KW = 0.150
"""Tissue in the cold at 500 kg, condition 5 (A, between 0.099, Bruce and Clark 1979 via Berman 2004, R, and 0.186, NRC
cattle, R)."""

TISSUE_BCS_BASE, TISSUE_BCS_SLOPE = 5.25, 0.75
"""Shape of tissue by condition: NRC Beef (R)."""

TISSUE_SIZE_EXPONENT = 0.33
"""Bruce and Clark (R)."""

TISSUE_WARM = 0.4
"""I_warm over I_cold (A)."""

COAT_WMK = 0.085
"""Conductivity of a bare coat in still air (A, of 0.063 to 0.10 for animal coats, R)."""

COAT_WIND_PER_MS = 0.19
"""Gain in a coat's conductance per m/s: 2 to 3 times at 8 m/s, Morgan/SLU (R)."""

COAT_LOST_WET = 0.8
"""Of a soaked coat: NRC/CNCPS mud factors 1, 0.8, 0.5, 0.2 (R)."""

COAT_UNDER_LAYERS = 0.55
WIND_UNDER_OPEN_LAYERS = 0.3
"""Depth of coat left under layers, and wind where none is windproof (A)."""

LAYERS_M2KW, LAYERS_M2KW_PER_G = 0.05, 0.00135
"""Layers dry in still air: any, and per g/m2 of fill (A; 200 g is 0.20 to 0.30, Bangera et al., R)."""

LAYERS_WIND_PER_MS = 0.10
LAYERS_LOST_SOAKED = 0.90
"""(A)"""

WET_BARE_COOLING = 0.4
"""Wet surface of a bare coat over its wetness (A; cooling efficiency about 25 %, Alexander 1962, R)."""

HAY_J_PER_KG = 8.0e6
"""Hay as heat (A)."""

SECONDS_PER_DAY = 86400.0

CELLS_AT_A_TIME = 16_384
"""Rows times hours worked on together: what stays in the processor's cache."""


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
        found.update(zip(indices, _split(herd, full_bands(herd)), strict=True))
    return [found[index] for index in range(len(cases))]


@dataclass(frozen=True)
class Bands:
    """What Comfort holds, [rows, hours] with rows as in Outfits; hay_kg_per_day [rows]."""

    hay_kg_per_day: Floats
    low_c: Floats
    high_c: Floats


@dataclass(frozen=True)
class FullBands(Bands):
    coat_wet: Floats
    soak: Floats
    surface_c: Floats


def skin_m2(mass_kg: Floats) -> Floats:
    """Skin area: Hodgson et al. 1993 (M); 5.09 m2 at 500 kg."""
    return 1.09 + 0.008 * mass_kg


def heat_production_wm2(mass_kg: Floats, factor: Floats) -> Floats:
    """M, W/m2 of skin: at rest, times feed and activity."""
    per_skin = mass_kg**METABOLIC_EXPONENT / skin_m2(mass_kg)
    reference = 500.0**METABOLIC_EXPONENT / skin_m2(np.asarray(500.0))
    return np.asarray(REST_HEAT_WM2 * per_skin / reference * factor)


def tissue_cold_m2kw(mass_kg: Floats, bcs: Floats) -> Floats:
    """I_cold, resistance from the core to the skin, blood drawn back, m2K/W."""
    condition = (TISSUE_BCS_BASE + TISSUE_BCS_SLOPE * bcs) / (TISSUE_BCS_BASE + TISSUE_BCS_SLOPE * 5.0)
    return np.asarray(TISSUE_M2KW * condition * (mass_kg / 500.0) ** TISSUE_SIZE_EXPONENT)


def coat_m2kw(depth_mm: Floats, wind_ms: Floats, wet: Floats) -> Floats:
    """Resistance of a coat, m2K/W: its depth, the wind in it, its wetness 0 to 1."""
    return np.asarray(depth_mm * 1e-3 / (COAT_WMK * (1.0 + COAT_WIND_PER_MS * wind_ms)) * (1.0 - COAT_LOST_WET * wet))


def layers_dry_m2kw(fill_g: Floats) -> Floats:
    """Resistance of layers, dry in still air, m2K/W."""
    return np.asarray(LAYERS_M2KW + LAYERS_M2KW_PER_G * fill_g)


def bare_freedom(depth_mm: Floats) -> Floats:
    """psi through a bare coat."""
    return np.maximum(FREEDOM_BARE_LEAST, 1.0 - FREEDOM_LOST_PER_MM * depth_mm)


def warm_share(freedom: Floats) -> Floats:
    """(M - E_warm) / M."""
    return 1.0 - COLD_EVAPORATION - WARM_EVAPORATION * freedom


@dataclass(frozen=True)
class _Bare:
    """Bare skin, both its paths together, [horses, hours]; freedom: psi, [horses, 1]."""

    cold_g: Floats
    cold_w: Floats
    warm_g: Floats
    warm_w: Floats
    freedom: Floats
    wet: Floats


@dataclass(frozen=True)
class _Stage:
    """All that does not depend on the outfit: [horses, hours], or [horses, 1] for what the horse alone decides.

    heat: M. still: T_core + offset - Q_rad R_a. cooling: LE R_a. whole_bare_c: `whole` of the bare horse. open_coat,
    open_layers: what wind leaves of the resistance of coat and layers where no layer keeps it out. soaking: of
    [horses, surfaces, hours + 1].
    """

    air_c: Floats
    heat: Floats
    still: Floats
    air_m2kw: Floats
    cooling: Floats
    tissue_cold: Floats
    tissue_warm: Floats
    coat_mm: Floats
    clip_mm: Floats
    clipped: Floats
    bare: _Bare
    whole_bare_c: Floats
    under_wet: Floats
    open_coat: Floats
    open_layers: Floats
    soaking: wetness.Carried
    low_shift_c: Floats
    high_shift_c: Floats
    hay_kg_per_wm2: Floats


def bands(herd: Herd) -> Bands:
    """The comfort bands of every row; the peak stays at two arrays and a block."""
    return Bands(*_fill(herd, details=False))


def full_bands(herd: Herd) -> FullBands:
    """The comfort bands with wetness, soak and surface temperature."""
    return FullBands(*_fill(herd, details=True))


def _fill(herd: Herd, *, details: bool) -> list[Floats]:
    """Every row, a cache-sized block of rows at a time."""
    stage = _set_stage(herd)
    rows, hours = len(herd.outfits.horse), herd.hours.air_c.shape[1]
    out = [np.empty(rows), *(np.empty((rows, hours)) for _ in range(5 if details else 2))]
    for block in _blocks(rows, hours):
        for whole, part in zip(out, _block(stage, herd.outfits, block, details), strict=True):
            whole[block] = part
    return out


def _blocks(rows: int, hours: int) -> Iterator[slice]:
    step = max(1, CELLS_AT_A_TIME // hours)
    return (slice(start, min(rows, start + step)) for start in range(0, rows, step))


def _set_stage(herd: Herd) -> _Stage:
    horses, hours = herd.horses, herd.hours
    air = boundary(hours.air_c, hours.wind_ms, hours.rh)
    activity = np.where(hours.outdoors, TURNOUT_ACTIVITY, 1.0)
    heat = heat_production_wm2(horses.mass_kg, horses.feed)[:, None] * activity
    tissue = tissue_cold_m2kw(horses.mass_kg, horses.bcs)[:, None]
    cooling = air.evaporation_wm2 * air.resistance_m2kw
    still = CORE_C + horses.offset_c[:, None] - hours.radiation_wm2 * air.resistance_m2kw
    bare = _bare(horses, hours.rain_mm, hours.wind_ms, tissue, air.resistance_m2kw, cooling)
    return _Stage(
        air_c=hours.air_c,
        heat=heat,
        still=still,
        air_m2kw=air.resistance_m2kw,
        cooling=cooling,
        tissue_cold=tissue,
        tissue_warm=TISSUE_WARM * tissue,
        coat_mm=horses.coat_mm[:, None],
        clip_mm=horses.clip_mm[:, None],
        clipped=horses.clipped[:, None],
        bare=bare,
        whole_bare_c=_balance(still, warm_share(bare.freedom) * heat, bare.warm_w, bare.warm_g),
        under_wet=wetness.covered_coat(hours.rain_mm).during(horses.coat_wet_under),
        open_coat=1.0 / (1.0 + COAT_WIND_PER_MS * WIND_UNDER_OPEN_LAYERS * hours.wind_ms),
        open_layers=1.0 / (1.0 + LAYERS_WIND_PER_MS * hours.wind_ms),
        soaking=wetness.layers(hours.rain_mm),
        low_shift_c=horses.low_shift_c[:, None],
        high_shift_c=horses.high_shift_c[:, None],
        hay_kg_per_wm2=skin_m2(horses.mass_kg) * SECONDS_PER_DAY / HAY_J_PER_KG,
    )


def _bare(horses: Horses, rain_mm: Floats, wind_ms: Floats, tissue: Floats, air_m2kw: Floats, cooling: Floats) -> _Bare:
    cold_g = cold_w = warm_g = warm_w = freedom = mean_wet = np.zeros(())
    for depth_mm, share in ((horses.coat_mm, 1.0 - horses.clipped), (horses.clip_mm, horses.clipped)):
        wet = wetness.bare_coat(rain_mm, depth_mm).during(horses.coat_wet)
        beyond_skin = coat_m2kw(depth_mm[:, None], wind_ms, wet) + air_m2kw
        cold, warm = (share[:, None] / (inside + beyond_skin) for inside in (tissue, TISSUE_WARM * tissue))
        evaporating = WET_BARE_COOLING * wet * cooling
        cold_g, warm_g = cold_g + cold, warm_g + warm
        cold_w, warm_w = cold_w + evaporating * cold, warm_w + evaporating * warm
        freedom = freedom + share * bare_freedom(depth_mm)
        mean_wet = mean_wet + share[:, None] * wet
    return _Bare(cold_g, cold_w, warm_g, warm_w, freedom[:, None], mean_wet)


def _balance(still: Floats, heat: Floats, evaporating: Floats, conductance: Floats) -> Floats:
    """The air temperature at which `heat`, W/m2 past breath and sweat, just leaves; rain takes at most all of it."""
    return np.asarray(still - np.maximum(0.0, heat - evaporating) / conductance)


def _block(stage: _Stage, outfits: Outfits, block: slice, details: bool) -> list[Floats]:
    at = _horse_index(outfits.horse[block])
    share = outfits.covered[block, None]
    cover = _cover(stage, outfits, block, at)
    cold_g = share * cover.cold_g + (1.0 - share) * stage.bare.cold_g[at]
    cold_w = share * (cover.cooling * cover.cold_g) + (1.0 - share) * stage.bare.cold_w[at]
    low = _balance(stage.still[at], (1.0 - COLD_EVAPORATION) * stage.heat[at], cold_w, cold_g) + stage.low_shift_c[at]
    high = np.maximum(low, _warm_end(stage, outfits, block, at, cover) + stage.high_shift_c[at])
    hay = (np.maximum(0.0, low - stage.air_c[at]) * cold_g).mean(-1) * stage.hay_kg_per_wm2[at]
    return [hay, low, high, *(_details(stage, at, cover, share > 0) if details else ())]


def _horse_index(horse: Ints) -> slice | Ints:
    """A view where the whole block is one horse's, a gather elsewhere."""
    return slice(int(horse[0]), int(horse[0]) + 1) if horse[0] == horse[-1] else horse


@dataclass(frozen=True)
class _Cover:
    """Covered skin, both paths together, [rows, hours]. wet: its coat. cooling: w LE R_a. outside: layers and R_a."""

    cold_g: Floats
    warm_g: Floats
    cooling: Floats
    wet: Floats
    soak: Floats
    outside: Floats


def _cover(stage: _Stage, outfits: Outfits, block: slice, at: slice | Ints) -> _Cover:
    inner, mean, outer = _soaks(stage.soaking, outfits, block)
    wet = np.maximum(inner, stage.under_wet[at])
    windproof = outfits.windproof[block, None]
    layers = layers_dry_m2kw(outfits.fill_g[block, None]) * np.where(windproof, 1.0, stage.open_layers[at])
    outside = layers * (1.0 - LAYERS_LOST_SOAKED * mean) + stage.air_m2kw[at]
    still_coat = np.where(windproof, 1.0, stage.open_coat[at])
    coat_per_mm = coat_m2kw(np.asarray(COAT_UNDER_LAYERS), np.asarray(0.0), wet) * still_coat
    full, clip = stage.coat_mm[at] * coat_per_mm + outside, stage.clip_mm[at] * coat_per_mm + outside
    clipped = stage.clipped[at]
    cold_g, warm_g = (
        (1.0 - clipped) / (inside + full) + clipped / (inside + clip)
        for inside in (stage.tissue_cold[at], stage.tissue_warm[at])
    )
    return _Cover(cold_g, warm_g, outer * stage.cooling[at], wet, outer, outside)


def _soaks(soaking: wetness.Carried, outfits: Outfits, block: slice) -> tuple[Floats, Floats, Floats]:
    """Soak of the innermost layer, of all by weight, of the outermost; [rows, hours]."""
    horse = outfits.horse[block]
    soaks = []
    for layer in range(outfits.surface.shape[1]):
        surface = outfits.surface[block, layer]
        carried = wetness.Carried(soaking.keep[horse, surface], soaking.gain[horse, surface])
        soaks.append(carried.during(outfits.soak[block, layer]))
    weights = outfits.weight[block]
    mean = sum((weights[:, layer, None] * soak for layer, soak in enumerate(soaks)), np.zeros(()))
    return soaks[0], mean, soaks[-1]


def _warm_end(stage: _Stage, outfits: Outfits, block: slice, at: slice | Ints, cover: _Cover) -> Floats:
    """high_c before it is held at or above low_c."""
    share = outfits.covered[block, None]
    freedom = np.where(outfits.airtight[block, None], FREEDOM_AIRTIGHT, FREEDOM_BREATHABLE)
    heat, still = stage.heat[at], stage.still[at]
    under_w = cover.cooling * cover.warm_g
    under = _balance(still, warm_share(freedom) * heat, under_w, cover.warm_g)
    whole = _balance(
        still,
        warm_share(share * freedom + (1.0 - share) * stage.bare.freedom[at]) * heat,
        share * under_w + (1.0 - share) * stage.bare.warm_w[at],
        share * cover.warm_g + (1.0 - share) * stage.bare.warm_g[at],
    )
    bare = stage.whole_bare_c[at]
    return np.where(share > 0, np.minimum(0.5 * (whole + under), bare), bare)


def _details(stage: _Stage, at: slice | Ints, cover: _Cover, worn: Flags) -> tuple[Floats, Floats, Floats]:
    """Wetness of the coat, soak of the outermost layer, surface of the coat."""
    air_c = stage.air_c[at]
    outside = np.where(worn, cover.outside * cover.cold_g, stage.air_m2kw[at] * stage.bare.cold_g[at])
    wet = np.where(worn, cover.wet, stage.bare.wet[at])
    return wet, np.where(worn, cover.soak, 0.0), CORE_C - (CORE_C - air_c) * (1.0 - outside)


def _split(herd: Herd, found: FullBands) -> Iterator[Comfort]:
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
