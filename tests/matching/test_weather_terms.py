"""What reaches the horse: air, wind, rain, sky, and what is refused."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from ht.conv_external import Nu_cylinder_Churchill_Bernstein
from ht.conv_free_immersed import Nu_horizontal_cylinder_Churchill_Chu

from barnrugs.matching import weather
from barnrugs.matching.boundary import BODY_M, FREE_CONVECTION_WM2K, boundary, convection_wm2k, nusselt, radiation_wm2k
from barnrugs.matching.limits import NoAnswer
from barnrugs.matching.weather import Place, Stay
from barnrugs.matching.words import PlaceKind, PrecipKind, Shelter
from tests.matching import reference
from tests.matching.weather_builders import SHED, STALL, hour, rainy, stay

SATURATION = [(float(row["air_c"]), float(row["value"])) for row in reference.rows("saturation_pa")]
SEA_LEVEL_PA = 101325.0
GRAVITY = 9.80665
R_AIR = 287.05


@pytest.mark.parametrize(("air_c", "pascal"), SATURATION)
def test_saturation_pressure(air_c, pascal):
    """MetPy over liquid water, values in reference/table.csv: within 0.5 %."""
    assert weather.saturation_pa(np.array(air_c)) == pytest.approx(pascal, rel=0.005)


@pytest.mark.parametrize(
    ("air_c", "tolerance"), [(0, 0.01), (10, 0.01), (20, 0.01), (40, 0.01), (-20, 0.03), (-45, 0.03)]
)
def test_air_is_air(air_c, tolerance):
    """U.S. Standard Atmosphere 1976 as the library `fluids` has it: 1 % from 0 to 40 degC, 3 % at -45."""
    kelvin = air_c + 273.15
    viscosity = ATMOSPHERE_1976.viscosity(kelvin) * R_AIR * kelvin / SEA_LEVEL_PA
    conductivity = ATMOSPHERE_1976.thermal_conductivity(kelvin)
    assert weather.viscosity_m2s(np.array(air_c)) == pytest.approx(viscosity, rel=tolerance)
    assert weather.conductivity_wmk(np.array(air_c)) == pytest.approx(conductivity, rel=tolerance)


@pytest.mark.parametrize("reynolds", [1.0, 1e3, 4.9e4, 2.82e5, 1.1e6])
def test_cylinder_in_cross_flow(reynolds):
    """Churchill and Bernstein 1977 as the library `ht` has it."""
    ours = nusselt(np.array(reynolds), 0.71)
    assert ours == pytest.approx(Nu_cylinder_Churchill_Bernstein(reynolds, 0.71), rel=1e-12)


def test_free_convection_floor():
    """Churchill and Chu 1975 as the library `ht` has it: the trunk 12 K above air at 0 degC."""
    film_c = np.array(6.0)
    nu, k = float(weather.viscosity_m2s(film_c)), float(weather.conductivity_wmk(film_c))
    grashof = GRAVITY / (6.0 + 273.15) * 12 * BODY_M**3 / nu**2
    free = Nu_horizontal_cylinder_Churchill_Chu(0.71, grashof) * k / BODY_M
    assert pytest.approx(free, rel=0.05) == FREE_CONVECTION_WM2K


def test_still_air_is_free_convection():
    assert convection_wm2k(np.array([-20.0, 20.0]), np.zeros(2)).tolist() == [FREE_CONVECTION_WM2K] * 2


def test_radiation_is_the_slope_of_the_fourth_power():
    """Stefan-Boltzmann, differentiated numerically."""
    flux = [0.95 * 5.670374419e-8 * (kelvin**4) for kelvin in (272.65, 273.65)]
    assert radiation_wm2k(np.array(0.0)) == pytest.approx(flux[1] - flux[0], rel=1e-5)


def test_evaporation_never_gains_heat():
    """A surface one degree above saturated air still loses; no hour condenses."""
    air = boundary(np.array([-45.0, 0.0, 40.0]), np.array([0.0, 3.0, 10.0]), np.ones(3))
    assert (air.evaporation_wm2 >= 0).all()


@pytest.mark.parametrize(
    ("shelter", "left"), [(Shelter.OPEN, 0.748), (Shelter.WINDBREAK, 0.748 * 0.6), (Shelter.SHED, 0.748 * 0.3)]
)
def test_wind_at_the_horse(shelter, left):
    """FAO Irrigation and Drainage Paper 56, eq. 47 (M); shelter factors A."""
    found = weather.conditions(stay(0, 10, place=Place(shelter=shelter)))
    assert found.wind_ms[0] == pytest.approx(10 * left)


def test_ten_metres_to_two():
    """FAO Irrigation and Drainage Paper 56, eq. 47 (M): u2 = u10 x 4.87 / ln(67.8 x 10 - 5.42)."""
    assert pytest.approx(4.87 / np.log(67.8 * 10 - 5.42), abs=0.0005) == weather.WIND_10M_TO_2M


def test_a_stall_has_no_wind_sun_sky_or_rain():
    found = weather.conditions(stay(3, 12, place=STALL, precip_mm=4.0, irradiance_wm2=600.0, clear_night=1.0, rh=0.5))
    reached = [found.air_c[0], found.wind_ms[0], found.radiation_wm2[0], found.rain_mm[0], found.rh[0]]
    assert reached == [3, 0, 0, 0, 0.5]
    assert not found.outdoors[0]


@pytest.mark.parametrize(("outside", "inside"), [(-10, 0), (10, 20), (14, 19), (18, 18), (25, 25)])
def test_indoor_gain_fades_out(outside, inside):
    """A: the barn's gain fades to nothing between 10 and 18 degC outdoors."""
    barn = Place(PlaceKind.STALL, indoor_gain_c=10)
    assert weather.air_c(stay(outside, place=barn))[0] == pytest.approx(inside)


