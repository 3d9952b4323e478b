"""``manage.py try_plan``: what if; nothing is stored."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from jobs.domain.errors import CannotDo
from planner import clock
from planner.management.plain import PlainCommand
from planner.plans.asking import trying
from planner.plans.asking.naming import day_named, days_named, job_named, named_with
from planner.plans.asking.outcome import outcome_lines
from planner.plans.asking.worlds import try_worlds
from planner.plans.domain.world import World
from planner.plans.new_jobs import new_jobs
from planner.plans.outcomes.lines import spread_lines
from planner.plans.outcomes.spread import WEATHERS
from planner.plans.selectors import plan_in_force
from planner.plans.services import world_of
from planner.plans.spreads import spread_standing
from planner.solver.parameters import Repeatable


class Command(PlainCommand):
    help = (
        "Plans the branch as it is and once more for each change named, in the same way, from the plan in force, and "
        "prints the plans side by side in dollars and days. Nothing is stored; the same question gets the same answer."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")
        self._change(parser, "--crew-away", "CREW:DATE..DATE", "a crew does not come on these days")
        self._change(parser, "--saturday", "DATE", "the branch and its own crews work that day")
        self._change(parser, "--extra-crew", "CREW", "one more crew like this one")
        self._change(parser, "--gear-lost", "KIND", "one piece less of this gear")
        self._change(parser, "--promise", "POOL:DATE", "another promised date")
        self._change(parser, "--rain", "DATE", "rain all day over every site")
        self._change(parser, "--inspection-failed", "POOL:TASK", "this visit fails when the plan has it")
        self._change(parser, "--new-job", "FILE", "the pools of this file are signed too, as open_pool takes them")
        parser.add_argument("--together", action="store_true", help="all changes in one plan, not side by side")
        parser.add_argument(
            "--spread",
            type=int,
            nargs="?",
            const=WEATHERS,
            metavar="WEATHERS",
            help="when the plan in force hands each pool over, in so many weathers (40)",
        )
        parser.add_argument("--effort", type=float, default=3.0, help="counted seconds of search for each plan")

    @staticmethod
    def _change(parser: ArgumentParser, name: str, form: str, words: str) -> None:
        parser.add_argument(name, action="append", default=[], metavar=form, help=f"{words}; may be repeated")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = self.branch_named(options["branch"])
        world = world_of(branch=branch, as_of=clock.now())
        plan = plan_in_force(branch=branch)
        if plan is None:
            raise CannotDo("asking.no_plan", field="plan")
        changes = (
            *self._changes(world, options),
            *(new_jobs(branch=branch, file=Path(name), as_of=world.as_of) for name in options["new_job"]),
        )
        if options["spread"] is not None:
            for line in spread_lines(spread_standing(world=world, plan=plan, weathers=options["spread"])):
                self.stdout.write(line)
            if not changes:
                return
            self.stdout.write("")
        if not changes:
            raise CannotDo("asking.nothing", field="change")
        if options["together"]:
            changes = (trying.all_together(changes),)
        parameters = Repeatable(deterministic_seconds=options["effort"])
        outcomes = try_worlds(world, changes, parameters, title=f"as it is, from plan {plan.number}")
        for line in outcome_lines(outcomes):
            self.stdout.write(line)
        free = [crew.name for crew in world.crews.crews if crew.own and not crew.saturday_hour_cents]
        if options["saturday"] and free:
            self.stdout.write(
                "\nExtra pay for days that are not worked otherwise is not in these dollars where a crew has no price "
                f"for them: {', '.join(free)}."
            )

    @staticmethod
    def _changes(world: World, options: dict[str, Any]) -> tuple[trying.Change, ...]:
        away = (named_with(text, "CREW:DATE..DATE") for text in options["crew_away"])
        promised = (named_with(text, "POOL:DATE") for text in options["promise"])
        return (
            *(trying.crew_away(crew, days_named(days)) for crew, days in away),
            *(trying.saturday(day_named(text)) for text in options["saturday"]),
            *(trying.extra_crew(key) for key in options["extra_crew"]),
            *(trying.gear_lost(kind) for kind in options["gear_lost"]),
            *(trying.promise(job_named(world, pool), day_named(day)) for pool, day in promised),
            *(trying.rain(day_named(text)) for text in options["rain"]),
            *(trying.failed_visit_named(world, name) for name in options["inspection_failed"]),
        )
