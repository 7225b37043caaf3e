"""Units against their standards and against a general units library."""

import pint
import pytest

from barnrugs.matching import units
from barnrugs.matching.limits import NoAnswer
from tests.matching import reference

REGISTRY = pint.UnitRegistry()
CHILLED = reference.rows("wind_chill_c")


@pytest.mark.parametrize(
    ("ours", "value", "unit", "wanted"),
    [
        (units.cm_from_inches, 78.0, "inch", "cm"),
        (units.inches_from_cm, 145.0, "cm", "inch"),
        (units.kg_from_lb, 1100.0, "pound", "kg"),
        (units.lb_from_kg, 500.0, "kg", "pound"),
        (units.kmh_from_ms, 8.0, "m/s", "km/h"),
        (units.ms_from_kmh, 30.0, "km/h", "m/s"),
        (units.mph_from_ms, 8.0, "m/s", "mile/hour"),
        (units.ms_from_mph, 15.0, "mile/hour", "m/s"),
        (units.c_from_f, 5.0, "degF", "degC"),
        (units.f_from_c, -15.0, "degC", "degF"),
        (units.f_difference, 4.0, "delta_degC", "delta_degF"),
        (units.tex_from_denier, 1200.0, "denier", "tex"),
        (units.denier_from_tex, 133.0, "tex", "denier"),
    ],
)
def test_conversions(ours, value, unit, wanted):
    """Pint, a general units library."""
    assert ours(value) == pytest.approx(REGISTRY.Quantity(value, unit).to(wanted).magnitude, rel=1e-12)


def test_clo_and_tog():
    """1 clo is 0.155 m2K/W, 1 tog 0.1 m2K/W (R)."""
    assert units.m2kw_from_clo(1) == 0.155
    assert units.m2kw_from_tog(1) == 0.1
    assert units.clo(units.m2kw_from_clo(1.7)) == pytest.approx(1.7)
    assert units.tog(0.32) == pytest.approx(3.2)


def test_denier():
    """ISO 1144, ISO 2060, ASTM D1907 (M): 1 denier is 0.1111 tex, as printed."""
    assert units.tex_from_denier(1) == pytest.approx(0.1111, abs=0.00005)


@pytest.mark.parametrize(("kpa", "mm"), [(8, 816), (13, 1326), (20, 2040)])
def test_water_head(kpa, mm):
    """ISO 811 heads of the classes of EN 343:2019 as printed (Q)."""
    assert units.water_head_mm(kpa) == mm
    assert units.kpa_from_water_head(mm) == kpa


def test_water_head_is_water():
    """Pint's conventional column of water; the standard's 102 rounds 101.97."""
    assert REGISTRY.Quantity(1, "kPa").to("mmH2O").magnitude == pytest.approx(units.water_head_mm(1), rel=0.001)


@pytest.mark.parametrize(
    ("kpa", "treated", "grade"),
    [
        (7.9, False, 0),
        (8, False, 1),
        (20, False, 1),
        (7.9, True, 0),
        (8, True, 2),
        (12.9, True, 2),
        (13, True, 3),
        (20, True, 4),
    ],
)
def test_water_classes(kpa, treated, grade):
    """EN 343:2019 (Q)."""
    assert units.en343_water_class(kpa, after_treatment=treated) == grade


@pytest.mark.parametrize(("ret", "grade"), [(41, 1), (40, 2), (25.1, 2), (25, 3), (15.1, 3), (15, 4), (5, 4)])
def test_ret_classes(ret, grade):
    """EN 343:2019 (Q)."""
    assert units.en343_ret_class(ret) == grade


def test_spray_rating():
    """ISO 4920 and AATCC 22 (Q)."""
    assert [units.spray_grade(rating) for rating in (100, 90, 80, 70, 50, 0)] == [5, 4, 3, 2, 1, 0]
    with pytest.raises(NoAnswer) as refused:
        units.spray_grade(60)
    assert refused.value.path == "spray_rating"


def test_wind_chill_as_printed():
    """NWS and Environment Canada 2001: -20 degC at 30 km/h (M)."""
    assert units.wind_chill_c(-20, 30) == pytest.approx(-32.6, abs=0.05)


def test_wind_chill_in_fahrenheit_as_printed():
    """NWS 2001: -19.4 degF at 0 degF and 15 mph (M).

    Printed from the Fahrenheit form, whose coefficients are rounded apart from the metric ones: ours is -19.45.
    """
    fahrenheit = units.f_from_c(units.wind_chill_c(units.c_from_f(0), units.kmh_from_ms(units.ms_from_mph(15))))
    assert fahrenheit == pytest.approx(-19.4, abs=0.06)


@pytest.mark.parametrize("row", CHILLED, ids=lambda row: f"{row['air_c']} at {row['wind_kmh']}, {row['library']}")
def test_wind_chill_as_libraries_have_it(row):
    """MetPy and pythermalcomfort, values in reference/table.csv with their versions."""
    ours = units.wind_chill_c(float(row["air_c"]), float(row["wind_kmh"]))
    assert ours == pytest.approx(float(row["value"]), abs=0.0001)


@pytest.mark.parametrize(
    ("air_c", "kmh", "path"), [(10.1, 30, "air_c"), (0, 4.8, "wind_10m_kmh"), (float("nan"), 30, "air_c")]
)
def test_no_wind_chill_where_it_is_not_defined(air_c, kmh, path):
    with pytest.raises(NoAnswer) as refused:
        units.wind_chill_c(air_c, kmh)
    assert refused.value.path == path


def test_feet_and_inches():
    """Common practice, no source: British sizes go by feet and inches, 6 ft 6 is a 78."""
    assert units.inches_from_feet(6, 6) == 78
    assert units.feet_and_inches(81) == (6, 9)


def test_mass_from_tape():
    """Carroll and Huntington 1988 (Q): 185 cm of girth and 165 cm of length (arithmetic, D)."""
    assert units.mass_from_tape_kg(185, 165) == pytest.approx(475.5, abs=0.05)
