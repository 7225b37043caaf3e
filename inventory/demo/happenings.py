"""What has happened to the demo's blankets: worn, wet, torn, away, lent or lost, through the domain's own calls."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from barnrugs.barns import journal
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, Person
from horses.models import Horse
from inventory.demo import drawings
from inventory.domain import batches, care, damage, keeping, pictures, wearing
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareWord, CheckOutcome, DamagedPart, Felt, Fit, Keeping, RubPlace
from inventory.models import Batch, Blanket, CareJob, FitNote, HandCheck, Leave, Placing

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
AT_LAST_CHANGE, COMING_OFF = 9 * HOUR, 2 * HOUR
CLEANER, MENDER = "the cleaner down the valley", "the mender over the ridge"

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
    ("Juniper T0s", DamagedPart.SHELL, "Ripped from hip to tail; the lining shows."),
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
CHECKED_IN = (("Rowan S200", 24, ""), ("Kestrel L100", 18, "One strap was mended along."))
AT_THE_MENDER = ("Foxglove T200c", DamagedPart.SHELL, "Torn along the seam at the hip.")
LENT = (("Quartz L100", "a friend two barns on"), ("spare 82:T200", "the barn across the creek"))
AT_HOME = ("Zephyr S400n", "Clove S300")
STORED = ("Alder F", "Yarrow F", "Cobble D", "Bilberry X")
LOST = ("Otter H", "spare 80:C")

WITH_PICTURES = ("spare 76:T200", "spare 78:T200", "spare 78:S200", "Otter H", "Kestrel T200", "Dunlin S400")

FITS = (
    ("Alder T200", Fit.FITS, ""),
    ("Dunlin T200", Fit.FITS, ""),
    ("Hazel T200", Fit.RUBS, RubPlace.WITHERS),
    ("Nettle T200s", Fit.FITS, ""),
    ("Otter T250n", Fit.FITS, ""),
    ("Sedge T200", Fit.TIGHT, ""),
    ("Umber T100+4", Fit.TOO_BIG, ""),
)
FELT = (
    ("Sorrel", Felt.WARM, 6 * DAY, 9.0, -1.0),
    ("Sorrel", Felt.WARM, 5 * DAY, 11.0, -0.5),
    ("Sorrel", Felt.SWEATING, 3 * DAY, 12.0, 1.0),
    ("Sorrel", Felt.WARM, 2 * DAY, 8.0, -2.0),
    ("Sorrel", Felt.RIGHT, DAY, 6.0, -4.0),
    ("Hazel", Felt.RIGHT, 2 * DAY, 7.0, -6.0),
)
"""Horse, what the hand felt, how long ago, and how the air stood to the low and the high end of its band, degC."""

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
    _felt(scene)
    _pictures(scene)


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
            picture=drawings.picture_of(scene.blankets[name], torn=True) if (name, part, note) in TORN else None,
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
    for job in _washes(scene, BAGGED, ago=6 * DAY):
        care.take(job, CareWord.BAG, actor=scene.actor("tove", 5 * DAY))
    _back_in_part(scene)
    _away(scene, _washes(scene, AT_THE_CLEANER, ago=6 * DAY), to_whom=CLEANER, ago=4 * DAY, due=5 * DAY)
    _past_its_day(scene)


def _washes(scene: Scene, names: Iterable[str], *, ago: timedelta) -> list[CareJob]:
    asked = scene.actor("marit", ago)
    jobs = [care.ask(blanket, CareKind.WASH, actor=asked) for blanket in scene.named(names)]
    details = Details(decision=CareDecision.WASH)
    return [care.take(job, CareWord.DECIDE, actor=asked, details=details) for job in jobs]


def _away(scene: Scene, jobs: Sequence[CareJob], *, to_whom: str, ago: timedelta, due: timedelta) -> Batch:
    """Bagged a day before it was handed over; due: from now."""
    batch = batches.make(jobs, to_whom=to_whom, actor=scene.actor("tove", ago + DAY), due_on=(scene.now + due).date())
    return batches.hand_over(batch, actor=scene.actor("marit", ago))


def _back_in_part(scene: Scene) -> None:
    """Two of its four lines are checked in, with what they cost."""
    names = [name for name, _, _ in CHECKED_IN]
    jobs = _washes(scene, [*names, *UNCHECKED], ago=22 * DAY)
    batch = _away(scene, jobs, to_whom=CLEANER, ago=20 * DAY, due=-6 * DAY)
    for job in jobs:
        care.take(job, CareWord.COME_BACK, actor=scene.actor("marit", 5 * HOUR))
    lines = {line.job.blanket_id: line for line in batch.lines.select_related("job")}
    for name, cost, note in CHECKED_IN:
        details = Details(cost=Decimal(cost), note=note)
        line = lines[scene.blankets[name].pk]
        batches.check_line(line, outcome=CheckOutcome.DONE, actor=scene.actor("marit", 4 * HOUR), details=details)


def _past_its_day(scene: Scene) -> None:
    name, part, note = AT_THE_MENDER
    blanket = scene.blankets[name]
    job = damage.report(blanket, part=part, usable=False, actor=scene.actor("ansel", 30 * DAY), note=note)
    details = Details(decision=CareDecision.REPAIR, limit=Decimal(60))
    care.take(job, CareWord.DECIDE, actor=scene.actor("marit", 29 * DAY), details=details)
    jobs = list(CareJob.objects.filter(blanket=blanket).order_by("pk"))
    _away(scene, jobs, to_whom=MENDER, ago=25 * DAY, due=-11 * DAY)


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


def _felt(scene: Scene) -> None:
    """Hands under the blanket on days before: one horse's checks say that it runs warm."""
    for name, felt, ago, above_low_c, above_high_c in FELT:
        actor, horse = scene.actor("tove", ago), scene.herd[name]
        tags = [scene.blankets[worn].tag for worn in WORN if scene.horse_of(worn) == horse]
        check = HandCheck.objects.create(
            barn=scene.barn,
            horse=horse,
            at=actor.at,
            by=actor.person,
            felt=felt,
            tags=tags,
            above_low_c=above_low_c,
            above_high_c=above_high_c,
        )
        after = {"felt": check.felt, "tags": check.tags, "check": check.pk}
        journal.write(actor, "hand_check_noted", about=[horse], after=after)


def _pictures(scene: Scene) -> None:
    for blanket in scene.named([*WORN, *WITH_PICTURES]):
        pictures.add_picture(blanket, shrunk=drawings.picture_of(blanket), actor=scene.actor("ansel", 25 * DAY))
