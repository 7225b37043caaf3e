"""The demo's charts: one that the barn obeys, one against the advice, one to be read again, and the house's own."""

from typing import Any

from barnrugs.barns.journal import Actor
from barnrugs.matching import units
from barnrugs.matching.charts import Row, Wetness
from barnrugs.matching.strength import FillWord
from barnrugs.matching.words import PlaceKind
from inventory.demo.happenings import DAY, Scene
from inventory.domain import charts
from inventory.domain.charts import Written
from inventory.enums import ChartNote, Override

OUT, STALL = PlaceKind.TURNOUT, PlaceKind.STALL
DRY, WET = Wetness.DRY, Wetness.WET_OR_WINDY
SHEET, LIGHT, MEDIUM, HEAVY = FillWord.SHEET, FillWord.LIGHT, FillWord.MEDIUM, FillWord.HEAVY


def row(from_f: float | None, below_f: float | None, fill: FillWord | None, **more: Any) -> Row:
    """A line in degF, as these people think."""
    low, high = (None if edge is None else round(units.c_from_f(edge), 3) for edge in (from_f, below_f))
    return Row(low, high, fill=fill, **more)


OBEYED = Written(
    (
        row(50, None, None),
        row(35, 50, LIGHT),
        row(15, 35, MEDIUM, picked=(ChartNote.FEEL_UNDER.value,)),
        row(None, 15, HEAVY, picked=(ChartNote.CALL_ME.value,)),
    ),
    note="He tears what is thin.",
)
AGAINST = Written((row(55, None, None), row(None, 55, MEDIUM, note="He is always cold")), override=Override.MANAGER)
TO_READ_AGAIN = Written(
    (
        row(60, None, None),
        row(50, 60, SHEET, picked=(ChartNote.OFF_AT_NOON.value,)),
        row(32, 50, MEDIUM),
        row(None, 32, HEAVY, neck=False, picked=(ChartNote.OWN_ONLY.value,)),
    ),
    feels_like=True,
    tolerance_c=1.0,
)
HOUSE = Written(
    (
        row(60, None, None, place=OUT, wet=DRY),
        row(None, 5, HEAVY, place=OUT, wet=DRY),
        row(None, 5, HEAVY, place=OUT, wet=WET, picked=(ChartNote.IN_IF_SOAKED.value,)),
        row(60, None, None, place=STALL, wet=DRY),
    ),
    note="Only for the ends: in between the advice decides.",
)


def write(scene: Scene) -> None:
    for horse, keeper, days, written in (
        ("Juniper", "bram", 50, OBEYED),
        ("Quartz", "bram", 30, AGAINST),
        ("Dunlin", "ines", 40, TO_READ_AGAIN),
    ):
        charts.write_chart(scene.herd[horse], written=written, seen=None, actor=scene.actor(keeper, days * DAY))
    clipped = Actor(scene.people["ines"], now=scene.now - 12 * DAY)
    charts.ask_after_a_clip(scene.herd["Dunlin"], clipped)
    charts.write_chart(None, written=HOUSE, seen=None, actor=scene.actor("marit", 60 * DAY))
