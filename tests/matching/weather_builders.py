"""Plain hours, stays and outfits for the tests of the heat balance."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import Blanket, Outfit
from barnrugs.matching.weather import Hour, Place, Stay
from barnrugs.matching.words import Kind, PlaceKind, Shelter, Waterproofing

START = datetime(2026, 1, 10, 18, tzinfo=UTC)
OPEN = Place()
STALL = Place(PlaceKind.STALL)
SHED = Place(shelter=Shelter.SHED)


def hour(index: int = 0, /, air_c: float = 0.0, wind: float = 0.0, **rest: Any) -> Hour:
    return Hour(START + timedelta(hours=index), air_c, wind, **rest)


def stay(air_c: float = 0.0, wind: float = 0.0, *, hours: int = 1, place: Place = OPEN, **rest: Any) -> Stay:
    """Hours that are all alike; coat_wet, coat_wet_under and rain_threshold go to the stay, the rest to each hour."""
    own = {name: rest.pop(name) for name in ("coat_wet", "coat_wet_under", "rain_threshold") if name in rest}
    return Stay(tuple(hour(index, air_c, wind, **rest) for index in range(hours)), place, **own)


def rainy(rain_mm: Sequence[float | None], air_c: float = 5.0, place: Place = OPEN, **rest: Any) -> Stay:
    """Hours that differ in their rain only."""
    return Stay(tuple(hour(index, air_c, precip_mm=mm) for index, mm in enumerate(rain_mm)), place, **rest)


def horse(coat_mm: float = 26.0, **rest: Any) -> Horse:
    return Horse(rest.pop("mass_kg", 500.0), coat_depth_mm=coat_mm, **rest)


def turnout(fill_g: float = 0.0, waterproofing: Waterproofing = Waterproofing.WATERPROOF, **rest: Any) -> Blanket:
    return Blanket(rest.pop("tag", f"T{fill_g:g}"), Kind.TURNOUT, fill_g=fill_g, waterproofing=waterproofing, **rest)


def stable(fill_g: float = 0.0, **rest: Any) -> Blanket:
    return Blanket(rest.pop("tag", f"S{fill_g:g}"), Kind.STABLE, fill_g=fill_g, **rest)


def worn(*layers: Blanket, neck: bool = False) -> Outfit:
    return Outfit(layers, neck)
