"""Horses, hours and outfits drawn over the whole of the model's limits, for the laws of the heat balance."""

from hypothesis import strategies as st

from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import Blanket, Outfit
from barnrugs.matching.weather import Hour, Place, Stay
from barnrugs.matching.words import Clip, Feed, Kind, Need, PlaceKind, PrecipKind, Shelter, State, Waterproofing
from tests.matching.weather_builders import START, hour

CALM_FILL_G = 260.0
"""Three such layers stay within the limit of 800 g."""


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_subnormal=False)


fractions = between(0, 1)
places = st.builds(
    Place, kind=st.sampled_from(PlaceKind), shelter=st.sampled_from(Shelter), indoor_gain_c=between(0, 11)
)
horses = st.builds(
    Horse,
    mass_kg=between(35, 1100),
    bcs=between(1, 9),
    coat_depth_mm=between(1, 60),
    clip=st.sampled_from(Clip),
    clip_depth_mm=between(1, 60),
    feed=st.sampled_from(Feed),
    offset_c=between(-10, 10),
    needs=st.frozensets(st.sampled_from(Need), max_size=2),
)
layers = st.builds(
    Blanket,
    tag=st.just("B"),
    kind=st.sampled_from(Kind),
    fill_g=between(0, CALM_FILL_G),
    waterproofing=st.sampled_from(Waterproofing),
    breathable=st.booleans(),
    soak=fractions,
    state=st.sampled_from((State.READY, State.ON_HORSE)),
    windproof=st.sampled_from((None, True, False)),
    proofing_due=st.booleans(),
)
outfits = st.builds(Outfit, st.lists(layers, max_size=3).map(tuple), st.booleans())
worn_outfits = st.builds(Outfit, st.lists(layers, min_size=1, max_size=3).map(tuple), st.booleans())


@st.composite
def stays_of_any_weather(draw: st.DrawFn) -> Stay:
    """One to six hours of anything the limits allow, some of them elsewhere, some with unknown rain."""
    count = draw(st.integers(1, 6))
    return Stay(
        tuple(draw(_any_hour(index)) for index in range(count)),
        draw(places),
        draw(fractions),
        draw(st.none() | fractions),
        draw(between(0, 1)),
    )


def _any_hour(index: int) -> st.SearchStrategy[Hour]:
    return st.builds(
        Hour,
        time=st.just(hour(index).time),
        air_c=between(-45, 29),
        wind_10m_ms=between(0, 30),
        rh=fractions,
        precip_mm=st.none() | st.just(0.0) | between(0, 30),
        precip_chance=st.none() | fractions,
        precip_kind=st.none() | st.sampled_from(PrecipKind),
        irradiance_wm2=between(0, 1200),
        clear_night=fractions,
        place=st.none() | places,
    )


@st.composite
def law_stays(draw: st.DrawFn) -> Stay:
    """One rainless hour in the domain of the laws: -45 to 20 degC; dry, or humidity from 0.3."""
    dry = draw(st.booleans())
    only = Hour(
        time=START,
        air_c=draw(between(-45, 20)),
        wind_10m_ms=draw(between(0, 30)),
        rh=draw(fractions if dry else between(0.3, 1)),
        irradiance_wm2=draw(between(0, 1200)),
        clear_night=draw(fractions),
    )
    place = draw(st.builds(Place, kind=st.sampled_from(PlaceKind), shelter=st.sampled_from(Shelter)))
    return Stay((only,), place, 0.0 if dry else draw(fractions), 0.0 if dry else draw(st.none() | fractions))
