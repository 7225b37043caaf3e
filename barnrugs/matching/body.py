"""What a horse's body makes of heat, and what holds it: tissue, coat, layers. Arrays of any shape that broadcast."""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

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
