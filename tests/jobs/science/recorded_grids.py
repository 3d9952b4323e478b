"""Hours of recorded National Weather Service grids, read from beside the project; skips where they are absent."""

import json
import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parents[4] / "shared" / "recordings" / "nws" / "gridpoints"
SPAN = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?)?")


def grids(*layers: str) -> Iterator[Iterator[tuple[float, ...]]]:
    """For each recorded grid, the hours for which all ``layers`` have a value, as the service gives them."""
    if not FOLDER.exists():
        pytest.skip("the recorded weather service grids are not beside this copy of the project")
    for file in sorted(FOLDER.glob("*.json")):
        document = json.loads(file.read_text())
        properties = document.get("properties", document)
        if all(layer in properties for layer in layers):
            by_hour = [_by_hour(properties[layer]) for layer in layers]
            yield (
                tuple(float(hours[at]) for hours in by_hour)
                for at in by_hour[0]
                if all(hours.get(at) is not None for hours in by_hour)
            )


def _by_hour(layer: dict[str, Any]) -> dict[datetime, float]:
    found: dict[datetime, float] = {}
    for entry in layer["values"]:
        start, span = entry["validTime"].split("/")
        match = SPAN.fullmatch(span)
        assert match is not None
        for hour in range(int(match[1] or 0) * 24 + int(match[2] or 0)):
            found[datetime.fromisoformat(start) + timedelta(hours=hour)] = entry["value"]
    return found
