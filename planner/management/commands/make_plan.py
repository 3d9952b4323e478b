"""``manage.py make_plan``: a new plan from today's inputs."""

from argparse import ArgumentParser
from typing import Any

from planner import clock
from planner.management.plain import PlainCommand, clear_progress, progress_on_terminal
from planner.plans.domain.outlook import skies_of
from planner.plans.domain.story import dollar_lines, start_lines, warning_lines
from planner.plans.services import make_plan, put_in_force
from planner.solver.parameters import Patient, Repeatable


class Command(PlainCommand):
    help = (
        "Plans every open pool of a branch from today's jobs, crews, bookings and forecast, checks the plan and keeps "
        "it as a proposal. The same inputs give the same plan; with --patience it searches longer, and differs."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")
        parser.add_argument("--in-force", action="store_true", help="make it the plan everybody works to")
        parser.add_argument("--patience", type=float, metavar="SECONDS", help="search for that long, for a better plan")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = self.branch_named(options["branch"])
        patience = options["patience"]
        parameters = Patient(seconds=patience) if patience else Repeatable()
        made = make_plan(branch=branch, as_of=clock.now(), parameters=parameters, on_progress=progress_on_terminal())
        clear_progress()
        for line in (
            *start_lines(made.assembled, made.result.assignments),
            "",
            *dollar_lines(made.result, skies_of(made.world, made.assembled, made.result.assignments)),
        ):
            self.stdout.write(line)
        for line in warning_lines(made.assembled):
            self.stdout.write(line)
        if options["in_force"]:
            put_in_force(branch=branch, plan=made.plan, now=clock.now())
            self.stdout.write(f"Plan {made.plan.number} is in force.")
        else:
            self.stdout.write(f"Plan {made.plan.number} is a proposal; put it in force on the page Changes.")
