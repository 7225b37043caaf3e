"""Twenty-eight invented horses of many builds, ages, coats, clips and habits."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from barnrugs.barns.models import Barn, Person
from barnrugs.matching import units
from barnrugs.matching.words import Build, Clip, Feed, Lining
from horses.enums import OutPlan, SizeSystem, VetSays
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, Paddock, PaddockStay

MEADOW, GATE, SHED, RIDGE, INDOORS = "Long Meadow", "Gate Field", "Shed Lot", "Ridge", ""
STOCKY, FINE = Build.STOCKY, Build.FINE


@dataclass(frozen=True)
class Entry:
    """A horse of the demo. blankets: what it owns, in the shorthand of wardrobe.py."""

    name: str
    place: str
    owner: str
    age: int
    mass_kg: float
    measure_in: float
    coat_mm: float
    condition: float
    looks: str
    blankets: str
    build: Build = Build.AVERAGE
    clip: Clip = Clip.NONE
    clipped_days_ago: int = 21
    measured_days_ago: int = 60
    lessee: str = ""
    more: Mapping[str, Any] = field(default_factory=dict)


# fmt: off
HERD = (
    # Out by day on the Long Meadow, in at night.
    Entry("Alder", MEADOW, "", 9, 500, 78, 26, 5, "bay, star", "T0 T200 S200 L100 C F"),
    Entry("Bilberry", MEADOW, "bram", 16, 520, 78.5, 18, 5.5, "brown, no white", "T200d T300 S200 L150f C X",
          clip=Clip.TRACE, more={"liner_preference": Lining.FLEECE}),
    Entry("Cobble", MEADOW, "sunniva", 12, 560, 80, 16, 6, "dun, dark legs", "T100 T250n S150 S300 C D",
          build=STOCKY, clip=Clip.BLANKET),
    Entry("Dunlin", MEADOW, "ines", 7, 480, 76, 14, 4.5, "chestnut, blaze", "T200 T400n S200 S400 L200 C",
          build=FINE, clip=Clip.HUNTER, clipped_days_ago=12, more={"feed": Feed.FREE}),
    Entry("Eddy", MEADOW, "sunniva", 5, 540, 79, 12, 5, "grey, dark mane", "T250d T350n S300 L200 C N100",
          clip=Clip.FULL, clipped_days_ago=8, lessee="quill", more={"liner_preference": Lining.NYLON}),
    Entry("Foxglove", MEADOW, "bram", 11, 470, 75, 20, 5, "roan mare", "T150 T200c S100c L100",
          clip=Clip.IRISH, more={"head_shy": True, "handling_note": "Let her see your hands; nothing over her head."}),
    Entry("Gannet", MEADOW, "", 8, 600, 82, 28, 6.5, "grey", "T0 T200 S100 C", build=STOCKY),
    Entry("Hazel", MEADOW, "sunniva", 24, 450, 74, 30, 3.5, "bay mare, grey face", "T200 T300n S300 L150 N150",
          build=FINE, more={"old": True, "thin": True, "must_be_covered": True, "feed": Feed.FREE}),
    # Out all night in the Gate Field, with one that chews others' blankets.
    Entry("Juniper", GATE, "bram", 10, 520, 78, 24, 5, "black, sock behind", "T200s T0s S200",
          more={"chews_others": True}),
    Entry("Kestrel", GATE, "quill", 6, 500, 77, 20, 5, "liver chestnut", "T200 T300s R S200 L100 C",
          build=FINE, clip=Clip.BIB),
    Entry("Linnet", GATE, "", 13, 480, 76, 25, 5, "bay, snip", "T100 T250s+3"),
    Entry("Marble", GATE, "", 15, 580, 80, 30, 7, "skewbald", "R T100s", build=STOCKY),
    Entry("Nettle", GATE, "ines", 9, 510, 78, 17, 4.5, "dark bay", "T200s T300sd R S200 C",
          clip=Clip.TRACE, more={"rolls": True}),
    Entry("Otter", GATE, "sunniva", 18, 490, 77, 22, 4, "brown", "T150 T250n H C", more={"thin": True}),
    # Always out in the Shed Lot.
    Entry("Pepper", SHED, "", 12, 430, 74, 30, 6, "flea-bitten grey", "T100s R", build=STOCKY,
          more={"chews_own": True}),
    Entry("Quartz", SHED, "bram", 14, 500, 78, 26, 5, "palomino", "T0 T200 L100", measured_days_ago=500),
    Entry("Rowan", SHED, "bram", 22, 460, 75, 28, 4, "chestnut, white legs", "T200+2 T300d S200 C N150",
          more={"old": True, "feed": Feed.FREE}),
    Entry("Sorrel", SHED, "quill", 8, 520, 79, 18, 5, "chestnut mare", "T100 T200 T300n S250 L100 C",
          clip=Clip.IRISH),
    Entry("Bracken", SHED, "sunniva", 1, 320, 66, 24, 5, "bay yearling", "R T100", build=FINE,
          measured_days_ago=60, more={"young": True, "feed": Feed.FREE}),
    Entry("Acorn", SHED, "sunniva", 0, 190, 56, 28, 5, "bay foal, star", "T150+2 R",
          measured_days_ago=20, more={"young": True, "feed": Feed.FREE}),
    # Always out on the Ridge.
    Entry("Thistle", RIDGE, "", 10, 300, 66, 34, 7, "grey pony", "R H", build=STOCKY, more={"feed": Feed.LIMITED}),
    Entry("Umber", RIDGE, "", 9, 820, 90, 30, 6, "black draft, feathers", "R T100+4", build=STOCKY),
    Entry("Vetch", RIDGE, "", 17, 380, 70, 32, 6.5, "dun pony", "R T100-4", build=STOCKY),
    Entry("Willow", RIDGE, "ines", 7, 440, 74, 28, 5.5, "buckskin mare", "T0 T150 S100 L100"),
    # In, day and night.
    Entry("Yarrow", INDOORS, "bram", 11, 530, 79, 12, 5, "bay, blaze", "S200 S300 L150 T300 C F",
          clip=Clip.FULL, clipped_days_ago=5, more={"vet_says": VetSays.AT_LEAST, "vet_fill_g": 200,
                                                    "vet_note": "Keep covered after the colic, 200 g or more."}),
    Entry("Zephyr", INDOORS, "sunniva", 6, 560, 80, 13, 4.5, "black, four socks", "S300 S400n L200 T250 T350n C",
          build=FINE, clip=Clip.HUNTER, clipped_days_ago=15, more={"two_people": True}),
    Entry("Clove", INDOORS, "ines", 26, 430, 73, 24, 3, "grey mare", "S200 S300 L100 T200n C N100",
          more={"old": True, "thin": True, "ill": True, "feed": Feed.FREE, "vet_says": VetSays.NO_ADVICE,
                "vet_note": "Fever this week: call me before anything is changed."}),
    Entry("Sedge", INDOORS, "", 4, 500, 77, 15, 5, "brown", "S200 S300 L100 T200 C", clip=Clip.BLANKET),
)
# fmt: on


def make_herd(
    barn: Barn, people: Mapping[str, Person], paddocks: Mapping[str, Paddock], today: date
) -> dict[str, Horse]:
    return {
        entry.name: _horse(entry, order, barn, people, paddocks, today) for order, entry in enumerate(HERD, start=1)
    }


def _horse(
    entry: Entry, order: int, barn: Barn, people: Mapping[str, Person], paddocks: Mapping[str, Paddock], today: date
) -> Horse:
    horse = Horse(
        barn=barn,
        name=entry.name,
        stall=str(order),
        walk_order=order,
        birth_year=_birth_year(entry, today),
        looks=entry.looks,
        mass_kg=entry.mass_kg,
        build=entry.build,
        **{"out_plan": "" if entry.place else OutPlan.IN, "vet_until": _vet_until(entry, today), **entry.more},
    )
    horse.full_clean()
    horse.save(force_insert=True)
    _owners(entry, horse, people, today)
    _records(entry, horse, today)
    if entry.place:
        PaddockStay.objects.create(
            barn=barn, horse=horse, paddock=paddocks[entry.place], since=today - timedelta(days=90)
        )
    return horse


def _birth_year(entry: Entry, today: date) -> int:
    """Born in spring: whoever is so many years old today was born that many springs ago."""
    return today.year - entry.age - (today.month < 5)


def _vet_until(entry: Entry, today: date) -> date | None:
    return today + timedelta(days=10) if "vet_says" in entry.more else None


def _owners(entry: Entry, horse: Horse, people: Mapping[str, Person], today: date) -> None:
    since = today - timedelta(days=300)
    for name, lessee in ((entry.owner, False), (entry.lessee, True)):
        if name:
            HorseOwner.objects.create(barn=horse.barn, horse=horse, person=people[name], lessee=lessee, since=since)


def _records(entry: Entry, horse: Horse, today: date) -> None:
    Measurement.objects.create(
        barn=horse.barn,
        horse=horse,
        on=today - timedelta(days=entry.measured_days_ago),
        given=f"{entry.measure_in:g}",
        given_system=SizeSystem.INCHES,
        chest_to_tail_cm=round(units.cm_from_inches(entry.measure_in), 1),
    )
    Condition.objects.create(barn=horse.barn, horse=horse, on=today - timedelta(days=14), score=entry.condition)
    clipped = entry.clip != Clip.NONE
    Coat.objects.create(
        barn=horse.barn,
        horse=horse,
        on=today - timedelta(days=entry.clipped_days_ago),
        clip=entry.clip,
        clipped_now=clipped,
        depth_mm=entry.coat_mm,
    )
