"""Hours of weather and the places where a horse meets them."""

from dataclasses import dataclass
from datetime import datetime

from barnrugs.matching.words import PlaceKind, PrecipKind, Shelter


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

    wind_10m_ms at 10 m in m/s, rh 0 to 1, irradiance_wm2 global horizontal, clear_night 1 - cloud fraction while the sun is
    down, else 0. place overrides the stay's place for this hour.
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

    coat_wet: wetness of bare skin at the start, 0 to 1. coat_wet_under: of the skin under what it wears; None starts at 0.
    rain_threshold: chance from which an hour's precipitation counts.
    """

    hours: tuple[Hour, ...]
    place: Place = Place()
    coat_wet: float = 0.0
    coat_wet_under: float | None = None
    rain_threshold: float = 0.3

    def place_at(self, index: int) -> Place:
        return self.hours[index].place or self.place
