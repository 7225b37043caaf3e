"""One case for the command line: JSON text in, value objects out; an advice in, plain data for JSON out.

Every fault of a case is found in one reading, each with its path, as `hours[3].air_c: must be a number, not text`.
"""

import json
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any, Final

from barnrugs.matching import MODEL, limits
from barnrugs.matching.choose import Advice, Request, choose
from barnrugs.matching.heat import NoAnswer
from barnrugs.matching.horse import Horse
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.reading import (
    Faults,
    Key,
    decoded,
    flag,
    group,
    number,
    or_null,
    read_object,
    several,
    tag,
    time,
    whole,
    word,
)
from barnrugs.matching.weather import Hour, Place, Stay, check
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

MOST_HOURS: Final = 744
MOST_BLANKETS: Final = 500

SIZES_IN: Final = (20.0, 120.0)
DENIERS: Final = (1.0, 10000.0)
INDOOR_GAIN_C: Final = (-10.0, 30.0)
AGES: Final = (0.0, 60.0)
DAYS: Final = (0, 36500)
OUTDOOR_AIR_C: Final = (-75.0, 60.0)
"""What can be entered at all; the model's own limits stand besides."""


def answer_text(raw: bytes) -> str:
    """The answer to one case as JSON text. Raises Faults."""
    request = parse(raw)
    try:
        advice = choose(request.horse, request.stay, request.blankets)
    except NoAnswer as why:
        raise Faults([str(why)]) from why
    return json.dumps(answer(advice), indent=2, allow_nan=False)


def parse(raw: bytes) -> Request:
    """The request that a case's bytes describe. Raises Faults with one line for each fault."""
    faults: list[str] = []
    case = read_object(decoded(raw), "", faults, CASE)
    if case is not None and not faults:
        faults += _across(case)
    if faults or case is None:
        raise Faults(faults)
    return _request(case)


def answer(advice: Advice) -> dict[str, Any]:
    """An advice as plain data: the outfits best first, the chosen one, coolers to use first."""
    return {
        "outfits": [_outfit_data(judged, advice) for judged in advice.outfits],
        "chosen": {"tags": list(advice.chosen.tags), "neck": advice.chosen.neck},
        "first": [cooler.tag for cooler in advice.first],
        "model": MODEL,
    }


def _outfit_data(judged: JudgedOutfit, advice: Advice) -> dict[str, Any]:
    bands = zip(advice.stay.hours, judged.low_c, judged.high_c, judged.positions, strict=True)
    return {
        "tags": list(judged.tags),
        "neck": judged.neck,
        "verdict": judged.verdict.value,
        "refused": judged.refused.value if judged.refused else None,
        "reasons": [reason.text for reason in judged.reasons],
        "tog": _rounded(judged.tog),
        "score": _rounded(judged.score, 6),
        "cold_degree_hours": _rounded(judged.cold_degree_hours),
        "warm_degree_hours": _rounded(judged.warm_degree_hours),
        "hay_kg_per_day": _rounded(judged.hay_kg_per_day),
        "hours": [
            {
                "time": _time_text(hour.time),
                "low_c": _rounded(low_c),
                "high_c": _rounded(high_c),
                "position": position.value,
                "by_c": _rounded(by_c),
            }
            for hour, low_c, high_c, (position, by_c) in bands
        ],
    }


def _rounded(value: float, digits: int = 3) -> float:
    return round(float(value), digits) + 0.0


def _time_text(time: datetime) -> str:
    return time.isoformat().replace("+00:00", "Z")


# The case, key by key: what is needed, and what the rest defaults to

PLACE: Final = {
    "kind": Key(word(PlaceKind), PlaceKind.TURNOUT),
    "shelter": Key(word(Shelter), Shelter.OPEN),
    "indoor_gain_c": Key(number(*INDOOR_GAIN_C), 0.0),
    "companions_chew": Key(flag, default=False),
}

HORSE: Final = {
    "mass_kg": Key(number(*limits.MASS_KG)),
    "bcs": Key(number(*limits.BCS), 5.0),
    "coat_depth_mm": Key(number(*limits.COAT_MM), 26.0),
    "clip": Key(word(Clip), Clip.NONE),
    "clip_depth_mm": Key(number(*limits.COAT_MM), 2.0),
    "feed": Key(word(Feed), Feed.MAINTENANCE),
    "chest_to_tail_in": Key(or_null(number(*SIZES_IN)), None),
    "build": Key(word(Build), Build.AVERAGE),
    "age_years": Key(number(*AGES), 9.0),
    "offset_c": Key(number(*limits.OFFSET_C), 0.0),
    "habits": Key(several(word(Habit)), ()),
    "needs": Key(several(word(Need)), ()),
    "sweating": Key(flag, default=False),
    "liner": Key(or_null(word(Lining)), None),
    "on_now": Key(several(tag), ()),
    "measured_days_ago": Key(or_null(whole(*DAYS)), None),
    "alone": Key(or_null(flag), None),
}

