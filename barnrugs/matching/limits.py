"""Where the heat balance may speak, and what it raises where it may not (limits of the model, A)."""

from barnrugs.matching.reasons import Code, Reason, because


class NoAnswer(ValueError):
    """There is no advice for this input, and why: never a number in its place.

    path: which value, as `hours[3].air_c`. reason: code and figures, said in the reader's language.
    """

    def __init__(self, path: str, reason: Reason) -> None:
        super().__init__(f"{path}: {reason.text}")
        self.path = path
        self.reason = reason


AIR_C = (-45.0, 40.0)
WIND_10M_MS = (0.0, 30.0)
FRACTION = (0.0, 1.0)
IRRADIANCE_WM2 = (0.0, 1200.0)
MASS_KG = (35.0, 1100.0)
BCS = (1.0, 9.0)
COAT_MM = (1.0, 60.0)
FILL_G = (0.0, 800.0)
PRECIP_MM = (0.0, 500.0)
OFFSET_C = (-10.0, 10.0)


def require(path: str, value: float, limits: tuple[float, float], what: str, unit: str = "figure") -> None:
    """Raise NoAnswer unless value lies within limits, ends included; not a number is outside.

    what: the quantity's word in reasons.py. unit: the ending of its figures there.
    """
    low, high = limits
    if not low <= value <= high:
        figures = {"what_word": what, f"low_{unit}": low, f"high_{unit}": high}
        raise NoAnswer(path, because(Code.OUTSIDE, **figures))
