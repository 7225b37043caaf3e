"""The equations of the heat balance as array expressions, over every outfit of every horse in every hour.

Steady state, per square metre of skin, parallel paths from one core: covered and bare skin, each split by a clip.

    G(I)   = sum f_i / (I + R_i + R_a)                          W(I) = sum f_i w_i LE R_a / (R_a + I + R_i)
    low_c  = T_core - (M - E_min  - W(I_cold)) / G(I_cold) - Q_rad R_a + offset
    whole  = T_core - (M - E_warm - W(I_warm)) / G(I_warm) - Q_rad R_a + offset
    under  = whole over the covered paths alone
    high_c = max(low_c, whole) bare; max(low_c, min((whole + under) / 2, bare whole)) with anything on

Bare skin does not depend on the outfit: it is worked out once for each horse and hour. The rest goes a block of rows at
a time.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from barnrugs.matching import wetness
from barnrugs.matching.body import (
    COAT_UNDER_LAYERS,
    COAT_WIND_PER_MS,
    COLD_EVAPORATION,
    FREEDOM_AIRTIGHT,
    FREEDOM_BREATHABLE,
    LAYERS_LOST_SOAKED,
    LAYERS_WIND_PER_MS,
    TISSUE_WARM,
    TURNOUT_ACTIVITY,
    WIND_UNDER_OPEN_LAYERS,
    bare_freedom,
    coat_m2kw,
    heat_production_wm2,
    layers_dry_m2kw,
    skin_m2,
    tissue_cold_m2kw,
    warm_share,
)
from barnrugs.matching.boundary import boundary
from barnrugs.matching.herd import Herd, Horses, Outfits

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.intp]

CORE_C = 38.0
"""Core temperature: 37.5 to 38.5 in Kang et al. 2023, Int J Biometeorol 67:957 (R)."""

WET_BARE_COOLING = 0.4
"""Wet surface of a bare coat over its wetness (A; cooling efficiency about 25 %, Alexander 1962, R)."""

HAY_J_PER_KG = 8.0e6
"""Hay as heat (A)."""

SECONDS_PER_DAY = 86400.0

CELLS_AT_A_TIME = 16_384
"""Rows times hours worked on together: what stays in the processor's cache."""


@dataclass(frozen=True)
class Bands:
    """What Comfort holds, [rows, hours] with rows as in Outfits; hay_kg_per_day [rows]."""

    hay_kg_per_day: Floats
    low_c: Floats
    high_c: Floats
    coat_wet: Floats
    soak: Floats
    surface_c: Floats


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
    """The comfort bands of every row, with wetness, soak and surface: a cache-sized block of rows at a time."""
    stage = _set_stage(herd)
    rows, hours = len(herd.outfits.horse), herd.hours.air_c.shape[1]
    out = [np.empty(rows), *(np.empty((rows, hours)) for _ in range(5))]
    for block in _blocks(rows, hours):
        for whole, part in zip(out, _block(stage, herd.outfits, block), strict=True):
            whole[block] = part
    return Bands(*out)


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


def _block(stage: _Stage, outfits: Outfits, block: slice) -> list[Floats]:
    at = _horse_index(outfits.horse[block])
    share = outfits.covered[block, None]
    cover = _cover(stage, outfits, block, at)
    cold_g = share * cover.cold_g + (1.0 - share) * stage.bare.cold_g[at]
    cold_w = share * (cover.cooling * cover.cold_g) + (1.0 - share) * stage.bare.cold_w[at]
    low = _balance(stage.still[at], (1.0 - COLD_EVAPORATION) * stage.heat[at], cold_w, cold_g) + stage.low_shift_c[at]
    high = np.maximum(low, _warm_end(stage, outfits, block, at, cover) + stage.high_shift_c[at])
    hay = (np.maximum(0.0, low - stage.air_c[at]) * cold_g).mean(-1) * stage.hay_kg_per_wm2[at]
    return [hay, low, high, *_details(stage, at, cover, share > 0)]


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
