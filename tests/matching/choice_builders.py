"""Horses and blankets that fit each other, and strategies that draw a whole choice."""

from datetime import timedelta
from typing import Any

from hypothesis import strategies as st

from barnrugs.matching.choose import Advice, Request
from barnrugs.matching.horse import Horse
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.outfit import Blanket, Outfit
from barnrugs.matching.reasons import Code
from barnrugs.matching.weather import Hour, Place, Stay
from barnrugs.matching.words import (
    Build,
    Clip,
    Cut,
    Feed,
    Fit,
    Front,
    Habit,
    Kind,
    Lining,
    Neck,
    Need,
    PlaceKind,
    PrecipKind,
    Shelter,
    State,
    Waterproofing,
)
from tests.matching.weather_builders import START

MEASURE_IN = 78.0


def animal(coat_mm: float = 26.0, **rest: Any) -> Horse:
    """A grown horse that measures 78 inches."""
    return Horse(rest.pop("mass_kg", 500.0), coat_depth_mm=coat_mm, **{"chest_to_tail_in": MEASURE_IN, **rest})


def made(tag: str, kind: Kind, fill_g: float = 0.0, **rest: Any) -> Blanket:
    """A blanket of its kind: turnouts and rain sheets waterproof and strong, size 78."""
    sheds_rain = kind in {Kind.TURNOUT, Kind.RAIN_SHEET}
    usual = {
        "size_in": MEASURE_IN,
        "denier": 1200 if sheds_rain else None,
        "waterproofing": Waterproofing.WATERPROOF if sheds_rain else Waterproofing.NONE,
    }
    return Blanket(tag, kind, fill_g=fill_g, **{**usual, **rest})


def turnout(fill_g: float = 200.0, tag: str = "T", **rest: Any) -> Blanket:
    return made(tag, Kind.TURNOUT, fill_g, **rest)


def stable(fill_g: float = 200.0, tag: str = "S", **rest: Any) -> Blanket:
    return made(tag, Kind.STABLE, fill_g, **rest)


def liner(fill_g: float = 100.0, tag: str = "L", **rest: Any) -> Blanket:
    return made(tag, Kind.LINER, fill_g, **rest)


def named(advice: Advice, *tags: str, neck: bool | None = None) -> JudgedOutfit:
    """The one judged outfit of these tags."""
    found = [one for one in advice.outfits if one.tags == tags and neck in {None, one.neck}]
    assert len(found) == 1, [one.tags for one in advice.outfits]
    return found[0]


def codes(judged: JudgedOutfit) -> set[Code]:
    return {reason.code for reason in judged.reasons}


def caution_codes(judged: JudgedOutfit) -> set[Code]:
    return {reason.code for reason in judged.cautions}


def pieces(outfit: Outfit) -> list[Blanket]:
    return [*outfit.layers, *([outfit.neck_cover] if outfit.neck_cover else [])]


def words(of: Any) -> st.SearchStrategy[Any]:
    return st.sampled_from(list(of))


def some(of: Any) -> st.SearchStrategy[Any]:
    return st.frozensets(words(of), max_size=2)


places = st.builds(
    Place,
    kind=words(PlaceKind),
    shelter=words(Shelter),
    indoor_gain_c=st.sampled_from([0.0, 4.0, 9.0]),
    companions_chew=st.booleans(),
)

horses = st.builds(
    Horse,
    mass_kg=st.floats(250, 750),
    bcs=st.integers(2, 8).map(float),
    coat_depth_mm=st.sampled_from([2.0, 6.0, 10.0, 15.0, 19.0, 26.0, 40.0]),
    clip=words(Clip),
    feed=words(Feed),
    chest_to_tail_in=st.sampled_from([None, 75.0, 78.0, 78.5]),
    build=words(Build),
    age_years=st.sampled_from([0.2, 2.0, 4.0, 9.0, 27.0]),
    habits=some(Habit),
    needs=some(Need),
    sweating=st.booleans(),
    liner=st.none() | words(Lining),
    on_now=st.sampled_from([(), ("B0",), ("B1", "B0"), ("B9",)]),
    measured_days_ago=st.sampled_from([None, 30, 200, 500]),
    alone=st.sampled_from([None, True, False]),
)


ANY_AIR_C = st.floats(-40, 35)


@st.composite
def stays(draw: st.DrawFn, air_c: st.SearchStrategy[float] = ANY_AIR_C, **fixed: Any) -> Stay:
    count = draw(st.integers(1, 6))
    given = {
        "precip_mm": st.sampled_from([0.0, 0.0, 0.1, 0.2, 1.0, 3.0, None]),
        "precip_chance": st.sampled_from([None, 0.1, 0.29, 0.3, 1.0]),
        "precip_kind": st.none() | words(PrecipKind),
        "wind_10m_ms": st.floats(0, 20),
        "rh": st.floats(0.3, 1),
        "irradiance_wm2": st.sampled_from([0.0, 0.0, 300.0]),
        "place": st.sampled_from([None, None, Place(PlaceKind.STALL), Place()]),
        **fixed,
    }
    hours = tuple(
        Hour(START + timedelta(hours=index), draw(air_c), **{name: draw(value) for name, value in given.items()})
        for index in range(count)
    )
    wet = draw(st.sampled_from([0.0, 0.0, 0.0, 0.29, 0.3, 0.8]))
    return Stay(hours, draw(places), coat_wet=wet)


@st.composite
def blankets(draw: st.DrawFn, most: int = 6) -> list[Blanket]:
    count = draw(st.integers(0, most))
    return [draw(_blanket(f"B{index}")) for index in range(count)]


def _blanket(tag: str) -> st.SearchStrategy[Blanket]:
    usable = st.sampled_from([State.READY] * 9 + list(State))
    return st.builds(
        Blanket,
        tag=st.just(tag),
        kind=words([*Kind, Kind.TURNOUT, Kind.TURNOUT, Kind.LINER, Kind.SHEET, Kind.STABLE]),
        size_in=st.sampled_from([None, 72.0, 76.0, 78.0, 78.0, 78.0, 81.0, 84.0]),
        fill_g=st.sampled_from([0.0, 50.0, 100.0, 200.0, 300.0, 400.0]),
        denier=st.sampled_from([None, 600, 1200, 2100]),
        waterproofing=words(Waterproofing),
        breathable=st.sampled_from([True, True, True, False]),
        neck=words(Neck),
        cut=words(Cut),
        front=words(Front),
        liner=st.none() | words(Lining),
        soak=st.sampled_from([0.0, 0.0, 0.0, 0.1, 0.2, 0.7]),
        state=usable,
        allowed=st.sampled_from([True, True, True, False]),
        fit=st.sampled_from([None, None, None, *Fit]),
        wash_due=st.sampled_from([False, False, True]),
        proofing_due=st.sampled_from([False, False, True]),
        temporary_fix=st.sampled_from([False, False, True]),
        back_seam=st.sampled_from([False, False, True]),
        mine=st.booleans(),
    )


requests = st.builds(Request, horse=horses, stay=stays(), blankets=blankets())
