"""The stored best known costs of generated branches, and what is proven that no plan is below."""

import json
from pathlib import Path
from typing import Any

from planner.solver.problem import Problem
from tests.planner.solver.company_problems import shape_of

BEST_KNOWN = Path(__file__).resolve().parents[3] / "fixtures" / "problems" / "best_known.json"
# Of one problem: "shape", "dollars", "floor" and "floor_told_nothing" where known, and by method what "tried" found:
# dollars and seconds.
Entry = dict[str, Any]


def stored() -> dict[str, Entry]:
    """Everything stored, by ``pools/seed``."""
    if not BEST_KNOWN.is_file():
        return {}
    found: dict[str, Entry] = json.loads(BEST_KNOWN.read_text(encoding="utf-8"))
    return found


def known_of(pools: int, seed: int, problem: Problem) -> Entry:
    """What is stored of a problem; nothing if the generator draws another one by now."""
    entry = stored().get(f"{pools}/{seed}", {})
    return entry if entry.get("shape") == shape_of(problem) else {"shape": shape_of(problem)}


def keep(pools: int, seed: int, entry: Entry) -> None:
    """Store what is known of a problem beside the others."""
    entries = {**stored(), f"{pools}/{seed}": entry}
    order = sorted(entries, key=lambda name: [int(part) for part in name.split("/")])
    BEST_KNOWN.parent.mkdir(parents=True, exist_ok=True)
    lines = [f" {json.dumps(name)}: {json.dumps(entries[name], sort_keys=True)}" for name in order]
    BEST_KNOWN.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
