"""Values of general-purpose libraries, made by make_table.py."""

import csv
from pathlib import Path

TABLE = Path(__file__).with_name("table.csv")


def rows(quantity: str) -> list[dict[str, str]]:
    return [row for row in csv.DictReader(TABLE.read_text().splitlines()) if row["quantity"] == quantity]