def test_indoor_air_keeps_its_vapour():
    barn = Place(PlaceKind.STALL, indoor_gain_c=10)
    found = weather.conditions(stay(0, place=barn, rh=0.9))
    inside_pa = found.rh * weather.saturation_pa(found.air_c)
    assert inside_pa[0] == pytest.approx(0.9 * float(weather.saturation_pa(np.array(0.0))))
    cellar = weather.conditions(stay(10, place=replace(barn, indoor_gain_c=-5.0), rh=0.95))
    assert cellar.rh[0] == 1


def test_the_gain_is_for_indoors():
    assert weather.air_c(stay(0, place=Place(indoor_gain_c=10)))[0] == 0


@pytest.mark.parametrize(
    ("chance", "threshold", "falls"), [(None, 0.3, 2), (0.3, 0.3, 2), (0.29, 0.3, 0), (1.0, 0.3, 2), (0.4, 0.5, 0)]
)
def test_rain_counts_from_its_chance(chance, threshold, falls):
    hours = stay(5, precip_mm=2.0, precip_chance=chance, rain_threshold=threshold)
    assert weather.rain_mm(hours).tolist() == [falls]


@pytest.mark.parametrize(
    ("kind", "air_c", "falls"),
    [
        (None, -0.5, 2),
        (None, -0.6, 0),
        (PrecipKind.RAIN, -3, 2),
        (PrecipKind.SNOW, 3, 0),
    ],
)
def test_snow_lies_dry(kind, air_c, falls):
    assert weather.rain_mm(stay(air_c, precip_mm=2.0, precip_kind=kind)).tolist() == [falls]


def test_a_shed_keeps_half_the_rain_off_but_does_not_change_what_falls():
    hours = rainy([2.0, 0.0], place=SHED)
    assert weather.rain_mm(hours).tolist() == [1, 0]
    assert weather.precip_mm(hours).tolist() == [2, 0]


@pytest.mark.parametrize(
    ("falling", "answer"),
    [
        ([0.0, 0.0], (False, False)),
        ([0.19, 0.19], (False, False)),
        ([0.0, 0.2], (True, False)),
        ([0.17, 0.17, 0.16], (True, False)),
        ([None, 0.0], (False, True)),
        ([None, 0.2], (True, True)),
    ],
)
def test_precipitation_expected(falling, answer):
    """0.2 mm in an hour, or 0.5 mm in all the hours outdoors; what is unknown is told apart."""
    assert weather.precipitation_expected(rainy(falling)) == answer


