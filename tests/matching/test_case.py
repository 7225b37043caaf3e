"""The command line: JSON in, JSON out; bad input is one line for each fault, never a traceback."""

import copy
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from barnrugs.matching import MODEL
from barnrugs.matching.case import answer_text, parse
from barnrugs.matching.reading import MOST_BYTES, Faults
from barnrugs.matching.words import Kind, Lining, State, Waterproofing
from tests.matching.examples import examples

CASE: dict[str, Any] = {
    "horse": {
        "mass_kg": 500,
        "bcs": 5,
        "coat_depth_mm": 26,
        "clip": "none",
        "clip_depth_mm": 2,
        "feed": "maintenance",
        "chest_to_tail_in": 78,
        "build": "average",
        "age_years": 9,
        "offset_c": 0,
        "habits": [],
        "needs": [],
        "sweating": False,
        "liner": None,
        "on_now": [],
        "measured_days_ago": None,
        "alone": None,
    },
    "place": {"kind": "turnout", "shelter": "open", "indoor_gain_c": 0, "companions_chew": False},
    "hours": [
        {
            "time": "2026-01-10T18:00:00Z",
            "air_c": -15,
            "wind_10m_ms": 2,
            "rh": 0.8,
            "precip_mm": 0,
            "precip_chance": None,
            "precip_kind": None,
            "irradiance_wm2": 0,
            "clear_night": 0,
        }
    ],
    "start_state": {"coat_wet": 0, "coat_wet_under": None},
    "blankets": [
        {
            "tag": "T1",
            "kind": "turnout",
            "size_in": 78,
            "fill_g": 200,
            "denier": 1200,
            "waterproofing": "waterproof",
            "breathable": True,
            "neck": "none",
            "cut": "standard",
            "front": "buckle",
            "liner": "nylon",
            "soak": 0,
            "state": "ready",
            "allowed": True,
            "fit": None,
            "windproof": None,
            "wash_due": False,
            "proofing_due": False,
            "temporary_fix": False,
            "back_seam": False,
        }
    ],
}


def changed(change: Callable[[dict[str, Any]], Any]) -> dict[str, Any]:
    case = copy.deepcopy(CASE)
    change(case)
    return case


def raw(case: Any) -> bytes:
    return json.dumps(case).encode()


def asked(case: Any) -> dict[str, Any]:
    found = json.loads(answer_text(raw(case)))
    assert isinstance(found, dict)
    return found


def faults(given_raw: bytes) -> list[str]:
    with pytest.raises(Faults) as why:
        answer_text(given_raw)
    assert all("\n" not in fault for fault in why.value.faults)
    return why.value.faults


def test_the_answer_has_the_shape_that_scripts_read():
    found = asked(CASE)
    assert list(found) == ["outfits", "chosen", "first", "model"]
    assert found["chosen"] == {"tags": ["T1"], "neck": False}
    assert (found["first"], found["model"]) == ([], MODEL)
    assert [one["tags"] for one in found["outfits"]] == [["T1"], []]
    worn = found["outfits"][0]
    assert list(worn) == [
        "tags",
        "neck",
        "verdict",
        "refused",
        "reasons",
        "tog",
        "score",
        "cold_degree_hours",
        "warm_degree_hours",
        "hay_kg_per_day",
        "hours",
    ]
    assert (worn["verdict"], worn["refused"], worn["tog"]) == ("wear", None, 3.2)
    assert [(list(hour), hour["time"], hour["position"], hour["by_c"]) for hour in worn["hours"]] == [
        (["time", "low_c", "high_c", "position", "by_c"], "2026-01-10T18:00:00Z", "inside", 0)
    ]


def test_only_horse_place_and_hours_are_needed():
    least = {
        "horse": {"mass_kg": 500},
        "place": {},
        "hours": [{"time": "2026-01-10T18:00:00Z", "air_c": -15, "wind_10m_ms": 2}],
    }
    no_blankets = changed(lambda case: case.update(blankets=[]))
    assert asked(least) == asked(no_blankets)
    for key in least:
        assert faults(raw({name: value for name, value in least.items() if name != key})) == [f"{key}: is needed"]


