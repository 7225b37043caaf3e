"""What others measured on horses, and what the heat balance answers for the same horse and weather.

Each check names its source; the value is as printed there, the tolerance as the source's spread allows. Letters: R read
in the source or its abstract, Q quoted by a secondary page, D derived by arithmetic. The place is a stall unless said.
"""

import numpy as np
import pytest

from barnrugs.matching.body import coat_m2kw
from barnrugs.matching.choose import choose
from barnrugs.matching.heat import Comfort, comfort
from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import BARE, Outfit
from barnrugs.matching.weather import Stay
from tests.matching.weather_builders import STALL, horse, stable, stay, turnout, worn

BLANKETED = 0.74
MORGAN = horse(7)
"""Trotters stabled all winter, 500 kg, 7 mm of coat: Morgan 1998, J Therm Biol 23:59 (R)."""

SHEET = turnout(0)
EVAPORATION_IN_THE_COLD = 0.35


def of(animal: Horse, where: Stay, outfit: Outfit = BARE) -> Comfort:
    return comfort(animal, where, [outfit])


def low(animal: Horse, where: Stay, outfit: Outfit = BARE) -> float:
    """low_c in the last hour."""
    return float(of(animal, where, outfit).low_c[0, -1])


def high(animal: Horse, where: Stay, outfit: Outfit = BARE) -> float:
    return float(of(animal, where, outfit).high_c[0, -1])


def hay(animal: Horse, where: Stay) -> float:
    return float(of(animal, where).hay_kg_per_day[0])


def test_1_stabled_horse_is_cold_below_5():
    """Morgan 1998 (R): lower critical temperature 5 degC."""
    assert low(MORGAN, stay(5, place=STALL)) == pytest.approx(5, abs=4)


def test_2_stabled_horse_is_warm_above_25():
    """Morgan 1998 (R): upper end of the comfort zone 25 degC."""
    assert high(MORGAN, stay(25, place=STALL)) == pytest.approx(25, abs=4)


def test_3_conductance_in_the_cold():
    """Morgan, Ehrlemark and Sallvik 1997, J Therm Biol 22:177 (R): 2.78 W/m2/K.

    In the dry low_c is 38 - (M - E_min) / G (D).
    """
    lost_wm2 = 142 * (1 - EVAPORATION_IN_THE_COLD)
    assert lost_wm2 / (38 - low(MORGAN, stay(5, place=STALL))) == pytest.approx(2.78, rel=0.10)


def test_4_winter_coat_in_a_chamber():
    """McBride, Christopherson and Sauer 1985, Can J Anim Sci 65:375 (R): -15 and +10 degC."""
    chamber = stay(-12, place=STALL)
    assert low(horse(26), chamber) == pytest.approx(-15, abs=5)
    assert high(horse(26), chamber) == pytest.approx(10, abs=5)


def test_5_foal_of_two_to_four_days():
    """Ousey et al. 1992, J Therm Biol 17:1 (R): 22 degC; the band before what its needs add."""
    assert low(horse(10, mass_kg=50), stay(20, place=STALL)) == pytest.approx(22, abs=5)


def test_6_hay_for_a_degree_of_cold():
    """Morgan, and the extension services of Alabama, Oklahoma and Saskatchewan (Q): 0.15 to 0.18 kg a day a degree."""
    more_hay = hay(MORGAN, stay(-6, place=STALL)) - hay(MORGAN, stay(-5, place=STALL))
    assert 0.12 <= more_hay <= 0.22


def test_7_surface_under_blankets_at_minus_23():
    """Hammer and Gunkelman 2020, J Equine Vet Sci 85:102848 (R): 22.3 < 26.8 < 30.3 < 31.5 degC.

    Bare, under 0, 200 and 400 g. Imaged in a warm barn, so the order is checked and that the first 200 g gain more than
    the next, not the figures.
    """
    outfits = [BARE, *(worn(turnout(fill)) for fill in (0, 200, 400))]
    gains = np.diff(comfort(horse(26), stay(-23, 3.56), outfits).surface_c[:, 0])
    assert (gains > 0).all()
    assert gains[1] > gains[2]


@pytest.mark.parametrize("wind", [0, 1, 2, 3, 4])
def test_8_a_blanket_is_worth_degrees_even_on_a_thinner_coat(wind: float):
    """DeBoer et al. 2020, 2021 (Q, D): 2.51 against 2.31 % of body mass in hay, worth about 6 degC of low_c."""
    bare = low(horse(26), stay(-10, wind))
    blanketed = low(horse(26 * BLANKETED), stay(-10, wind), worn(turnout(200)))
    assert 3 <= bare - blanketed <= 12


def test_9_wind_in_the_coat():
    """Morgan, Swedish University of Agricultural Sciences (R): at 8 m/s a coat conducts 2 to 3 times as much."""
    still, blown = (coat_m2kw(np.array(26.0), np.array(wind), np.array(0.0)) for wind in (0.0, 8.0))
    assert 1.8 <= still / blown <= 3.5


