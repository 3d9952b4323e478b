"""A season of the demo company against the weather that was recorded, beside the same first plan never moved.

The forecasts are made from the record with the skill public forecasts have at each lead (as in the demo); the weather
that then comes is the record's. The climate that stands in beyond the forecast is made from the same record, so it
knows the year a little. Work that the weather hits is counted with its loss and goes on; it is not done twice. The
office takes every proposal and makes every call on its list; suppliers say yes. Crews do what is planned, on time.

python -m tests.benchmarks.season --pools 2 --weeks 5
python -m tests.benchmarks.season --mornings slab_pour --weeks 16
"""

import argparse
import os
import tempfile
from pathlib import Path

import django
from django.core.management import call_command


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pools", type=int, default=2, help="1 to 6, the first of the demo company")
    parser.add_argument("--weeks", type=int, default=5)
    parser.add_argument("--first", default="2026-05-04", help="a Monday")
    parser.add_argument("--hours", type=int, nargs="+", default=[6], help="when the office looks, each day")
    parser.add_argument("--effort", type=float, default=0.0, help="counted seconds of search for each plan; 0: repair")
    parser.add_argument("--seed", type=int, default=0, help="another draw of the forecasts of the same weather")
    parser.add_argument("--moves", action="store_true", help="print every move, loss and wait")
    parser.add_argument("--mornings", default="", metavar="WORK", help="only how often each lead forbids this exposure")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="season") as folder:
        os.environ |= {"PLANNER_DATA_DIR": str(Path(folder) / "d"), "DJANGO_SETTINGS_MODULE": "planner.settings.local"}
        django.setup()
        call_command("migrate", verbosity=0, interactive=False)
        # Models can be imported only now.
        from tests.benchmarks.season.mornings import mornings  # noqa: PLC0415
        from tests.benchmarks.season.playing import own_season, play  # noqa: PLC0415

        if asked.mornings:
            mornings(asked.mornings, first=own_season(asked.first), weeks=asked.weeks)
        else:
            play(asked)


if __name__ == "__main__":
    main()
