"""How fast the heat balance is, as ratios within one run: against a plain loop, and against plain array work.

The clock is the caller's: this package has none.
"""

import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
import numpy.typing as npt

from barnrugs.matching import heat, loop
from barnrugs.matching.herd import Case
from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import Blanket, Outfit
from barnrugs.matching.weather import Hour, Place, Stay
from barnrugs.matching.words import Clip, Feed, Kind, Shelter, State, Waterproofing

Clock = Callable[[], float]

HORSES, OUTFITS, HOURS = 500, 200, 48
MULTIPLY_ADDS = 30
SEED = 20260110


@dataclass(frozen=True, slots=True)
class HeatBench:
    """Seconds for every horse in every outfit in every hour. loop_s is scaled from a sample of `loop_cells` cells.

    arrays_s: value objects to comforts, as every page asks for them. plain_s: thirty multiply-adds in place over one
    array of that shape. peak_bytes: most memory held at once by the array run. worst_c: largest difference of a bound
    between loop and arrays.
    """

    cells: int
    loop_cells: int
    arrays_s: float
    loop_s: float
    plain_s: float
    peak_bytes: int
    worst_c: float

    @property
    def faster_than_loop(self) -> float:
        return self.loop_s / self.arrays_s

    @property
    def times_plain(self) -> float:
        return self.arrays_s / self.plain_s


def heat_bench(clock: Clock, *, horses: int = HORSES, outfits: int = OUTFITS, hours: int = HOURS) -> HeatBench:
    """Time the array balance, the loop on a sample of its horses, and the plain pass; the best of three each."""
    cases = invented_cases(horses, outfits, hours)
    sample = [(horse, stay, worn[::7]) for horse, stay, worn in cases[:: max(1, horses // 8)]]
    cells, loop_cells = horses * outfits * hours, sum(len(worn) for _, _, worn in sample) * hours
    arrays_s = _best_of_three(clock, lambda: heat.comfort_herd(cases))
    loop_s = _best_of_three(clock, lambda: [loop.answers(*case) for case in sample])
    plain_s = _best_of_three(clock, lambda: plain_pass(np.ones((horses, outfits, hours))))
    return HeatBench(
        cells=cells,
        loop_cells=loop_cells,
        arrays_s=arrays_s,
        loop_s=loop_s * cells / loop_cells,
        plain_s=plain_s,
        peak_bytes=_peak_bytes(lambda: heat.comfort_herd(cases)),
        worst_c=_worst_c(sample),
    )


def plain_pass(values: npt.NDArray[np.float64], *, add: float = 0.001) -> npt.NDArray[np.float64]:
    """Thirty multiply-adds in place: the least such a pass can cost in plain numpy."""
    for _ in range(MULTIPLY_ADDS):
        np.multiply(values, 0.999, out=values)
        np.add(values, add, out=values)
    return values


def invented_cases(horses: int, outfits: int, hours: int) -> list[Case]:
    """A herd of many bodies, coats and clips in changing, partly rainy weather; the same every time."""
    draw = np.random.default_rng(SEED)
    worn = [_invented_outfit(index) for index in range(outfits)]
    paddocks = [_invented_hours(draw, hours) for _ in range(8)]
    return [(_invented_horse(draw), _invented_stay(draw, paddocks, index), worn) for index in range(horses)]


def _invented_horse(draw: np.random.Generator) -> Horse:
    clips, feeds = list(Clip), list(Feed)
    return Horse(
        mass_kg=float(draw.uniform(180, 800)),
        bcs=float(draw.uniform(3, 7)),
        coat_depth_mm=float(draw.uniform(6, 30)),
        clip=clips[draw.integers(len(clips))],
        feed=feeds[draw.integers(len(feeds))],
    )


def _invented_stay(draw: np.random.Generator, paddocks: list[tuple[Hour, ...]], index: int) -> Stay:
    place = Place(shelter=list(Shelter)[index % len(Shelter)])
    return Stay(paddocks[index % len(paddocks)], place, coat_wet=float(draw.uniform(0, 0.4)))


def _invented_hours(draw: np.random.Generator, count: int) -> tuple[Hour, ...]:
    start = datetime(2026, 1, 10, 18, tzinfo=UTC)
    rain = draw.gamma(1.0, 1.5, count) * (draw.random(count) < 0.3)
    return tuple(
        Hour(
            time=start + timedelta(hours=index),
            air_c=float(draw.uniform(-15, 12)),
            wind_10m_ms=float(draw.uniform(0, 14)),
            rh=float(draw.uniform(0.4, 1.0)),
            precip_mm=float(rain[index]),
            clear_night=float(draw.random()),
        )
        for index in range(count)
    )


def _invented_outfit(index: int) -> Outfit:
    """Nothing, then one to three layers of every fill, cloth and soak."""
    if index == 0:
        return Outfit()
    proof = list(Waterproofing)[index % len(Waterproofing)]
    outer = Blanket(f"T{index}", Kind.TURNOUT, fill_g=50.0 * (index % 9), waterproofing=proof, breathable=index % 5 > 0)
    soaked = Blanket(f"S{index}", Kind.STABLE, fill_g=100.0, soak=0.3, state=State.DRYING)
    liner = Blanket(f"L{index}", Kind.LINER, fill_g=100.0)
    layers = ((outer,), (liner, outer), (soaked, outer), (liner, soaked, outer))[index // 9 % 4]
    return Outfit(layers, neck=index % 2 == 0)


def _best_of_three(clock: Clock, work: Callable[[], object]) -> float:
    taken = []
    for _ in range(3):
        start = clock()
        work()
        taken.append(clock() - start)
    return min(taken)


def _peak_bytes(work: Callable[[], object]) -> int:
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def _worst_c(sample: list[Case]) -> float:
    """How far the loop and the arrays differ, which they must not, degC."""
    worst = 0.0
    for case, found in zip(sample, heat.comfort_herd(sample), strict=True):
        bounds = np.array(loop.answers(*case))
        worst = max(worst, float(np.abs(bounds[..., 0] - found.low_c).max()))
        worst = max(worst, float(np.abs(bounds[..., 1] - found.high_c).max()))
    return worst
