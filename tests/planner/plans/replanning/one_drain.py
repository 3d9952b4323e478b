"""A process of its own that asks, waits for the others, and drains: ``python -m ... BRANCH FOLDER NAME PROCESSES``."""

import json
import sys
import time
from dataclasses import asdict
from pathlib import Path

import django


def main(slug: str, folder: Path, name: str, processes: int) -> None:
    """Ask for the same and for something of its own, meet the others, drain, and write down what came of it."""
    from jobs.models import Branch  # noqa: PLC0415 - only once Django is set up
    from planner.plans.replanning.drain import drain  # noqa: PLC0415
    from planner.plans.replanning.requests import ask  # noqa: PLC0415
    from tests.planner.plans.replanning.yard import GREEDY, NOW  # noqa: PLC0415

    branch = Branch.objects.get(slug=slug)
    (folder / f"{name}.ready").touch()
    while len(list(folder.glob("*.ready"))) < processes:
        time.sleep(0.005)
    for subject in ("same", name):
        ask(branch=branch, reason="job_changed", subject=subject, says=f"{subject} changed.", now=NOW)
    (folder / f"{name}.asked").touch()
    while len(list(folder.glob("*.asked"))) < processes:
        time.sleep(0.005)
    found = drain(branch=branch, now=NOW, parameters=GREEDY)
    (folder / f"{name}.json").write_text(json.dumps(asdict(found) if found is not None else None))


if __name__ == "__main__":
    django.setup()
    main(sys.argv[1], Path(sys.argv[2]), sys.argv[3], int(sys.argv[4]))
