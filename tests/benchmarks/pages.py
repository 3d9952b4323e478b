"""Server time and number of queries of the page Pools, at two sizes of branch.

python -m tests.benchmarks.pages --pools 12 40 --asks 5
"""

import argparse
import math
import os
import statistics
import tempfile
import time
from datetime import UTC, datetime
from typing import Any

SIX_IN_THE_MORNING = datetime(2026, 6, 8, 10, tzinfo=UTC)


def set_up(folder: str) -> None:
    """Point Django at a data folder of its own before anything of it is loaded."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "planner.settings.local"
    os.environ["PLANNER_DATA_DIR"] = folder
    os.environ["PLANNER_AS_OF"] = SIX_IN_THE_MORNING.isoformat()
    import django  # noqa: PLC0415

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415

    call_command("migrate", verbosity=0)


def hire(branch: Any, times: int) -> None:
    """So many times the crews, gear and visits a day: a company that builds more pools at once has more of all."""
    from django.db.models import F  # noqa: PLC0415

    from crews.models import Crew, CrewTrade, Gear, Supplier  # noqa: PLC0415

    for crew in list(Crew.objects.filter(branch=branch)):
        trades = [row.trade for row in CrewTrade.objects.filter(crew=crew)]
        key, name = crew.key, crew.name
        for number in range(2, times + 1):
            crew.pk, crew.key, crew.name = None, f"{key}-{number}", f"{name} {number}"
            crew.save()
            CrewTrade.objects.bulk_create(CrewTrade(crew=crew, trade=trade) for trade in trades)
    Gear.objects.filter(branch=branch).update(count=F("count") * times)
    Supplier.objects.filter(branch=branch).update(daily_limit=F("daily_limit") * times)


def grow(pools: int) -> None:
    """The demo company with as many pools as asked, each a copy of one of its own on a site of its own."""
    from jobs.snapshots import jobs_of  # noqa: PLC0415
    from planner.demo.company import make_company, open_entry, read_company  # noqa: PLC0415
    from planner.forecast.skies import pull_for_branch  # noqa: PLC0415
    from planner.plans.services import make_plan, put_in_force  # noqa: PLC0415
    from planner.solver.parameters import GreedyOnly  # noqa: PLC0415

    branch = make_company(as_of=SIX_IN_THE_MORNING)
    entries = read_company()["job"]
    hire(branch, math.ceil(pools / len(entries)))
    for number in range(len(entries), pools):
        entry = dict(entries[number % len(entries)])
        entry |= {"name": f"{entry['name']} {number}", "latitude": entry["latitude"] + 0.003 * number, "bookings": []}
        open_entry(branch, entry, as_of=SIX_IN_THE_MORNING)
    sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
    pull_for_branch(branch=branch, sites=tuple(sites.values()), now=SIX_IN_THE_MORNING)
    branch.refresh_from_db()
    made = make_plan(branch=branch, as_of=SIX_IN_THE_MORNING, parameters=GreedyOnly())
    put_in_force(branch=branch, plan=made.plan, now=SIX_IN_THE_MORNING)


def measure(asks: int) -> tuple[float, int]:
    """Median seconds and the number of queries of one answer."""
    from django.db import connection  # noqa: PLC0415
    from django.test import Client  # noqa: PLC0415
    from django.test.utils import CaptureQueriesContext  # noqa: PLC0415

    from jobs.models import Branch  # noqa: PLC0415
    from planner.web.screens.catalogue import visitor_session  # noqa: PLC0415

    client = Client(SERVER_NAME="127.0.0.1")
    client.cookies["sessionid"] = visitor_session(Branch.objects.get())
    client.get("/pools/")
    seconds = []
    with CaptureQueriesContext(connection) as captured:
        for _ in range(asks):
            begun = time.perf_counter()
            answer = client.get("/pools/")
            seconds.append(time.perf_counter() - begun)
            if answer.status_code != 200:
                raise SystemExit(f"Pools answered {answer.status_code}.")
    return statistics.median(seconds), len(captured) // asks


def one_size(pools: int, asks: int) -> None:
    """A process of its own for each size, so that nothing is shared."""
    with tempfile.TemporaryDirectory() as folder:
        set_up(folder)
        grow(pools)
        seconds, queries = measure(asks)
        print(f"{pools:>4} pools: {seconds * 1000:.0f} ms, {queries} queries", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pools", type=int, nargs="+", default=[12, 40])
    parser.add_argument("--asks", type=int, default=5)
    asked = parser.parse_args()
    for pools in asked.pools:
        child = os.fork()
        if child == 0:
            one_size(pools, asked.asks)
            os._exit(0)
        _, status = os.waitpid(child, 0)
        if status:
            raise SystemExit(f"The run with {pools} pools failed.")


if __name__ == "__main__":
    main()
