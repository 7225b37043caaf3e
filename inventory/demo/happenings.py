"""What has happened to the demo's blankets: worn, wet, torn, away, lent or lost, through the domain's own calls."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, Person
from horses.models import Horse
from inventory.domain import care, damage, keeping, wearing
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareWord, DamagedPart, Fit, Keeping, RubPlace
from inventory.models import Blanket, FitNote, Leave, Placing

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
AT_LAST_CHANGE, COMING_OFF = 9 * HOUR, 2 * HOUR
CLEANER = "the cleaner down the valley"

WORN = (
    "Alder T200", "Bilberry T300", "Cobble T100", "Dunlin T200", "Eddy T250d", "Foxglove T150", "Hazel T200",
    "Juniper T200s", "Kestrel T300s", "Linnet T250s+3", "Nettle T200s", "Otter T250n", "Quartz T200", "Rowan T200+2",
    "Sorrel L100", "Sorrel T200", "Bracken T100", "Acorn T150+2", "Willow T150", "Yarrow S200", "Zephyr S300",
    "Clove L100", "Clove S200", "Sedge S200",
)  # fmt: skip
SOAKED_ON_THE_HORSE = ("Linnet T250s+3", "Nettle T200s")
CAME_OFF_SOAKED = ("Kestrel R", "Nettle R", "Sorrel T100", "Vetch R")
CAME_OFF_DAMP = ("Alder T0", "Bilberry T200d", "Willow T0")
WORN_LAST_NIGHT = ("Alder S200", "Bilberry S200", "Cobble S150", "Dunlin S200", "Eddy S300", "Hazel S300")

TORN = (
    ("Juniper T0s", DamagedPart.SHELL, "Ripped from hip to tail; the fill shows."),
    ("Marble T100s", DamagedPart.SURCINGLE, "Surcingle torn off."),
    ("Eddy T350n", DamagedPart.BUCKLE, "Front buckle gone, tied in a knot."),
    ("spare 78:T0", DamagedPart.SHELL, "Caught on a nail, a hand's breadth open."),
    ("Nettle T300sd", DamagedPart.STRAP, "Leg straps stretched so far that a leg goes through."),
)
WORN_THIN = (
    ("Dunlin T400n", DamagedPart.LINING, "Lining frayed at the neck."),
    ("Pepper R", DamagedPart.LINING, "Lining chewed at the shoulder."),
)
HELD_BY_TAPE = (("Cobble T250n", DamagedPart.D_RING, 10), ("Vetch T100-4", DamagedPart.SEAM, 4))
WASH_DUE = ("Cobble S150", "Sedge S300", "Kestrel S200", "Gannet T200")
PROOFING_DUE = ("Kestrel T200", "Quartz T0", "spare 76:T200")
AT_THE_CLEANER = ("Hazel T300n", "Dunlin S400", "Rowan T300d", "Yarrow S300", "spare 78:T300")
BAGGED = ("Foxglove S100c", "Gannet S100")
UNCHECKED = ("Otter T150", "Zephyr T350n")
LENT = (("Quartz L100", "a friend two barns on"), ("spare 82:T200", "the barn across the creek"))
AT_HOME = ("Zephyr S400n", "Clove S300")
STORED = ("Alder F", "Yarrow F", "Cobble D", "Bilberry X")
LOST = ("Otter H",)

FITS = (
    ("Alder T200", Fit.FITS, ""),
    ("Dunlin T200", Fit.FITS, ""),
    ("Hazel T200", Fit.RUBS, RubPlace.WITHERS),
    ("Nettle T200s", Fit.FITS, ""),
    ("Otter T250n", Fit.FITS, ""),
    ("Sedge T200", Fit.TIGHT, ""),
    ("Umber T100+4", Fit.TOO_BIG, ""),
)
LEAVES = (("Willow L100", "Nettle"), ("Bracken T100", "Acorn"), ("Sorrel T300n", "Kestrel"))


@dataclass(frozen=True)
class Scene:
    """The barn with its cast, and when it is."""

    barn: Barn
    people: Mapping[str, Person]
    herd: Mapping[str, Horse]
    blankets: Mapping[str, Blanket]
    now: datetime

    def actor(self, name: str, ago: timedelta) -> Actor:
        return Actor(self.people[name], there_at=self.now - ago, now=self.now)

    def named(self, names: Iterable[str]) -> list[Blanket]:
        return [self.blankets[name] for name in names]

    def horse_of(self, name: str) -> Horse:
        return self.herd[name.split(maxsplit=1)[0]]


def happen(scene: Scene) -> None:
    _nights_before(scene)
    _worn_and_off_again(scene)
    _worn_now(scene)
    _damage(scene)
    _care(scene)
    _elsewhere(scene)
    _fit(scene)
    _leave(scene)


def _nights_before(scene: Scene) -> None:
    for days in (3, 2, 1):
        for name in WORN_LAST_NIGHT:
            evening, morning = days * DAY, days * DAY - 14 * HOUR
            worn = wearing.put_on(scene.blankets[name], horse=scene.horse_of(name), actor=scene.actor("ansel", evening))
            wearing.take_off(worn, actor=scene.actor("tove", morning))


def _worn_and_off_again(scene: Scene) -> None:
    """Out in the rain this morning, off and hung up since."""
    for name in (*CAME_OFF_SOAKED, *CAME_OFF_DAMP):
        fate = wearing.Fate(wet=True, soaked=name in CAME_OFF_SOAKED, place="drying room")
        worn = wearing.put_on(
            scene.blankets[name], horse=scene.horse_of(name), actor=scene.actor("tove", AT_LAST_CHANGE + HOUR)
        )
        wearing.take_off(worn, actor=scene.actor("tove", COMING_OFF), fate=fate, why="wet through")


def _worn_now(scene: Scene) -> None:
    """After the wet ones: an inner layer goes on first, as the names stand."""
    for name in WORN:
        worn = wearing.put_on(
            scene.blankets[name], horse=scene.horse_of(name), actor=scene.actor("ines", AT_LAST_CHANGE)
        )
        if name in SOAKED_ON_THE_HORSE:
            wearing.mark_soaked(worn, actor=scene.actor("ines", HOUR))


def _damage(scene: Scene) -> None:
    for name, part, note in (*TORN, *WORN_THIN):
        usable = (name, part, note) in WORN_THIN
        damage.report(
            scene.blankets[name],
            part=part,
            usable=usable,
            actor=scene.actor("tove", 2 * DAY),
            horse=scene.herd.get(name.split()[0]),
            note=note,
        )
    for name, part, days in HELD_BY_TAPE:
        job = damage.report(scene.blankets[name], part=part, usable=True, actor=scene.actor("tove", 3 * DAY))
        until = (scene.now + days * DAY).date()
        details = Details(note="Taped for now.", until=until, usable=True)
        care.take(job, CareWord.FIX, actor=scene.actor("marit", 2 * DAY), details=details)


def _care(scene: Scene) -> None:
    asked = scene.actor("marit", 6 * DAY)
    for blanket in scene.named(WASH_DUE):
        care.ask(blanket, CareKind.WASH, actor=asked)
    for blanket in scene.named(PROOFING_DUE):
        care.ask(blanket, CareKind.WATERPROOFING, actor=asked, note="Leaks after a long rain.")
    due = (scene.now + 5 * DAY).date()
    for name in (*BAGGED, *AT_THE_CLEANER, *UNCHECKED):
        job = care.ask(scene.blankets[name], CareKind.WASH, actor=asked)
        job = care.take(job, CareWord.DECIDE, actor=asked, details=Details(decision=CareDecision.WASH))
        job = care.take(job, CareWord.BAG, actor=scene.actor("tove", 5 * DAY))
        if name not in BAGGED:
            details = Details(sent_to=CLEANER, due_on=due)
            job = care.take(job, CareWord.HAND_OVER, actor=scene.actor("marit", 4 * DAY), details=details)
        if name in UNCHECKED:
            care.take(job, CareWord.COME_BACK, actor=scene.actor("marit", 5 * HOUR))


def _elsewhere(scene: Scene) -> None:
    actor = scene.actor("marit", 20 * DAY)
    for blanket in scene.named(AT_HOME):
        keeping.place(blanket, Keeping.HOME, actor=actor)
    for blanket in scene.named(STORED):
        keeping.place(blanket, Keeping.STORED, actor=actor, where="trunk in the loft")
    for name, whom in LENT:
        Placing.objects.create(
            barn=scene.barn,
            blanket=scene.blankets[name],
            kind=Keeping.LENT,
            to_whom=whom,
            due_on=(scene.now + 7 * DAY).date(),
            since=actor.at,
        )
    for blanket in scene.named(LOST):
        care.lose(blanket, actor=scene.actor("marit", 8 * DAY), note="Not seen since the wash day.")


def _fit(scene: Scene) -> None:
    FitNote.objects.bulk_create(
        FitNote(
            barn=scene.barn,
            blanket=scene.blankets[name],
            horse=scene.horse_of(name),
            fit=fit,
            rubs_where=where,
            on=(scene.now - 40 * DAY).date(),
        )
        for name, fit, where in FITS
    )


def _leave(scene: Scene) -> None:
    Leave.objects.bulk_create(
        Leave(
            barn=scene.barn,
            blanket=scene.blankets[name],
            horse=scene.herd[horse],
            since=(scene.now - 30 * DAY).date(),
        )
        for name, horse in LEAVES
    )
