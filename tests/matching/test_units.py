"""Units against their standards and against a general units library."""

import pint
import pytest

from barnrugs.matching import standards, units
from barnrugs.matching.limits import NoAnswer
from tests.matching import reference

REGISTRY = pint.UnitRegistry()
CHILLED = reference.rows("wind_chill_c")


@pytest.mark.parametrize(
    ("ours", "value", "unit", "wanted"),
    [
        (units.cm_from_inches, 78.0, "inch", "cm"),
        (units.inches_from_cm, 145.0, "cm", "inch"),
        (units.inches_from_mm, 6.1, "mm", "inch"),
        (units.kg_from_lb, 1100.0, "pound", "kg"),
        (units.lb_from_kg, 500.0, "kg", "pound"),
        (units.kmh_from_ms, 8.0, "m/s", "km/h"),
        (units.ms_from_kmh, 30.0, "km/h", "m/s"),
        (units.mph_from_ms, 8.0, "m/s", "mile/hour"),
        (units.ms_from_mph, 15.0, "mile/hour", "m/s"),
        (units.c_from_f, 5.0, "degF", "degC"),
        (units.f_from_c, -15.0, "degC", "degF"),
        (units.f_difference, 4.0, "delta_degC", "delta_degF"),
        (units.c_difference, 9.0, "delta_degF", "delta_degC"),
        (units.tex_from_denier, 1200.0, "denier", "tex"),
        (units.denier_from_tex, 133.0, "tex", "denier"),
    ],
)
def test_conversions(ours, value, unit, wanted):
    """Pint, a general units library."""
    assert ours(value) == pytest.approx(REGISTRY.Quantity(value, unit).to(wanted).magnitude, rel=1e-12)


@pytest.mark.parametrize(
    ("ours", "printed"),
    [
        (units.cm_from_inches(1), "2.54"),
        (1 / units.inches_from_mm(1), "25.4"),
        (units.kg_from_lb(1), "0.453 592 37"),
        (units.ms_from_mph(1), "0.447 04"),
        (units.ms_from_kmh(1), "0.277 777 8"),
        (units.c_difference(1), "0.555 555 6"),
    ],
)
def test_factors_as_printed(ours, printed):
    """NIST SP 811, appendix B, as printed there (M); half of the last digit."""
    figure = printed.replace(" ", "")
    decimals = len(figure.partition(".")[2])
    assert ours == pytest.approx(float(figure), abs=0.5 * 10**-decimals)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (98.6, 37.0), (0.0, -17.8)]
)
def test_fixed_points_of_fahrenheit(fahrenheit, celsius):
    """NIST SP 811: t(degC) = (t(degF) - 32) / 1.8; the ice and steam points, where the scales meet, blood heat (M)."""
    assert units.c_from_f(fahrenheit) == pytest.approx(celsius, abs=0.05)
    assert units.f_from_c(celsius) == pytest.approx(fahrenheit, abs=0.05)


@pytest.mark.parametrize(("forth", "back"), [(units.temperature, units.celsius), (units.speed, units.ms)])
@pytest.mark.parametrize("us", [True, False])
def test_what_a_barn_reads_comes_back_as_it_was(forth, back, us):
    assert back(forth(7.25, us=us), us=us) == pytest.approx(7.25, rel=1e-12)


def test_each_barn_reads_its_own_units():
    assert (units.temperature(-15, us=True), units.temperature(-15, us=False)) == (5.0, -15.0)
    assert (units.difference(5, us=True), units.difference(5, us=False)) == (9.0, 5.0)
    assert (units.celsius_difference(9, us=True), units.celsius_difference(9, us=False)) == (5.0, 9.0)
    assert units.speed(10, us=True) == pytest.approx(22.369, abs=0.0005)
    assert units.speed(10, us=False) == 36.0


@pytest.mark.parametrize(
    ("said", "us", "metric"),
    [
        (
            lambda us: units.whole_degrees(-18.4, us=us),
            "\N{MINUS SIGN}1\N{NO-BREAK SPACE}°F",
            "\N{MINUS SIGN}18\N{NO-BREAK SPACE}°C",
        ),
        (lambda us: units.rain(6.1, us=us), "0.24 in", "6.1 mm"),
        (lambda us: units.speed_unit(us=us), "mph", "km/h"),
    ],
)
def test_figures_are_written_in_the_barns_units(said, us, metric):
    assert (said(us=True), said(us=False)) == (us, metric)


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
    assert [standards.spray_grade(rating) for rating in (100, 90, 80, 70, 50, 0)] == [5, 4, 3, 2, 1, 0]
    with pytest.raises(NoAnswer) as refused:
        standards.spray_grade(60)
    assert refused.value.path == "spray_rating"


def test_wind_chill_as_printed():
    """NWS and Environment Canada 2001: -20 degC at 30 km/h (M)."""
    assert standards.wind_chill_c(-20, 30) == pytest.approx(-32.6, abs=0.05)


def test_wind_chill_in_fahrenheit_as_printed():
    """NWS 2001: -19.4 degF at 0 degF and 15 mph (M).

    Printed from the Fahrenheit form, whose coefficients are rounded apart from the metric ones: ours is -19.45.
    """
    fahrenheit = units.f_from_c(standards.wind_chill_c(units.c_from_f(0), units.kmh_from_ms(units.ms_from_mph(15))))
    assert fahrenheit == pytest.approx(-19.4, abs=0.06)


@pytest.mark.parametrize("row", CHILLED, ids=lambda row: f"{row['air_c']} at {row['wind_kmh']}, {row['library']}")
def test_wind_chill_as_libraries_have_it(row):
    """MetPy and pythermalcomfort, values in reference/table.csv with their versions."""
    ours = standards.wind_chill_c(float(row["air_c"]), float(row["wind_kmh"]))
    assert ours == pytest.approx(float(row["value"]), abs=0.0001)


@pytest.mark.parametrize(
    ("air_c", "kmh", "path"), [(10.1, 30, "air_c"), (0, 4.8, "wind_10m_kmh"), (float("nan"), 30, "air_c")]
)
def test_no_wind_chill_where_it_is_not_defined(air_c, kmh, path):
    with pytest.raises(NoAnswer) as refused:
        standards.wind_chill_c(air_c, kmh)
    assert refused.value.path == path


def test_feet_and_inches():
    """Common practice, no source: British sizes go by feet and inches, 6 ft 6 is a 78."""
    assert units.inches_from_feet(6, 6) == 78
    assert units.feet_and_inches(81) == (6, 9)


def test_mass_from_tape():
    """Carroll and Huntington 1988 (Q): 185 cm of girth and 165 cm of length (arithmetic, D)."""
    assert units.mass_from_tape_kg(185, 165) == pytest.approx(475.5, abs=0.05)
