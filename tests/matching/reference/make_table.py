"""Writes table.csv: values of general-purpose libraries that the tests of the heat balance compare with.

Run by hand, in an environment of its own, when a value is to be added, so that the tests need none of these libraries:

    python -m venv reference && reference/bin/pip install metpy pythermalcomfort
    reference/bin/python tests/matching/reference/make_table.py
"""

import csv
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

import metpy.calc
import pythermalcomfort.models
from metpy.units import units

TABLE = Path(__file__).with_name("table.csv")
METPY = f"MetPy {version('metpy')}"
COMFORT = f"pythermalcomfort {version('pythermalcomfort')}"
AIR_C = (-45, -40, -35, -30, -25, -20, -15, -10, -5, 0, 5, 10, 15, 20, 25, 30, 35, 40)
CHILLED = ((-40, 10), (-30, 50), (-20, 30), (-10, 6), (-10, 100), (0, 20), (5, 40), (10, 25))

Row = tuple[str, float, float | str, float, str]


def saturation() -> Iterator[Row]:
    """Pa over liquid water, at every temperature (Ambaum 2020, doi:10.1002/qj.3899, in this library)."""
    for air_c in AIR_C:
        pressure = metpy.calc.saturation_vapor_pressure(units.Quantity(air_c, "degC"), phase="liquid")
        yield "saturation_pa", air_c, "", round(float(pressure.to("Pa").magnitude), 4), METPY


def wind_chill() -> Iterator[Row]:
    """degC at km/h in 10 m (NWS and Environment Canada 2001)."""
    for air_c, kmh in CHILLED:
        ours = metpy.calc.windchill(units.Quantity(air_c, "degC"), units.Quantity(kmh, "km/h"))
        yield "wind_chill_c", air_c, kmh, round(float(ours.to("degC").magnitude), 4), METPY
        theirs = pythermalcomfort.models.wind_chill_temperature(tdb=air_c, v=kmh, round_output=False)
        yield "wind_chill_c", air_c, kmh, round(float(theirs.wct), 4), COMFORT


def main() -> None:
    with TABLE.open("w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("quantity", "air_c", "wind_kmh", "value", "library"))
        writer.writerows([*saturation(), *wind_chill()])


if __name__ == "__main__":
    main()
