"""The arrays against the plain loop, which was written from the equations with figures of its own."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from barnrugs.matching import balance, bench, heat, loop
from tests.matching.examples import examples
from tests.matching.strategies import horses, outfits, stays_of_any_weather

AGREE = 1e-9


@pytest.mark.slow
@settings(max_examples=examples(4_000), deadline=None)
@given(
    st.lists(
        st.tuples(horses, stays_of_any_weather(), st.lists(outfits, min_size=1, max_size=4)), min_size=1, max_size=3
    )
)
def test_any_herd(cases):
    """Stays of any length together; low_c, high_c and hay of every outfit in every hour."""
    for case, found in zip(cases, heat.comfort_herd(cases), strict=True):
        single = np.array(loop.answers(*case))
        assert np.abs(single[..., 0] - found.low_c).max() <= AGREE
        assert np.abs(single[..., 1] - found.high_c).max() <= AGREE
        assert np.abs(single[..., 2].mean(-1) - found.hay_kg_per_day).max() <= AGREE


def test_blocks_do_not_show(monkeypatch):
    """However the rows are cut into blocks, across horses or not, the answer is the same to the last bit."""
    cases = bench.invented_cases(7, 30, 5)
    found = []
    for cells in (5, 55, 150, 100_000):
        monkeypatch.setattr(balance, "CELLS_AT_A_TIME", cells)
        found.append(
            [(each.low_c, each.high_c, each.surface_c, each.hay_kg_per_day) for each in heat.comfort_herd(cases)]
        )
    for one, other in itertools.pairwise(found):
        for mine, theirs in zip(one, other, strict=True):
            assert all(map(np.array_equal, mine, theirs))


def test_the_bench_measures_what_it_says():
    """A small run with a clock that ticks a second a look; the peak is that of the arrays it returns at the least."""
    ticks = itertools.count()
    found = bench.heat_bench(lambda: float(next(ticks)), horses=9, outfits=14, hours=6)
    assert found.cells == 9 * 14 * 6
    assert found.loop_cells == 9 * 2 * 6
    assert found.arrays_s == found.plain_s == 1
    assert found.loop_s == found.faster_than_loop == 7
    assert found.times_plain == 1
    assert found.peak_bytes > 2 * 8 * found.cells
    assert found.worst_c <= AGREE


def test_the_plain_pass_is_thirty_multiply_adds():
    expected = 1.0
    for _ in range(30):
        expected = expected * 0.999 + 0.001 * 2
    assert bench.plain_pass(np.array([1.0]), add=0.002)[0] == pytest.approx(expected, rel=1e-14)
