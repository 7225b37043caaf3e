"""Units and grades of the trade, each with its standard. SI inside, the barn's units at the edge."""

M2KW_PER_CLO = 0.155
M2KW_PER_TOG = 0.1
"""Thermal resistance (R)."""

DENIER_PER_TEX = 9.0
"""1 tex is 1 g/km, 1 denier 1 g/9 km: ISO 1144, ISO 2060, ASTM D1907 (M). Yarn mass: strength, not warmth."""

MM_PER_KPA = 102.0
"""Water head, ISO 811: mm of water for 1 kPa, as EN 343 tables round it (Q)."""

EN_343_UNTREATED_KPA = 8.0
EN_343_TREATED_KPA = {2: 8.0, 3: 13.0, 4: 20.0}
"""EN 343:2019, water penetration: class 1 as new, classes 2 to 4 after washing, flexing and fuel (Q)."""

EN_343_RET_M2PAW = {4: 15.0, 3: 25.0, 2: 40.0}
"""EN 343:2019, water vapour resistance Ret, at most; class 1 is above the last (Q)."""

CM_PER_INCH = 2.54
MM_PER_INCH = 25.4
INCHES_PER_FOOT = 12
KG_PER_LB = 0.45359237
KMH_PER_MS = 3.6
MS_PER_MPH = 0.44704
"""Exact by the international yard and pound, 1959 (M)."""

F_PER_C = 1.8
F_AT_FREEZING = 32.0
"""Exact, NIST SP 811 (M)."""

MINUS, JOINED = "\N{MINUS SIGN}", "\N{NO-BREAK SPACE}"

GIRTH_LENGTH_CM3_PER_KG = 11877.0
"""Carroll and Huntington 1988 (Q)."""


def tog(resistance_m2kw: float) -> float:
    return resistance_m2kw / M2KW_PER_TOG


def m2kw_from_tog(value: float) -> float:
    return value * M2KW_PER_TOG


def clo(resistance_m2kw: float) -> float:
    return resistance_m2kw / M2KW_PER_CLO


def m2kw_from_clo(value: float) -> float:
    return value * M2KW_PER_CLO


def tex_from_denier(denier: float) -> float:
    return denier / DENIER_PER_TEX


def denier_from_tex(tex: float) -> float:
    return tex * DENIER_PER_TEX


def water_head_mm(kpa: float) -> float:
    return kpa * MM_PER_KPA


def kpa_from_water_head(mm: float) -> float:
    return mm / MM_PER_KPA


def en343_water_class(kpa: float, *, after_treatment: bool) -> int:
    """EN 343:2019 class of a shell by the head it holds; 0 where it reaches none."""
    if not after_treatment:
        return int(kpa >= EN_343_UNTREATED_KPA)
    return max((grade for grade, least in EN_343_TREATED_KPA.items() if kpa >= least), default=0)


def en343_ret_class(ret_m2paw: float) -> int:
    """EN 343:2019 class of breathability: 4 lets most moisture out."""
    return max((grade for grade, most in EN_343_RET_M2PAW.items() if ret_m2paw <= most), default=1)


def cm_from_inches(inches: float) -> float:
    return inches * CM_PER_INCH


def inches_from_cm(cm: float) -> float:
    return cm / CM_PER_INCH


def inches_from_mm(mm: float) -> float:
    return mm / MM_PER_INCH


def inches_from_feet(feet: int, inches: float) -> float:
    """British sizes: 6 ft 6 is 78."""
    return feet * INCHES_PER_FOOT + inches


def feet_and_inches(inches: float) -> tuple[int, float]:
    feet, rest = divmod(inches, INCHES_PER_FOOT)
    return int(feet), rest


def kg_from_lb(lb: float) -> float:
    return lb * KG_PER_LB


def lb_from_kg(kg: float) -> float:
    return kg / KG_PER_LB


def c_from_f(fahrenheit: float) -> float:
    return (fahrenheit - F_AT_FREEZING) / F_PER_C


def f_from_c(celsius: float) -> float:
    return celsius * F_PER_C + F_AT_FREEZING


def f_difference(celsius: float) -> float:
    """A difference of temperatures, not a temperature."""
    return celsius * F_PER_C


def c_difference(fahrenheit: float) -> float:
    """A difference of temperatures, not a temperature."""
    return fahrenheit / F_PER_C


def kmh_from_ms(ms: float) -> float:
    return ms * KMH_PER_MS


def ms_from_kmh(kmh: float) -> float:
    return kmh / KMH_PER_MS


def mph_from_ms(ms: float) -> float:
    return ms / MS_PER_MPH


def ms_from_mph(mph: float) -> float:
    return mph * MS_PER_MPH


def temperature(celsius: float, *, us: bool) -> float:
    """degC as the barn reads it: degF or degC. The functions below go by the barn's units as well."""
    return f_from_c(celsius) if us else float(celsius)


def celsius(given: float, *, us: bool) -> float:
    """A temperature as given in the barn's units, degC."""
    return c_from_f(given) if us else float(given)


def difference(celsius: float, *, us: bool) -> float:
    return f_difference(celsius) if us else float(celsius)


def celsius_difference(given: float, *, us: bool) -> float:
    return c_difference(given) if us else float(given)


def speed(ms: float, *, us: bool) -> float:
    """Mile/h or km/h."""
    return mph_from_ms(ms) if us else kmh_from_ms(ms)


def ms(given: float, *, us: bool) -> float:
    """A speed as given in mile/h or km/h, m/s."""
    return ms_from_mph(given) if us else ms_from_kmh(given)


def degree(*, us: bool) -> str:
    return "°F" if us else "°C"


def speed_unit(*, us: bool) -> str:
    return "mph" if us else "km/h"


def with_minus(figure: str) -> str:
    """The figure as print has it: a minus sign for the hyphen."""
    return figure.replace("-", MINUS)


def whole_degrees(celsius: float, *, us: bool) -> str:
    """For example "\N{MINUS SIGN}2 °C", held together on one line."""
    return with_minus(f"{round(temperature(celsius, us=us))}{JOINED}{degree(us=us)}")


def whole_speed(ms: float, *, us: bool) -> str:
    """For example "13 mph", "22 km/h", held together on one line."""
    return f"{round(speed(ms, us=us))}{JOINED}{speed_unit(us=us)}"


def mass(kg: float, *, us: bool) -> str:
    """For example "1102 lb", "500 kg", held together on one line."""
    return f"{round(lb_from_kg(kg))}{JOINED}lb" if us else f"{round(kg)}{JOINED}kg"


def rain(mm: float, *, us: bool) -> str:
    """For example "0.24 in", "6.1 mm"."""
    return f"{inches_from_mm(mm):.2f} in" if us else f"{mm:.1f} mm"


def mass_from_tape_kg(girth_cm: float, length_cm: float) -> float:
    """Body mass from heart girth and body length."""
    return girth_cm**2 * length_cm / GIRTH_LENGTH_CM3_PER_KG