@pytest.mark.parametrize(
    ("path", "remove"),
    [
        ("horse.mass_kg", lambda case: case["horse"].pop("mass_kg")),
        ("hours[0].time", lambda case: case["hours"][0].pop("time")),
        ("hours[0].air_c", lambda case: case["hours"][0].pop("air_c")),
        ("hours[0].wind_10m_ms", lambda case: case["hours"][0].pop("wind_10m_ms")),
        ("blankets[0].tag", lambda case: case["blankets"][0].pop("tag")),
    ],
)
def test_what_has_no_natural_default_is_needed(path: str, remove: Callable[[dict[str, Any]], Any]):
    assert faults(raw(changed(remove))) == [f"{path}: is needed"]


def test_the_length_is_needed_only_for_blankets():
    without = changed(lambda case: case["horse"].pop("chest_to_tail_in"))
    assert faults(raw(without)) == ["horse.chest_to_tail_in: is needed to fit blankets"]
    assert asked({**without, "blankets": []})["chosen"]["tags"] == []


def test_every_other_key_defaults_as_the_example_shows():
    whole = parse(raw(CASE))
    needed = {"mass_kg", "time", "air_c", "wind_10m_ms", "chest_to_tail_in", "tag", "size_in"}
    for path in (("horse",), ("place",), ("hours", 0), ("start_state",), ("blankets", 0)):
        for key in set(get(CASE, path)) - needed:
            assert parse(raw(changed(lambda case, at=path, key=key: get(case, at).pop(key)))) == whole, (path, key)
    assert parse(raw({name: value for name, value in CASE.items() if name != "start_state"})) == whole


def get(case: Any, path: tuple[Any, ...]) -> Any:
    for step in path:
        case = case[step]
    return case


@pytest.mark.parametrize("kind", Kind)
def test_a_blanket_is_waterproof_and_filled_by_default_only_where_its_kind_is(kind: Kind):
    case = changed(lambda case: case.update(blankets=[{"tag": "B", "kind": kind.value}]))
    blanket = parse(raw(case)).blankets[0]
    assert (blanket.waterproofing is Waterproofing.WATERPROOF) is (kind in {Kind.TURNOUT, Kind.RAIN_SHEET})
    assert blanket.fill_g == (200 if kind in {Kind.TURNOUT, Kind.STABLE, Kind.LINER} else 0)
    assert (blanket.size_in, blanket.liner, blanket.state) == (None, Lining.NYLON, State.READY)


def test_an_hour_may_carry_its_own_place():
    out = changed(lambda case: case["hours"][0].update(precip_mm=3, place={"kind": "stall"}))
    out["blankets"][0]["waterproofing"] = "none"
    assert asked(out)["outfits"][0]["refused"] is None


def test_what_it_wears_is_its_own_and_what_another_wears_is_not():
    on_another = changed(lambda case: case["blankets"][0].update(state="on_horse"))
    assert [one["refused"] for one in asked(on_another)["outfits"]] == [None, "on_another"]
    on_another["horse"]["on_now"] = ["T1"]
    assert asked(on_another)["chosen"]["tags"] == ["T1"]


def test_coolers_are_answered_first():
    case = changed(lambda case: case["blankets"].append({"tag": "C", "kind": "cooler", "size_in": 78}))
    case["start_state"]["coat_wet"] = 0.5
    found = asked(case)
    assert found["first"] == ["C"]
    assert "wear" not in {one["verdict"] for one in found["outfits"]}