def test_snow_is_precipitation():
    assert weather.precipitation_expected(stay(-8, precip_mm=1.0)) == (True, False)


def test_only_outdoor_hours_count():
    indoors = replace(hour(0, 5.0, precip_mm=3.0), place=STALL)
    unknown_indoors = replace(hour(1, 5.0, precip_mm=None), place=STALL)
    hours = Stay((indoors, unknown_indoors, hour(2, 5.0)))
    assert weather.outdoor(hours).tolist() == [False, False, True]
    assert weather.precipitation_expected(hours) == (False, False)


def test_sun_and_sky():
    """A: 0.09 of the sun; a clear night loses 0.95 x 0.5 x 95 W/m2."""
    found = weather.conditions(Stay((hour(0, 0.0, irradiance_wm2=500.0), hour(1, 0.0, clear_night=0.5))))
    assert found.radiation_wm2.tolist() == pytest.approx([45.0, -22.5625])


OUTSIDE = [
    ({"air_c": 41.0}, "air_c"),
    ({"air_c": -45.1}, "air_c"),
    ({"air_c": float("nan")}, "air_c"),
    ({"air_c": float("inf")}, "air_c"),
    ({"wind_10m_ms": 30.1}, "wind_10m_ms"),
    ({"wind_10m_ms": -0.1}, "wind_10m_ms"),
    ({"rh": 1.01}, "rh"),
    ({"irradiance_wm2": 1201.0}, "irradiance_wm2"),
    ({"clear_night": -0.1}, "clear_night"),
    ({"precip_mm": -1.0}, "precip_mm"),
    ({"precip_mm": float("nan")}, "precip_mm"),
    ({"precip_chance": 30.0}, "precip_chance"),
]


@pytest.mark.parametrize(("change", "field"), OUTSIDE)
def test_outside_the_limits_there_is_no_answer(change, field):
    hours = Stay((hour(0), replace(hour(1), **change)))
    with pytest.raises(NoAnswer) as refused:
        weather.check(hours)
    assert refused.value.path == f"hours[1].{field}"
    assert refused.value.reason.text.endswith(".")


def test_limits_themselves_are_inside():
    weather.check(
        Stay((hour(0, -45.0, 30.0, rh=0.0), hour(1, 40.0, 0.0, rh=1.0, irradiance_wm2=1200.0, clear_night=1.0)))
    )


def test_the_limit_is_for_the_air_at_the_place():
    barn = Place(PlaceKind.STALL, indoor_gain_c=10)
    weather.check(stay(-50, place=barn))
    with pytest.raises(NoAnswer):
        weather.check(stay(-56, place=barn))


@pytest.mark.parametrize("shift", [timedelta(hours=1), timedelta(minutes=1), -timedelta(hours=1)])
def test_a_gap_is_refused_with_its_place(shift):
    later = hour(2)
    with pytest.raises(NoAnswer) as refused:
        weather.check(Stay((hour(0), hour(1), replace(later, time=later.time + shift), hour(3))))
    assert refused.value.path == "hours[2].time"


def test_times_of_two_sorts_are_refused():
    with pytest.raises(NoAnswer) as refused:
        weather.check(Stay((hour(0), replace(hour(1), time=hour(1).time.replace(tzinfo=None)))))
    assert refused.value.path == "hours[1].time"


def test_no_hours_no_answer():
    with pytest.raises(NoAnswer) as refused:
        weather.check(Stay(()))
    assert refused.value.path == "hours"


@pytest.mark.parametrize("name", ["coat_wet", "coat_wet_under"])
def test_a_start_outside_is_refused(name):
    with pytest.raises(NoAnswer) as refused:
        weather.check(stay(0, **{name: 1.5}))
    assert refused.value.path == f"start_state.{name}"
