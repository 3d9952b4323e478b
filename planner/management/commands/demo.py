"""``manage.py demo``: the main job on the demo company, from an empty folder to day plans and served pages."""

from argparse import ArgumentParser
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management import call_command
from django.core.management.base import CommandError

from crews.selectors import list_crews
from crews.snapshots import crews_of
from jobs.models import Branch
from jobs.snapshots import jobs_of
from planner import clock
from planner.dayplans.presenters.text import day_plan_text, free_crews_text
from planner.dayplans.services import day_plan_of
from planner.demo.company import WRITTEN_FOR, ZONE, forget_company, make_company
from planner.demo.signing import demo_sign_in
from planner.forecast.models import RecordedSky
from planner.forecast.skies import pull_for_branch
from planner.management.plain import PlainCommand, clear_progress, progress_on_terminal
from planner.plans.domain.outlook import skies_of, worth_waiting
from planner.plans.domain.story import dollar_lines, handover_lines, sky_lines, warning_lines
from planner.plans.services import MadePlan, make_plan, put_in_force
from planner.serving.web import serve_on_loopback
from planner.solver.parameters import Repeatable

MORNING = time(6, 0)


class Command(PlainCommand):
    help = (
        "Sets up an invented pool builder, forecasts its weather from a recorded season, plans every pool, puts the "
        "plan in force and prints it: where the dollars are, the next working day of every crew, what the weather "
        "threatens and what the plan does about it. Then serves the pages, on this machine only."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="stop before the pages are served")
        parser.add_argument("--live", action="store_true", help="ask the US weather service, with today's date")
        parser.add_argument("--as-of", type=date.fromisoformat, help=f"the day it is (default: {WRITTEN_FOR})")
        parser.add_argument("--port", type=int, default=8000, help="port on 127.0.0.1 (default: %(default)s)")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["live"] and options["as_of"]:
            raise CommandError("--live plans today: leave --as-of out.")
        call_command("migrate", verbosity=0, interactive=False)
        as_of = self._set_clock(options["as_of"], live=options["live"])
        forget_company()
        branch = make_company(as_of=as_of)
        if options["live"]:
            RecordedSky.objects.filter(branch=branch).delete()
            Branch.objects.filter(pk=branch.pk).update(banner="Demo: an invented company under the real forecast.")
        self._pull(branch, as_of)
        made = make_plan(branch=branch, as_of=as_of, parameters=Repeatable(), on_progress=progress_on_terminal())
        clear_progress()
        put_in_force(branch=branch, plan=made.plan, now=as_of)
        branch.refresh_from_db()
        self._print_plan(branch, made)
        self._print_day_plans(branch, as_of)
        if not options["no_serve"]:
            name, password = demo_sign_in(branch)
            serve_on_loopback(
                port=options["port"],
                say=self.stdout.write,
                sign_in=f"Sign in as {name} with the password {password}",
            )

    def _set_clock(self, on: date | None, *, live: bool) -> datetime:
        """Pin the clock of this data folder to the demo's morning, or unpin it for the real present."""
        if live:
            clock.unpin()
            return clock.now()
        moment = datetime.combine(on or WRITTEN_FOR, MORNING, tzinfo=ZoneInfo(ZONE))
        clock.pin(moment)
        return clock.now()

    def _pull(self, branch: Branch, as_of: datetime) -> None:
        sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
        pulled = pull_for_branch(branch=branch, sites=tuple(sites.values()), now=as_of)
        for failure in pulled.failures:
            self.stderr.write(failure)

    def _print_plan(self, branch: Branch, made: MadePlan) -> None:
        assignments = made.result.assignments
        zone = ZoneInfo(branch.zone)
        moment = made.world.as_of.astimezone(zone)
        when = f"{moment:%A} {moment.day} {moment:%B %Y, %H:%M}"
        self.stdout.write(f"{branch.company}, {branch.name}: plan {made.plan.number} of {when}")
        self.stdout.write(branch.banner)
        skies = skies_of(made.world, made.assembled, assignments)
        waits = worth_waiting(made.world, made.assembled, assignments, skies)
        for block in (
            dollar_lines(made.result, skies),
            handover_lines(made.assembled, assignments),
            sky_lines(made.assembled, skies, waits, made.world.as_of),
        ):
            self.stdout.write("")
            for line in block:
                self.stdout.write(line)
        for line in warning_lines(made.assembled):
            self.stdout.write(line)

    def _print_day_plans(self, branch: Branch, as_of: datetime) -> None:
        on = next_working_day(branch, as_of)
        plans = [day_plan_of(branch=branch, crew=crew, on=on, now=as_of) for crew in list_crews(branch=branch)]
        for words in (*(day_plan_text(plan) for plan in plans if plan.stops), free_crews_text(plans)):
            if words:
                self.stdout.write("")
                self.stdout.write(words)


def next_working_day(branch: Branch, as_of: datetime) -> date:
    """The branch's first working day after today."""
    calendar = crews_of(branch, as_of.date()).branch_calendar
    return calendar.next_working_day(calendar.date_of(as_of))