HOUR: Final = {
    "time": Key(time),
    "air_c": Key(number(*OUTDOOR_AIR_C)),
    "wind_10m_ms": Key(number(*limits.WIND_10M_MS)),
    "rh": Key(number(*limits.FRACTION), 0.8),
    "precip_mm": Key(or_null(number(*limits.PRECIP_MM)), 0.0),
    "precip_chance": Key(or_null(number(*limits.FRACTION)), None),
    "precip_kind": Key(or_null(word(PrecipKind)), None),
    "irradiance_wm2": Key(number(*limits.IRRADIANCE_WM2), 0.0),
    "clear_night": Key(number(*limits.FRACTION), 0.0),
    "place": Key(or_null(group(PLACE)), None),
}

START: Final = {
    "coat_wet": Key(number(*limits.FRACTION), 0.0),
    "coat_wet_under": Key(or_null(number(*limits.FRACTION)), None),
}

BLANKET: Final = {
    "tag": Key(tag),
    "kind": Key(word(Kind), Kind.TURNOUT),
    "size_in": Key(or_null(number(*SIZES_IN)), None),
    "fill_g": Key(number(*limits.FILL_G), None),
    "denier": Key(or_null(number(*DENIERS)), 1200),
    "waterproofing": Key(word(Waterproofing), None),
    "breathable": Key(flag, default=True),
    "neck": Key(word(Neck), Neck.NONE),
    "cut": Key(word(Cut), Cut.STANDARD),
    "front": Key(word(Front), Front.BUCKLE),
    "liner": Key(or_null(word(Lining)), Lining.NYLON),
    "soak": Key(number(*limits.FRACTION), 0.0),
    "state": Key(word(State), State.READY),
    "allowed": Key(flag, default=True),
    "fit": Key(or_null(word(Fit)), None),
    "windproof": Key(or_null(flag), None),
    "wash_due": Key(flag, default=False),
    "proofing_due": Key(flag, default=False),
    "temporary_fix": Key(flag, default=False),
    "back_seam": Key(flag, default=False),
}

CASE: Final = {
    "horse": Key(group(HORSE)),
    "place": Key(group(PLACE)),
    "hours": Key(several(group(HOUR), least=1, most=MOST_HOURS)),
    "start_state": Key(group(START), {"coat_wet": 0.0, "coat_wet_under": None}),
    "blankets": Key(several(group(BLANKET), most=MOST_BLANKETS), ()),
}

FILLED_KINDS: Final = frozenset({Kind.TURNOUT, Kind.STABLE, Kind.LINER})
WATERPROOF_KINDS: Final = frozenset({Kind.TURNOUT, Kind.RAIN_SHEET})
USUAL_FILL_G: Final = 200.0
"""What is not said of a blanket: 200 g if its kind is filled at all; waterproof if a turnout or a rain sheet."""


# Data to value objects


def _across(case: Mapping[str, Any]) -> list[str]:
    """Faults that lie between values which are each right by themselves."""
    blankets, horse = case["blankets"], case["horse"]
    tags = [blanket["tag"] for blanket in blankets]
    faults = [f"blankets[{at}].tag: is given twice" for at, one in enumerate(tags) if one in tags[:at]]
    on_now = horse["on_now"]
    faults += [f"horse.on_now[{at}]: is given twice" for at, one in enumerate(on_now) if one in on_now[:at]]
    faults += [f"horse.on_now[{at}]: is no blanket's tag" for at, one in enumerate(on_now) if one not in tags]
    if blankets and horse["chest_to_tail_in"] is None:
        faults.append("horse.chest_to_tail_in: is needed to fit blankets")
    times = [hour["time"] for hour in case["hours"]]
    faults += [f"hours[{at}].time: must be one hour after the one before" for at in _gaps(times)]
    return faults or _outside_the_model(case)


def _gaps(times: list[datetime]) -> list[int]:
    return [at for at in range(1, len(times)) if times[at] - times[at - 1] != timedelta(hours=1)]


def _outside_the_model(case: Mapping[str, Any]) -> list[str]:
    try:
        check(_stay(case))
    except NoAnswer as why:
        return [str(why)]
    return []


def _request(case: Mapping[str, Any]) -> Request:
    horse = dict(case["horse"])
    for name in ("habits", "needs"):
        horse[name] = frozenset(horse[name])
    horse["on_now"] = tuple(horse["on_now"])
    return Request(Horse(**horse), _stay(case), tuple(_blanket(one) for one in case["blankets"]))


def _stay(case: Mapping[str, Any]) -> Stay:
    return Stay(tuple(_hour(hour) for hour in case["hours"]), Place(**case["place"]), **case["start_state"])


def _hour(hour: Mapping[str, Any]) -> Hour:
    place = hour["place"]
    return Hour(**{**hour, "place": Place(**place) if place is not None else None})


def _blanket(blanket: Mapping[str, Any]) -> Blanket:
    kind, known = blanket["kind"], dict(blanket)
    if known["fill_g"] is None:
        known["fill_g"] = USUAL_FILL_G if kind in FILLED_KINDS else 0.0
    if known["waterproofing"] is None:
        known["waterproofing"] = Waterproofing.WATERPROOF if kind in WATERPROOF_KINDS else Waterproofing.NONE
    return Blanket(**known)