def test_10_sun_and_clear_night():
    """NRC Beef 2000, p. 10 (R): sun is worth 3 to 5 degC, a clear night raises low_c by about 5; tolerance 2."""
    overcast = low(horse(15), stay(0, 2))
    assert overcast - low(horse(15), stay(0, 2, irradiance_wm2=500)) == pytest.approx(4, abs=2)
    assert low(horse(15), stay(0, 2, clear_night=1)) - overcast == pytest.approx(5, abs=2)


def test_11_wet_wind_above_freezing_is_colder_than_dry_frost():
    """Jorgensen et al. 2016, Equine Vet J 48:720 (R): horses stayed out 88 % of the time, against 52 %."""
    frost, wet = stay(-4, 2), stay(6, 6, rh=0.95, coat_wet=0.6)
    assert low(horse(26), wet) - 6 > low(horse(26), frost) - -4


def test_12_wet_horses_want_a_blanket():
    """Mejdell et al. 2016, Appl Anim Behav Sci (Q): 20 of 22 horses at 9 degC in wind and rain."""
    wet = stay(9, 6, rh=0.95, coat_wet=0.5)
    assert of(horse(15), wet).cold_c[0, 0] > 0
    sheeted = of(horse(15), wet, worn(SHEET))
    assert sheeted.low_c[0, 0] <= 9 <= sheeted.high_c[0, 0]


WARDROBE = (
    *(turnout(fill, size_in=78) for fill in (0, 100, 300)),
    *(stable(fill, size_in=78) for fill in (0, 200)),
)


@pytest.mark.parametrize("wind", [0, 4, 12])
@pytest.mark.parametrize("coat_mm", [2, 7, 15, 26])
@pytest.mark.parametrize("air_c", [20.1, 23, 30])
def test_13_nothing_is_worn_above_20(air_c: float, coat_mm: float, wind: float):
    """Mejdell et al. 2019, Appl Anim Behav Sci 212:52 (R): above 20 degC, dry, no horse wants one."""
    advice = choose(horse(coat_mm, chest_to_tail_in=78, age_years=9), stay(air_c, wind, hours=6), WARDROBE)
    assert advice.chosen.outfit.tags == ()


def test_13_has_something_to_choose_from():
    """The same wardrobe clothes the same horse in the cold."""
    advice = choose(horse(2, chest_to_tail_in=78, age_years=9), stay(-5, 4, hours=6), WARDROBE)
    assert advice.chosen.outfit.tags != ()


STABLE_BLANKETS = [worn(stable(fill)) for fill in (0, 100, 200)]
SIX_HOURS_OF_RAIN = stay(4, 5, rh=0.95, hours=6, precip_mm=2)


@pytest.mark.parametrize("blanket", STABLE_BLANKETS)
@pytest.mark.parametrize("coat_mm", [12, 15, 20, 26, 30])
def test_14_soaked_blanket_is_colder_than_a_wet_coat(coat_mm: float, blanket: Outfit):
    """Common practice, no source: a soaked blanket is worse than none."""
    assert low(horse(coat_mm), SIX_HOURS_OF_RAIN, blanket) > low(horse(coat_mm), SIX_HOURS_OF_RAIN)


@pytest.mark.parametrize("blanket", STABLE_BLANKETS)
@pytest.mark.parametrize("coat_mm", [2, 4, 6, 8, 10])
def test_14_soaked_blanket_is_worth_little_on_a_short_coat(coat_mm: float, blanket: Outfit):
    """Common practice, no source: under 3 degC."""
    assert low(horse(coat_mm), SIX_HOURS_OF_RAIN) - low(horse(coat_mm), SIX_HOURS_OF_RAIN, blanket) < 3


def test_15_most_horses_want_it_off_above_10():
    """Mejdell et al. 2019, Appl Anim Behav Sci 212:52 (R): 200 g at 12 degC is too warm."""
    assert of(horse(15), stay(12, 3), worn(turnout(200))).warm_c[0, 0] > 0


def cattle_low_c(wind_kmh: float, hair_cm: float = 3, bcs: float = 5, heat: float = 2.93) -> tuple[float, float]:
    """IN and low of NRC Beef 1996 and 2000 (R); heat in Mcal/m2/day."""
    insulation = (7.36 - 0.296 * wind_kmh + 2.55 * hair_cm) + (5.25 + 0.75 * bcs)
    return insulation, 39 - 0.85 * insulation * heat


def test_16_cattle_formula_as_printed():
    """NRC Beef 1996/2000, CNCPS (R): 10 km/h, 3 cm, condition 5."""
    insulation, low_c = cattle_low_c(10)
    assert insulation == pytest.approx(21.05, abs=0.005)
    assert low_c == pytest.approx(-13.4, abs=0.05)


@pytest.mark.parametrize("wind_kmh", [5, 10, 15, 20, 25])
def test_16_like_cattle_of_the_same_coat(wind_kmh: float):
    """NRC Beef 1996/2000, CNCPS (R): within 5 degC of the cattle formula at the same coat and wind."""
    assert low(horse(30), stay(-5, wind_kmh / 3.6)) == pytest.approx(cattle_low_c(wind_kmh)[1], abs=5)
