"""Where the heat balance may speak, and what it raises where it may not (limits of the model, A)."""


class NoAnswer(ValueError):
    """There is no advice for this input, and why: never a number in its place.

    path: which value, as `hours[3].air_c`. reason: one plain sentence.
    """

    def __init__(self, path: str, reason: str) -> None:
        super().__init__(f"{path}: {reason}")
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


def require(path: str, value: float, limits: tuple[float, float], what: str) -> None:
    """Raise NoAnswer unless value lies within limits, ends included; not a number is outside."""
    low, high = limits
    if not low <= value <= high:
        raise NoAnswer(path, f"{what} must lie between {low:g} and {high:g}.")
