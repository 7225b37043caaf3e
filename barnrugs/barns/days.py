"""From which day to which a barn can mean a day: beyond it is a slip of the pen, and sums with it would fail."""

from datetime import date
from typing import Final

EARLIEST: Final = date(1990, 1, 1)
"""Older than any blanket in use, and any clip or measurement that still says something (A)."""
LATEST: Final = date(2199, 12, 31)


def is_meant(day: date) -> bool:
    return EARLIEST <= day <= LATEST
