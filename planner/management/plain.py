"""Commands that speak plainly: one sentence and a non-zero exit on failure, progress only on a terminal."""

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import OperationalError, ProgrammingError

from jobs.domain.errors import CannotDo, DryWindowError
from jobs.models import Branch
from jobs.selectors import list_branches
from jobs.words import sentence_for
from planner.serving.selectors import is_behind
from planner.solver.solve import OnProgress, Progress


class PlainCommand(BaseCommand):
    """Base of our commands: known failures become a sentence, anything else stays a traceback."""

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        # Read and taken away by manage.py before any command runs; here only so that it is explained.
        parser.add_argument("--data-dir", help="folder for everything it keeps (default: data, or PLANNER_DATA_DIR)")
        return parser

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            return super().execute(*args, **options)
        except DryWindowError as failure:
            raise CommandError(str(failure)) from failure
        except (OperationalError, ProgrammingError) as failure:
            if is_behind(failure):
                raise CommandError(" ".join(sentence_for("serve.database_behind", {}))) from failure
            raise

    def branch_named(self, slug: str) -> Branch:
        """The branch asked for, or the only one there is.

        Raises
        ------
        CannotDo
            ``branch.none``, ``branch.unknown`` or ``branch.which``.
        """
        branches = list(list_branches())
        if not branches:
            raise CannotDo("branch.none", field="branch")
        if slug:
            for branch in branches:
                if branch.slug == slug:
                    return branch
            raise CannotDo("branch.unknown", field="branch", slug=slug, known=", ".join(b.slug for b in branches))
        if len(branches) > 1:
            raise CannotDo("branch.which", field="branch", known=", ".join(b.slug for b in branches))
        return branches[0]


def progress_on_terminal() -> OnProgress | None:
    """A progress line on standard error that overwrites itself; nothing where nobody watches."""
    if not sys.stderr.isatty():
        return None

    def show(progress: Progress) -> None:
        bound = f", none can be below ${progress.bound:,}" if progress.bound is not None else ""
        sys.stderr.write(f"\r\033[KPlanning: ${progress.dollars:,} so far{bound}")
        sys.stderr.flush()

    return show


def clear_progress() -> None:
    """Wipe the progress line."""
    if sys.stderr.isatty():
        sys.stderr.write("\r\033[K")
        sys.stderr.flush()