WRONG: list[tuple[tuple[Any, ...], Any, str]] = [
    (("horse", "mass_kg"), "500", "must be a number, not text"),
    (("horse", "mass_kg"), True, "must be a number, not true or false"),
    (("horse", "mass_kg"), None, "must be a number, not null"),
    (("horse", "mass_kg"), 34, "must lie between 35 and 1100"),
    (("horse", "mass_kg"), float("nan"), "must lie between 35 and 1100"),
    (("horse", "mass_kg"), float("inf"), "must lie between 35 and 1100"),
    (("horse", "mass_kg"), 10**400, "must lie between 35 and 1100"),
    (("horse", "bcs"), 9.5, "must lie between 1 and 9"),
    (("horse", "coat_depth_mm"), 0, "must lie between 1 and 60"),
    (("horse", "clip"), "half", '"half" is not one of none, bib, irish, trace, blanket, hunter, full'),
    (("horse", "clip"), 3, "must be a word, not a number"),
    (("horse", "clip"), None, "must be a word, not null"),
    (("horse", "sweating"), 0, "must be true or false, not a number"),
    (("horse", "needs"), "thin", "must be a list, not text"),
    (("horse", "habits"), ["rolls"] * 51, "must hold 0 to 50 entries, not 51"),
    (("horse", "measured_days_ago"), 1.5, "must be a whole number"),
    (("horse", "on_now"), ["T1", "T1"], None),
    (("horse",), [], "must be an object, not a list"),
    (("place",), None, "must be an object, not null"),
    (("place", "kind"), "field", '"field" is not one of turnout, stall'),
    (("hours",), [], "must hold 1 to 744 entries, not 0"),
    (("hours",), {}, "must be a list, not an object"),
    (("hours", 0, "air_c"), -45.1, "Air temperature at the place must lie between -45 °C and 40 °C."),
    (("hours", 0, "air_c"), 1e300, "must lie between -75 and 60"),
    (("hours", 0, "wind_10m_ms"), -1, "must lie between 0 and 30"),
    (("hours", 0, "rh"), 1.01, "must lie between 0 and 1"),
    (("hours", 0, "precip_mm"), -0.1, "must lie between 0 and 500"),
    (("hours", 0, "time"), "yesterday", '"yesterday" is not a time like 2026-01-10T18:00:00Z'),
    (("hours", 0, "time"), "2026-01-10T18:00:00", "must name its zone, as Z for UTC"),
    (("hours", 0, "time"), "0001-01-01T00:00:00Z", "must lie in the years 1900 to 2200"),
    (("hours", 0, "time"), 5, "must be a time as text, not a number"),
    (("start_state", "coat_wet"), 2, "must lie between 0 and 1"),
    (("blankets",), 5, "must be a list, not a number"),
    (("blankets", 0), 5, "must be an object, not a number"),
    (("blankets", 0, "tag"), "", "must be 1 to 40 printable characters"),
    (("blankets", 0, "tag"), "a\nb", "must be 1 to 40 printable characters"),
    (("blankets", 0, "tag"), "\ud800", "must be 1 to 40 printable characters"),
    (("blankets", 0, "tag"), "x" * 41, "must be 1 to 40 printable characters"),
    (("blankets", 0, "fill_g"), 801, "must lie between 0 and 800"),
    (("blankets", 0, "denier"), 0, "must lie between 1 and 10000"),
    (("blankets", 0, "soak"), -1, "must lie between 0 and 1"),
]


@pytest.mark.parametrize(("path", "value", "reason"), WRONG)
def test_one_wrong_value_is_one_line_with_its_path(path: tuple[Any, ...], value: Any, reason: str | None):
    def change(case: dict[str, Any]) -> None:
        get(case, path[:-1])[path[-1]] = value

    shown = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path)[1:]
    expected = f"{shown}: {reason}" if reason else f"{shown}[1]: is given twice"
    assert faults(raw(changed(change))) == [expected]


def test_every_fault_is_named_in_one_reading():
    case = changed(lambda case: case["horse"].update(mass_kg=-1, clip="x", colour="bay"))
    case["hours"][0]["air_c"] = "cold"
    assert faults(raw(case)) == [
        "horse.colour: is not a known field",
        "horse.mass_kg: must lie between 35 and 1100",
        'horse.clip: "x" is not one of none, bib, irish, trace, blanket, hunter, full',
        "hours[0].air_c: must be a number, not text",
    ]


def test_faults_between_values():
    two = changed(lambda case: case["blankets"].append({"tag": "T1"}))
    assert faults(raw(two)) == ["blankets[1].tag: is given twice"]
    assert faults(raw(changed(lambda case: case["horse"].update(on_now=["T9"])))) == [
        "horse.on_now[0]: is no blanket's tag"
    ]


@pytest.mark.parametrize("second", ["2026-01-10T20:00:00Z", "2026-01-10T18:00:00Z", "2026-01-10T17:00:00Z"])
def test_a_gap_in_the_hours(second: str):
    gap = changed(lambda case: case["hours"].append({"time": second, "air_c": 0, "wind_10m_ms": 0}))
    assert faults(raw(gap)) == ["hours[1].time: must be one hour after the one before"]


