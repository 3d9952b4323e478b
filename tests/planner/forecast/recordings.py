"""Where real replies lie beside the repository; tests that need them say so when they are absent."""

import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[3]
RECORDINGS = ROOT.parent / "shared" / "recordings"
NWS = RECORDINGS / "nws"
GRIDS = (
    "ALY_71_67_2026-07-15.recon",
    "BOX_70_82_2026-07-15.recon",
    "pynws_detailed_forecast",
    "PHI_85_102_2026-09-01.qpf_only",
)
RELATIVE = ("OKX_1_1.reltime", "LWX_95_71.reltime")
# Puts the offsets of the first relative reply on full hours.
RELATIVE_NOW = datetime(2026, 3, 8, 8, 32, 4, tzinfo=UTC)


def recorded(folder: str, name: str) -> dict[str, Any]:
    return _load(NWS / folder / f"{name}.json")


def recorded_met(name: str) -> dict[str, Any]:
    """A reply of MET Norway as it was kept: under ``data`` with its headers, or bare."""
    return _load(RECORDINGS / "met_norway" / f"{name}.json")


def recorded_open_meteo(name: str) -> dict[str, Any]:
    return _load(RECORDINGS / "open_meteo" / f"{name}.json")


def _load(path: Path) -> dict[str, Any]:
    if not path.exists():
        pytest.skip(f"recorded reply {path.parent.name}/{path.stem} is not beside the repository")
    payload: dict[str, Any] = json.loads(path.read_text())
    return payload


def _absolute(match: re.Match[str]) -> str:
    base = RELATIVE_NOW.replace(minute=0, second=0) if match["hour"] else RELATIVE_NOW
    moment = base + timedelta(**{match["unit"]: int(match["count"])})
    return moment.isoformat() + ("/" if match["slash"] else "")


def relative_grid(name: str) -> dict[str, Any]:
    """A reply whose times are offsets from now, made absolute."""
    text = json.dumps(recorded("relative", name))
    pattern = r"date:now(?P<hour>:hour)? (?P<count>[+-]?\d+) (?P<unit>seconds|hours)(?P<slash> / )?"
    payload: dict[str, Any] = json.loads(re.sub(pattern, _absolute, text))
    return payload


def every_grid() -> list[tuple[str, str]]:
    return [("gridpoints", name) for name in GRIDS] + [("relative", name) for name in RELATIVE]


def load_grid(folder: str, name: str) -> dict[str, Any]:
    return relative_grid(name) if folder == "relative" else recorded(folder, name)
