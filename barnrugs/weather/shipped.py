"""The two typical years that pvlib ships, for the demo and the tests."""

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from barnrugs.weather.hours import WeatherYear
from barnrugs.weather.sources import tmy3

ALASKA = "703165TY.csv"
"""A windy Alaskan coast, 55.3 N."""
CAROLINA = "723170TYA.CSV"
"""Inland North Carolina, 36.1 N."""


def path_of(name: str) -> Path:
    spec = find_spec("pvlib")
    if spec is None or spec.origin is None:
        raise FileNotFoundError("pvlib is not installed, so its typical years are not here")
    return Path(spec.origin).parent / "data" / name


@cache
def year_of(name: str) -> WeatherYear:
    return tmy3.read(path_of(name))
