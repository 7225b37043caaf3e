"""One hundred and thirty invented blankets, from a shorthand on each horse.

A word is kind, fill in grams, marks and size error: T200n+2 is a turnout of 200 g with a fixed neck, two inches too
big. Kinds: T turnout, R rain sheet, S stable blanket, H sheet, L liner, C cooler, N neck cover, X exercise sheet,
D dress sheet, F fly sheet.
Marks: n fixed neck, d detachable neck, s strong shell (2100 denier), q light shell (600), w only water-resistant,
c closed front, f fleece.
"""

import re
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from random import Random
from typing import Any

from barnrugs.barns.models import Barn, Person
from barnrugs.matching.fit import next_size_in
from barnrugs.matching.words import Build
from horses.enums import SizeSystem
from horses.models import Horse
from inventory import tags
from inventory.demo.herd import HERD, Entry
from inventory.enums import Cut, Front, Kind, Lining, Neck, Surcingles, TailFlap, Waterproofing
from inventory.models import Blanket

WORD = re.compile(r"(?P<kind>[A-Z])(?P<fill>\d*)(?P<marks>[a-z]*)(?P<error>[+-]\d+)?$")
KINDS = {
    "T": Kind.TURNOUT,
    "R": Kind.RAIN_SHEET,
    "S": Kind.STABLE,
    "H": Kind.SHEET,
    "L": Kind.LINER,
    "C": Kind.COOLER,
    "N": Kind.NECK_COVER,
    "X": Kind.EXERCISE_SHEET,
    "D": Kind.DRESS_SHEET,
    "F": Kind.FLY_SHEET,
}
OUTDOORS = (Kind.TURNOUT, Kind.RAIN_SHEET)
CUTS = {Build.STOCKY: Cut.BROAD, Build.FINE: Cut.NARROW, Build.AVERAGE: Cut.STANDARD}
COLOURS = (
    "dark green",
    "navy",
    "wine red",
    "charcoal",
    "sand with a brown stripe",
    "sky blue",
    "black",
    "plum",
    "rust",
    "grey check",
    "bottle green, patched on the left",
    "navy, white binding",
)
PRICES = {Kind.TURNOUT: 190, Kind.RAIN_SHEET: 110, Kind.STABLE: 140, Kind.LINER: 75, Kind.COOLER: 60}
PRICE_OTHERWISE = 50
SPARES = "76:T0 78:T0 82:T0 76:T200 78:T200 82:T200 78:T300 78:S200 74:Rw 78:C 80:C 78:L100"
EVERY_SIXTH = 5987
"""A step through the tags' numbers, so that neighbours on a rack look nothing alike."""


def make_wardrobes(
    barn: Barn, herd: Mapping[str, Horse], people: Mapping[str, Person], today: date
) -> dict[str, Blanket]:
    """All blankets, by "horse word" or "spare size:word"."""
    chance = Random(28130)  # noqa: S311  colours and ages, the same each time
    made: dict[str, Blanket] = {}
    for number, (name, blanket) in enumerate(_all(barn, herd, people)):
        blanket.tag = tags.numbered(4711 + number * EVERY_SIXTH)
        blanket.looks = chance.choice(COLOURS)
        blanket.bought_on = today - timedelta(days=chance.randrange(60, 2500))
        blanket.price = PRICES.get(Kind(blanket.kind), PRICE_OTHERWISE) + blanket.fill_g // 4
        if blanket.waterproofing == Waterproofing.WATERPROOF:
            blanket.proofed_on = today - timedelta(days=chance.randrange(20, 330))
        blanket.full_clean()
        made[name] = blanket
    Blanket.objects.bulk_create(made.values())
    return made


def _all(barn: Barn, herd: Mapping[str, Horse], people: Mapping[str, Person]) -> Iterator[tuple[str, Blanket]]:
    for entry in HERD:
        for word in entry.blankets.split():
            yield f"{entry.name} {word}", _of_horse(entry, word, barn, herd[entry.name], people)
    for number, spare in enumerate(SPARES.split(), start=1):
        size, word = spare.split(":")
        yield f"spare {spare}", _blanket(word, float(size), barn, rack=f"Spares {number}")


def _of_horse(entry: Entry, word: str, barn: Barn, horse: Horse, people: Mapping[str, Person]) -> Blanket:
    return _blanket(
        word,
        next_size_in(entry.measure_in),
        barn,
        rack=f"Rack {horse.stall}",
        cut=CUTS[entry.build],
        owner=people.get(entry.owner),
        usual_horse=horse,
    )


def _blanket(word: str, size_in: float, barn: Barn, **more: Any) -> Blanket:
    found = WORD.match(word)
    if found is None:
        raise ValueError(f"{word} is no blanket of this shorthand")
    kind, marks = KINDS[found["kind"]], found["marks"]
    size_in += int(found["error"] or 0)
    return Blanket(
        barn=barn,
        kind=kind,
        fill_g=int(found["fill"] or 0),
        size_in=size_in,
        size_given=f"{size_in:g}",
        size_system=SizeSystem.INCHES,
        **_outdoor_parts(marks) if kind in OUTDOORS else _indoor_parts(kind, marks),
        **_parts(kind, marks),
        **more,
    )


def _parts(kind: Kind, marks: str) -> dict[str, Any]:
    return {
        "neck": Neck.FIXED if "n" in marks else Neck.REMOVABLE if "d" in marks else Neck.NONE,
        "front": Front.CLOSED if "c" in marks else Front.BUCKLE,
        "lining": Lining.FLEECE if "f" in marks or kind == Kind.COOLER else Lining.NYLON,
    }


def _outdoor_parts(marks: str) -> dict[str, Any]:
    return {
        "denier": 2100 if "s" in marks else 600 if "q" in marks else 1200,
        "waterproofing": Waterproofing.RESISTANT if "w" in marks else Waterproofing.WATERPROOF,
        "water_head_mm": None if "w" in marks else 3000,
        "windproof": True,
        "surcingles": Surcingles.CROSS,
        "leg_straps": True,
        "tail_flap": TailFlap.SEWN,
        "gussets": True,
    }


def _indoor_parts(kind: Kind, marks: str) -> dict[str, Any]:
    stable = kind == Kind.STABLE
    return {
        "denier": 420 if stable else None,
        "back_seam": stable,
        "surcingles": Surcingles.TWO if stable else "",
        "waterproofing": Waterproofing.NONE,
    }
