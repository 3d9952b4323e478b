"""Reads the published tables of ``fixtures/worked_examples``."""

import csv
from pathlib import Path

FOLDER = Path(__file__).parents[3] / "fixtures" / "worked_examples"


def rows_of(name: str) -> list[dict[str, str]]:
    """Rows of a table; every row names its source."""
    with (FOLDER / f"{name}.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows
    assert all(row["source"] for row in rows)
    return rows


def celsius(degf: str | float) -> float:
    """Temperature [degC] of a table's temperature [degF]."""
    return (float(degf) - 32) / 1.8
