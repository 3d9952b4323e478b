"""``python -m tests.benchmarks.load_rows BRANCHES SITES CELLS``: an empty database becomes that many yards."""

import os
import sys
from datetime import UTC, datetime

import django
from django.core.management import call_command


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "planner.settings.local")
    django.setup()
    # Models can be imported only now.
    from tests.faults.yard import build  # noqa: PLC0415

    branches, sites, cells = map(int, sys.argv[1:])
    call_command("migrate", verbosity=0, interactive=False)
    now = datetime.now(UTC).replace(microsecond=0)
    for number in range(branches):
        # As even as whole sites allow.
        share = sites * (number + 1) // branches - sites * number // branches
        build(now, sites=share, mail="office@example.org", number=number, cells=cells // branches)


if __name__ == "__main__":
    main()
