"""The horse as the matching sees it."""

from dataclasses import dataclass

from barnrugs.matching.words import Build, Clip, Feed, Habit, Lining, Need


@dataclass(frozen=True, slots=True)
class WornThen:
    """What a horse wore when a hand felt it: fill in g, layers, and whether the neck was covered."""

    fill_g: float
    layers: int
    neck: bool = False


NOTHING_AT_ALL = WornThen(-1.0, 0)
"""Less than any blanket: what is on comes off and nothing goes on."""


@dataclass(frozen=True, slots=True)
class Horse:
    """One horse on one day.

    mass_kg: body mass, 35 to 1100. bcs: condition, 1 to 9 (Henneke et al. 1983, M). coat_depth_mm: depth of the
    unclipped coat, 1 to 60. clip_depth_mm: depth of what is left or regrown where it is clipped. chest_to_tail_in: the
    size line in inches; back_length_cm: the continental line; either or both may be unknown. offset_c: what hand checks
    have taught, -10 to 10. measured_days_ago: age of the measurement, None if unknown. alone: turned out without
    company, None if unknown. on_now: tags of what it wears, innermost first. felt_warm: nothing warmer is offered, None
    where no hand felt it too warm of late. felt_cold: nothing lighter is right, and it
    passes for no hardy one; None where no hand felt it cold of late.
    """

    mass_kg: float
    bcs: float = 5.0
    coat_depth_mm: float = 26.0
    clip: Clip = Clip.NONE
    clip_depth_mm: float = 2.0
    feed: Feed = Feed.MAINTENANCE
    chest_to_tail_in: float | None = None
    back_length_cm: float | None = None
    build: Build = Build.AVERAGE
    age_years: float = 9.0
    offset_c: float = 0.0
    habits: frozenset[Habit] = frozenset()
    needs: frozenset[Need] = frozenset()
    sweating: bool = False
    liner: Lining | None = None
    on_now: tuple[str, ...] = ()
    measured_days_ago: int | None = None
    alone: bool | None = None
    felt_warm: WornThen | None = None
    felt_cold: WornThen | None = None
