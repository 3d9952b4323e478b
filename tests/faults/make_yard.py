"""``python -m tests.faults.make_yard SITES MAIL NOW``: an empty database of the settings becomes the yard."""

import os
import sys
from datetime import datetime

import django
from django.core.management import call_command


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "planner.settings.local")
    django.setup()
    # Models can be imported only now.
    from tests.faults.yard import build  # noqa: PLC0415

    call_command("migrate", verbosity=0, interactive=False)
    build(datetime.fromisoformat(sys.argv[3]), sites=int(sys.argv[1]), mail=sys.argv[2])


if __name__ == "__main__":
    main()