def test_hours_in_different_zones_are_the_hours_they_are():
    later = {"time": "2026-01-10T20:00:00+01:00", "air_c": 0, "wind_10m_ms": 0}
    times = [hour["time"] for hour in asked(changed(lambda case: case["hours"].append(later)))["outfits"][0]["hours"]]
    assert times == ["2026-01-10T18:00:00Z", "2026-01-10T20:00:00+01:00"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (b"", "case: is not JSON: Expecting value at line 1 column 1"),
        (b"{", "case: is not JSON: Expecting property name enclosed in double quotes at line 1 column 2"),
        (b"[]", "case: must be an object, not a list"),
        (b"3", "case: must be an object, not a number"),
        (b"\xff\xfe{}", "case: is not UTF-8 text at byte 0"),
        (b"[" * 100_000, "case: is nested more than 12 deep"),
        (b'{"a":' * 5_000 + b"1" + b"}" * 5_000, "case: is nested more than 12 deep"),
        (b" " * (MOST_BYTES + 1), f"case: is larger than {MOST_BYTES} bytes"),
    ],
)
def test_what_is_no_case_at_all(text: bytes, expected: str):
    assert faults(text) == [expected]


def test_brackets_inside_words_do_not_nest():
    assert faults(raw({"[" * 50: 1})) == [
        f'"{"[" * 40}...": is not a known field',
        "horse: is needed",
        "place: is needed",
        "hours: is needed",
    ]


def test_a_key_given_twice():
    twice = raw(CASE).replace(b'"mass_kg": 500', b'"mass_kg": 500, "mass_kg": 600')
    assert faults(twice) == ["horse.mass_kg: is given twice"]


def test_an_integer_longer_than_python_reads():
    long = raw(CASE).replace(b'"mass_kg": 500', b'"mass_kg": ' + b"9" * 5_000)
    assert faults(long) == ["horse.mass_kg: must lie between 35 and 1100"]


def test_a_byte_order_mark_is_no_fault():
    assert answer_text(b"\xef\xbb\xbf" + raw(CASE)) == answer_text(raw(CASE))


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=5,
)


@st.composite
def damaged(draw: st.DrawFn) -> Any:
    """The example with up to three places replaced by anything at all, removed, or joined by strange keys."""
    case = copy.deepcopy(CASE)
    for _ in range(draw(st.integers(1, 3))):
        at: Any = case
        while isinstance(at, dict | list) and at:
            key = draw(st.sampled_from(sorted(at) if isinstance(at, dict) else list(range(len(at)))))
            if not isinstance(at[key], dict | list) or draw(st.booleans()):
                at[key] = draw(anything)
                break
            at = at[key]
    return case


def answer_or_faults(given_raw: bytes) -> tuple[str | None, list[str]]:
    try:
        return answer_text(given_raw), []
    except Faults as why:
        return None, why.faults


@settings(max_examples=examples(10_000))
@given(damaged())
def test_damaged_cases_are_answered_or_refused_with_paths(case: Any):
    found, found_faults = answer_or_faults(json.dumps(case).encode())
    assert (found is None) is bool(found_faults)
    assert all(": " in fault and fault.isascii() and "\n" not in fault for fault in found_faults)
    assert found is None or json.loads(found)["model"] == MODEL


@settings(max_examples=examples(2_000))
@given(st.binary(max_size=60) | st.text(max_size=60).map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_noise_is_refused(noise: bytes):
    assert faults(noise)


ROOT = Path(__file__).parents[2]


def advise(given_raw: bytes) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "manage.py", "advise"]
    return subprocess.run(command, input=given_raw, capture_output=True, cwd=ROOT, check=False, timeout=60)


def test_the_command_answers_with_status_0():
    done = advise(raw(CASE))
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout) == asked(CASE)


def test_the_command_refuses_with_status_2_and_one_line_for_each_fault():
    done = advise(raw(changed(lambda case: case["horse"].update(mass_kg=1, bcs=99))))
    assert (done.returncode, done.stdout) == (2, b"")
    assert done.stderr.decode().splitlines() == [
        "horse.mass_kg: must lie between 35 and 1100",
        "horse.bcs: must lie between 1 and 9",
    ]
