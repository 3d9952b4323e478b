"""A process that holds a claim over a step longer than the lease: ``python -m ... BRANCH FOLDER MODE``."""

import os
import sys
import time
from datetime import timedelta
from pathlib import Path

import django

LEASE = timedelta(seconds=0.6)


def main(slug: str, folder: Path, mode: str) -> None:
    """Claim, work for three leases, and write down whether the claim still holds; or die in the middle of it."""
    from jobs.models import Branch  # noqa: PLC0415 - only once Django is set up
    from planner.plans.replanning.claims import claim, kept_alive, release, renew  # noqa: PLC0415

    branch = Branch.objects.get(slug=slug)
    mark = claim(branch=branch, lease=LEASE)
    with kept_alive(branch=branch, mark=mark, lease=LEASE):
        (folder / "began").touch()
        time.sleep(3 * LEASE.total_seconds())
        if mode == "dies":
            os._exit(9)
        other = claim(branch=branch, lease=LEASE)
    (folder / "held").write_text(f"{bool(mark)} {other!r} {renew(branch=branch, mark=mark, lease=LEASE)}")
    release(branch=branch, mark=mark)


if __name__ == "__main__":
    django.setup()
    main(sys.argv[1], Path(sys.argv[2]), sys.argv[3])
