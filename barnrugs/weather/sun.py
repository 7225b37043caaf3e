"""Whether the sun is down, and how clear the night is. Vectorised over a year's hours."""

from collections.abc import Sequence
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from barnrugs.weather.hours import Site, Slot, year_time

SUNSET_ELEVATION_DEG = -0.833
"""The sun's centre when its upper rim sets: 34 minutes of arc of refraction and 16 of radius."""


def sun_down(slots: Sequence[Slot], site: Site) -> NDArray[np.bool_]:
    """At the middle of each hour. slots (n,) in the site's local standard time; returns (n,).

    By the Solar Position Algorithm (Reda & Andreas 2004, doi:10.1016/j.solener.2003.12.003) as pvlib has it.
    """
    import pandas as pd
    from pvlib.solarposition import spa_python

    middle = pd.DatetimeIndex([year_time(slot, site.utc_offset_h) + timedelta(minutes=30) for slot in slots])
    elevation = spa_python(middle, site.latitude, site.longitude)["elevation"].to_numpy()
    return np.asarray(elevation < SUNSET_ELEVATION_DEG)


def clear_night(slots: Sequence[Slot], sky_cover: Sequence[float | None], site: Site) -> list[float | None]:
    """1 - sky cover while the sun is down, else 0; None where it is down and the sky unknown."""
    down = sun_down(slots, site)
    cover = np.array([np.nan if value is None else value for value in sky_cover], dtype=float)
    clear = np.where(down, 1.0 - cover, 0.0)
    return [None if np.isnan(value) else float(value) for value in clear]
