"""Weather files for the tests: the shipped years as text, and an EPW file written from one of them."""

from functools import cache
from io import BytesIO
from pathlib import Path

import pandas as pd
from pvlib.iotools import read_tmy3

from barnrugs.weather import shipped

EPW_HEAD = [
    "LOCATION,Aldersgård,NA,INV,invented from TMY3,000000,{latitude},{longitude},{zone},{altitude}",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,written for a test",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
]


@cache
def lines(name: str) -> tuple[str, ...]:
    return tuple(shipped.path_of(name).read_text().splitlines())


@cache
def table(name: str) -> tuple[pd.DataFrame, dict]:
    """What a general library reads from the shipped file."""
    return read_tmy3(shipped.path_of(name))


def upload(rows: tuple[str, ...] | list[str], name: str = "year.csv") -> BytesIO:
    file = BytesIO("\n".join(rows).encode())
    file.name = name
    return file


def begins(data: pd.DataFrame) -> list[tuple[int, int, int, int]]:
    """Year, month, day and hour at which each row's hour begins.

    pvlib moves 24:00 of 28 February in a leap year to 1 March.
    """
    hours = data.index - pd.Timedelta(hours=1)
    return [(hour.year, hour.month, 28 if (hour.month, hour.day) == (2, 29) else hour.day, hour.hour) for hour in hours]


@cache
def epw_lines(name: str) -> tuple[str, ...]:
    data, site = table(name)
    head = [
        line.format(latitude=site["latitude"], longitude=site["longitude"], zone=site["TZ"], altitude=site["altitude"])
        for line in EPW_HEAD
    ]
    return (*head, *(_epw_row(*pair) for pair in zip(begins(data), data.to_dict("records"), strict=True)))


def _epw_row(begin: tuple[int, int, int, int], row: dict) -> str:
    precipitation = (row["Lprecip depth (mm)"], row["Lprecip quantity (hr)"])
    depth, period = (999 if value < 0 else value for value in precipitation)
    year, month, day, hour = begin
    cells = [year, month, day, hour + 1, 60, "?9?9?9", row["temp_air"], row["temp_dew"]]
    cells += [row["relative_humidity"], row["pressure"] * 100, row["ghi_extra"], row["dni_extra"], 9999, row["ghi"]]
    cells += [row["dni"], row["dhi"], 0, 0, 0, 0, row["wind_direction"], row["wind_speed"], row["TotCld (tenths)"]]
    cells += [row["OpqCld (tenths)"], 9999, 99999, 9, 999999999, 0, 0.05, 0, 88, 0.2, depth, period]
    return ",".join(str(cell) for cell in cells)


def write(rows: tuple[str, ...] | list[str], path: Path) -> Path:
    path.write_text("\n".join(rows) + "\n")
    return path
