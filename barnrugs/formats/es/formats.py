"""Spanish as written in Mexico and the United States: a decimal point, as on the scales and tapes of these barns;
months begin with a small letter, and the parts of a long date are joined by "de"."""

import re

from django.utils.formats import FORMAT_SETTINGS

DECIMAL_SEPARATOR = "."
THOUSAND_SEPARATOR = ","
NUMBER_GROUPING = 3


def __getattr__(name: str) -> str:
    """Django asks here for a format by its own text: "j M Y" becomes "j b Y", 25 nov 2026."""
    if name in FORMAT_SETTINGS or not re.fullmatch(r"[A-Za-z ,:-]+", name):
        raise AttributeError(name)
    small = re.sub(r"\bM\b", "b", name)
    return re.sub(r"(?<=\bj) (?=F\b)|(?<=\bF) (?=Y\b)", r" \\d\\e ", small)
