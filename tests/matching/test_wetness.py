"""Wetness carried through the hours; expectations worked out by hand from s' = m - (m - s d) w."""

from math import exp

import numpy as np
import pytest

from barnrugs.matching import wetness
from barnrugs.matching.heat import comfort
from barnrugs.matching.outfit import BARE, Blanket
from barnrugs.matching.wetness import Surface
from barnrugs.matching.words import Clip, Kind, State, Waterproofing
from tests.matching.weather_builders import STALL, horse, rainy, stable, turnout, worn

NONE, RESISTANT, WATERPROOF = Waterproofing


def bare_wet(stay, coat_mm=26.0, **rest):
    return comfort(horse(coat_mm, **rest), stay, [BARE]).coat_wet[0]


def outer_soak(stay, *layers):
    return comfort(horse(), stay, [worn(*layers)]).soak[0]


def test_a_dry_coat_in_dry_hours_stays_dry():
    assert bare_wet(rainy([0.0] * 6)).tolist() == [0] * 6


@pytest.mark.parametrize(
    ("coat_mm", "soak_mm", "most"), [(2, 3, 0.9), (6, 3, 0.9), (13, 5.5, 0.75), (20, 8, 0.6), (30, 8, 0.6)]
)
def test_rain_wets_a_coat(coat_mm, soak_mm, most):
    """The state at the hour's end, being the larger."""
    assert bare_wet(rainy([2.0]), coat_mm)[0] == pytest.approx(most * (1 - exp(-2 / soak_mm)))


@pytest.mark.parametrize(("coat_mm", "tau_h"), [(6, 2), (13, 2.5), (20, 3)])
def test_a_coat_dries(coat_mm, tau_h):
    """Each hour is judged by its start, being the larger."""
    found = bare_wet(rainy([0.0] * 3, coat_wet=0.5), coat_mm)
    assert found == pytest.approx([0.5 * exp(-hour / tau_h) for hour in range(3)])


def test_a_drizzle_dries_nothing():
    """From 0.1 mm in the hour; below it dries and wets a little."""
    assert bare_wet(rainy([0.1], coat_wet=0.5))[0] == pytest.approx(0.6 - 0.1 * exp(-0.1 / 8))
    after = bare_wet(rainy([0.09, 0.0], coat_wet=0.5))[1]
    assert after == pytest.approx(0.6 - (0.6 - 0.5 * exp(-1 / 3)) * exp(-0.09 / 8))


def test_rain_never_passes_the_most_a_coat_takes():
    assert bare_wet(rainy([50.0] * 5)).max() <= 0.6
    assert bare_wet(rainy([50.0] * 5), 6.0).max() <= 0.9


def test_snow_and_a_stall_let_it_dry():
    for hours in (rainy([5.0] * 2, air_c=-5, coat_wet=0.5), rainy([5.0] * 2, place=STALL, coat_wet=0.5)):
        assert bare_wet(hours)[1] == pytest.approx(0.5 * exp(-1 / 3))


def test_unknown_rain_wets_nothing_and_is_no_number():
    assert bare_wet(rainy([None, None])).tolist() == [0, 0]


def test_clipped_and_unclipped_skin_keep_their_own():
    """Half and half by share: the clip dries faster and soaks more than the coat."""
    rain = rainy([2.0, 0.0, 0.0])
    coat, clip = bare_wet(rain, 26.0), bare_wet(rain, 2.0)
    mixed = bare_wet(rain, 26.0, clip=Clip.BLANKET)
    assert mixed == pytest.approx(0.45 * coat + 0.55 * clip)


@pytest.mark.parametrize(("cloth", "soak_mm", "tau_h"), [(NONE, 3, 12), (RESISTANT, 10, 8)])
def test_layers_soak_and_dry(cloth, soak_mm, tau_h):
    found = outer_soak(rainy([2.0, 0.0, 0.0]), turnout(100, cloth))
    end = 1 - exp(-2 / soak_mm)
    assert found == pytest.approx([end, end, end * exp(-1 / tau_h)])


def test_a_sound_waterproof_layer_never_soaks():
    assert outer_soak(rainy([5.0] * 4), turnout(200)).tolist() == [0] * 4


