"""The air around the horse: what leaves its surface by convection, radiation and evaporating rain."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from barnrugs.matching.weather import PRANDTL, conductivity_wmk, saturation_pa, viscosity_m2s

Floats = npt.NDArray[np.float64]

BODY_M = 0.65
"""Diameter of the trunk as a cylinder, m (A)."""

FREE_CONVECTION_WM2K = 3.3
"""Least convection: free from that cylinder at 12 K, Churchill and Chu 1975 (D)."""

EMISSIVITY = 0.95
STEFAN_BOLTZMANN = 5.670374419e-8
"""W/m2/K4 (M)."""

PSYCHROMETRIC_PA_K = 66.0
"""Psychrometric constant, Pa/K (M)."""


@dataclass(frozen=True)
class Boundary:
    """resistance_m2kw: R_a. evaporation_wm2: LE, what a wholly wet surface one degree warmer than the air loses."""

    resistance_m2kw: Floats
    evaporation_wm2: Floats


def boundary(air_c: Floats, wind_ms: Floats, rh: Floats) -> Boundary:
    """Boundary layer of hours; arrays of one shape: degC, m/s at the horse, 0 to 1."""
    convection = convection_wm2k(air_c, wind_ms)
    deficit_pa = saturation_pa(air_c + 1.0) - rh * saturation_pa(air_c)
    return Boundary(
        resistance_m2kw=1.0 / (convection + radiation_wm2k(air_c)),
        evaporation_wm2=np.maximum(0.0, convection * deficit_pa / PSYCHROMETRIC_PA_K),
    )


def radiation_wm2k(air_c: Floats) -> Floats:
    """Radiative exchange, W/m2/K: Stefan-Boltzmann linearised at the air's temperature."""
    return np.asarray(4.0 * EMISSIVITY * STEFAN_BOLTZMANN * (air_c + 273.15) ** 3)


def convection_wm2k(air_c: Floats, wind_ms: Floats) -> Floats:
    """Convection, W/m2/K: the trunk in cross flow, never below free convection."""
    reynolds = wind_ms * BODY_M / viscosity_m2s(air_c)
    return np.maximum(FREE_CONVECTION_WM2K, nusselt(reynolds) * conductivity_wmk(air_c) / BODY_M)


def nusselt(reynolds: Floats, prandtl: float = PRANDTL) -> Floats:
    """Nusselt number of a cylinder in cross flow: Churchill and Bernstein 1977, J Heat Transfer 99:300 (M)."""
    laminar = 0.62 * np.sqrt(reynolds) * prandtl ** (1 / 3) / (1.0 + (0.4 / prandtl) ** (2 / 3)) ** 0.25
    return np.asarray(0.3 + laminar * (1.0 + (reynolds / 282000.0) ** 0.625) ** 0.8)
