"""``manage.py make_plan``: a new plan from today's inputs."""

from argparse import ArgumentParser
from typing import Any

from planner import clock
from planner.management.plain import PlainCommand, clear_progress, progress_on_terminal
from planner.plans.asking.explained import explain, stays_from
from planner.plans.asking.figures import figure_lines
from planner.plans.asking.naming import task_named
from planner.plans.domain.changes import compare
from planner.plans.domain.outlook import skies_of
from planner.plans.domain.story import dollar_lines, start_lines, warning_lines
from planner.plans.domain.triggers.booking_moves import booking_moves
from planner.plans.domain.triggers.lines import change_lines
from planner.plans.domain.waits import Waits
from planner.plans.outcomes.lines import spread_lines
from planner.plans.outcomes.spread import WEATHERS, refuse_count, spread_of
from planner.plans.services import MadePlan, document_stays, make_plan, put_in_force, world_of
from planner.plans.spreads import keep_spread
from planner.solver.parameters import Patient, Repeatable
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.told_why import why_lines


class Command(PlainCommand):
    help = (
        "Plans every open pool of a branch from today's jobs, crews, bookings and forecast, checks the plan and keeps "
        "it as a proposal. The same inputs give the same plan; with --patience it searches longer, and differs."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")
        parser.add_argument("--in-force", action="store_true", help="make it the plan everybody works to")
        parser.add_argument("--patience", type=float, metavar="SECONDS", help="search for that long, for a better plan")
        parser.add_argument(
            "--spread",
            type=int,
            nargs="?",
            const=WEATHERS,
            metavar="WEATHERS",
            help="say when each pool is handed over in so many weathers (40), and for what",
        )
        parser.add_argument(
            "--explain",
            action="append",
            default=[],
            metavar="POOL:TASK",
            help="say why this task starts when it does, and what a day earlier or later would cost; may be repeated",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        branch = self.branch_named(options["branch"])
        patience = options["patience"]
        parameters = Patient(seconds=patience) if patience else Repeatable()
        # What cannot be answered is refused before minutes are spent.
        if options["spread"] is not None:
            refuse_count(options["spread"])
        if options["explain"]:
            world = world_of(branch=branch, as_of=clock.now())
            for name in options["explain"]:
                task_named(world, name)
        made = make_plan(branch=branch, as_of=clock.now(), parameters=parameters, on_progress=progress_on_terminal())
        clear_progress()
        for line in (
            *start_lines(made.assembled, made.result.assignments, waits=Waits(made.world)),
            "",
            *dollar_lines(made.result, skies_of(made.world, made.assembled, made.result.assignments)),
        ):
            self.stdout.write(line)
        for line in warning_lines(made.assembled):
            self.stdout.write(line)
        for line in _changes(made):
            self.stdout.write(line)
        if options["explain"]:
            self._explain(made, options["explain"])
        if options["spread"] is not None:
            self.stdout.write("")
            found = spread_of(made.world, made.assembled, made.result.assignments, weathers=options["spread"])
            keep_spread(plan=made.plan, found=found, as_of=made.world.as_of)
            for line in spread_lines(found):
                self.stdout.write(line)
        if options["in_force"]:
            put_in_force(branch=branch, plan=made.plan, now=clock.now())
            self.stdout.write(f"Plan {made.plan.number} is in force.")
        else:
            self.stdout.write(f"Plan {made.plan.number} is a proposal; put it in force on the page Changes.")

    def _explain(self, made: MadePlan, names: list[str]) -> None:
        """The figures of the plan, then each task named."""
        assignments = made.result.assignments
        self.stdout.write("")
        for line in figure_lines(made.assembled, assignments):
            self.stdout.write(line)
        reader = Reader(made.world, stays_from(made.assembled, assignments))
        for name in names:
            _, task = task_named(made.world, name)
            self.stdout.write("")
            for line in why_lines(reader, explain(made.world, made.assembled, assignments, task)):
                self.stdout.write(line)


def _changes(made: MadePlan) -> list[str]:
    """What moves from the plan in force; nothing before the first."""
    if not made.world.told:
        return []
    changes = compare(made.assembled, made.world.told, made.result.assignments)
    after = {stay.task: stay for stay in document_stays(made.plan)}
    return ["", *change_lines(made.world, changes, booking_moves(made.world, changes.changes, after))]