def test_a_wet_waterproof_layer_dries():
    found = outer_soak(rainy([0.0] * 2), turnout(200, soak=0.6, state=State.DRYING))
    assert found == pytest.approx([0.6, 0.6 * exp(-1 / 6)])


def test_proofing_due_soaks_as_resistant():
    rain = rainy([2.0] * 3)
    due, resistant = turnout(200, proofing_due=True), turnout(200, RESISTANT)
    assert outer_soak(rain, due).tolist() == outer_soak(rain, resistant).tolist()


def test_a_layer_marked_ready_is_dry():
    assert outer_soak(rainy([0.0]), stable(100, soak=0.8)).tolist() == [0]
    assert outer_soak(rainy([0.0]), stable(100, soak=0.8, state=State.ON_HORSE)).tolist() == [0.8]


LINER = Blanket("L", Kind.LINER, fill_g=100)


@pytest.mark.parametrize(
    ("layers", "reached"),
    [
        ((LINER, turnout(0)), [Surface.OPEN_SHELTERED, Surface.WATERPROOF]),
        ((LINER, turnout(0, RESISTANT)), [Surface.OPEN, Surface.RESISTANT]),
        ((LINER, turnout(0, proofing_due=True)), [Surface.OPEN, Surface.RESISTANT]),
        ((LINER, turnout(0), stable(100)), [Surface.OPEN_SHELTERED, Surface.WATERPROOF, Surface.OPEN]),
        ((turnout(0, RESISTANT), turnout(0)), [Surface.RESISTANT_SHELTERED, Surface.WATERPROOF]),
    ],
)
def test_rain_reaches_every_layer_down_to_the_first_waterproof(layers, reached):
    assert list(wetness.surfaces(worn(*layers))) == reached


def test_the_coat_under_layers_is_as_wet_as_the_innermost():
    found = comfort(horse(), rainy([2.0]), [worn(stable(100))])
    assert found.coat_wet[0, 0] == found.soak[0, 0] == pytest.approx(1 - exp(-2 / 3))


def test_the_coat_under_layers_starts_dry_unless_told():
    sheet = [worn(turnout(0))]
    assert comfort(horse(), rainy([0.0], coat_wet=0.9), sheet).coat_wet[0, 0] == 0
    told = comfort(horse(), rainy([0.0] * 2, coat_wet_under=0.6), sheet).coat_wet[0]
    assert told == pytest.approx([0.6, 0.6 * exp(-1 / 6)])


def test_nothing_dries_in_the_rain_even_under_cover():
    found = comfort(horse(), rainy([1.0, 0.0], coat_wet_under=0.6), [worn(turnout(0))]).coat_wet[0]
    assert found == pytest.approx([0.6, 0.6])


def test_mean_soak_is_by_fill():
    """A soaked layer without fill beside a dry one of 200 g takes nothing; two without fill share alike."""
    wet = {"soak": 0.5, "state": State.ON_HORSE}
    outfits = [worn(stable(0, **wet), stable(200)), worn(stable(0), stable(200))]
    dry_coat = comfort(horse(1, clip=Clip.FULL, clip_depth_mm=1), rainy([0.0]), outfits).surface_c
    assert dry_coat[0, 0] == pytest.approx(dry_coat[1, 0], abs=0.2)


def test_hung_to_dry_indoors():
    """A: any layer, 6 h."""
    assert wetness.hung_indoors(0.8, 6) == pytest.approx(0.8 * exp(-1))


def test_soaked():
    assert wetness.SOAKED_FROM == 0.2


def test_closed_form_is_the_recursion():
    """keep and gain against the step itself, over rain of every sort."""
    rain = np.array([0.0, 0.05, 0.1, 3.0, 0.0, 0.0, 12.0, 0.0])
    carried = wetness.carry(rain, np.array(3.0), np.array(2.0), np.array(0.9))
    for start in (0.0, 0.4, 1.0):
        state, states = start, [start]
        for mm in rain:
            state = 0.9 - (0.9 - state * (1 if mm >= 0.1 else exp(-1 / 2))) * exp(-mm / 3)
            states.append(state)
        assert carried.keep * start + carried.gain == pytest.approx(states)
