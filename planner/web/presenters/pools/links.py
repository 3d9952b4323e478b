"""Where a page's links lead; the view fills them in, so that presenters know no routes."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Links:
    """Addresses by what they show. ``page`` takes the name of a page; empty where there is none of that name.

    ``say`` takes a task and the key of one of its forms on the page Report.
    """

    pool: Callable[[int], str]
    crew_day: Callable[[str, date], str]
    page: Callable[[str], str]
    say: Callable[[int, str], str]

    def task(self, job: int, key: str) -> str:
        """A task's place on the page of its pool; empty for work outside any pool."""
        return f"{self.pool(job)}#task-{key}" if job else ""

    def hold(self, job: int, key: str) -> str:
        """A hold's place on the page of its pool."""
        return f"{self.pool(job)}#hold-{key}"
