"""Figures of standards that answer only within their own range."""

from barnrugs.matching.limits import NoAnswer
from barnrugs.matching.reasons import Code, because

SPRAY_GRADES = {100: 5, 90: 4, 80: 3, 70: 2, 50: 1, 0: 0}
"""Spray rating of AATCC 22 to the grade of ISO 4920 (Q)."""

WIND_CHILL_TO_C, WIND_CHILL_FROM_KMH = 10.0, 4.8


def spray_grade(rating: int) -> int:
    """ISO 4920 grade of a spray rating. Raises NoAnswer for a rating the standard does not know."""
    if rating not in SPRAY_GRADES:
        raise NoAnswer("spray_rating", because(Code.SPRAY_RATING, ratings_either=[str(one) for one in SPRAY_GRADES]))
    return SPRAY_GRADES[rating]


def wind_chill_c(air_c: float, wind_10m_kmh: float) -> float:
    """What a keeper's own chart may call feels-like, degC: NWS and Environment Canada 2001 (M).

    It describes a bare human face and is not valid for haired animals (Ames and Insley 1975, R). Raises NoAnswer
    above 10 degC and at 4.8 km/h or less, where it is not defined.
    """
    if not air_c <= WIND_CHILL_TO_C:
        raise NoAnswer("air_c", because(Code.WIND_CHILL_ABOVE, limit_c=WIND_CHILL_TO_C))
    if not wind_10m_kmh > WIND_CHILL_FROM_KMH:
        raise NoAnswer("wind_10m_kmh", because(Code.WIND_CHILL_CALM, limit_kmh=WIND_CHILL_FROM_KMH))
    blown = float(wind_10m_kmh**0.16)
    return 13.12 + 0.6215 * air_c - 11.37 * blown + 0.3965 * air_c * blown
