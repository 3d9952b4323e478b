"""``manage.py check_plan``: judge the plan in force again, from its rows."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError

from planner.management.plain import PlainCommand
from planner.plans.services import check_plan_in_force


class Command(PlainCommand):
    help = "Judges every assignment of the plan in force against every rule, as rows stand now. Fails if one is broken."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        plan, breaches = check_plan_in_force(branch=self.branch_named(options["branch"]))
        for breach in breaches:
            self.stdout.write(f"{breach.rule}: {breach.says}")
        if breaches:
            count = len(breaches)
            raise CommandError(f"Plan {plan.number} breaks {count} rule{'s' if count > 1 else ''}: make a new plan.")
        self.stdout.write(f"Plan {plan.number}: {plan.assignments.count()} assignments, every rule holds.")
