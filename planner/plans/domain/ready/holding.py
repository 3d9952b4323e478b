"""What strength holds the starts of a plan for, told beside them: how many hours, at which temperature, until when."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.waits import Waits

# A strength that was there longer ago holds nobody any more.
NEAR = timedelta(days=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """The strength links of a plan; ``ends`` are the planned ends of its tasks (ids)."""

    waits: Waits
    ends: Mapping[int, datetime]
    zone: ZoneInfo

    def lines(self, job: JobFacts, task: TaskFacts, start_at: datetime) -> Iterator[str]:
        """The strength that came last before a start, in a sentence; nothing where none is near."""
        by_id = {one.id: one for one in job.tasks}
        found = []
        for link in job.links:
            if link.after != task.id or link.rule.kind != "strength" or link.before not in self.ends:
                continue
            waiting, ended_at = self.waits.of(job, link), self.ends[link.before]
            found.append((waiting.ready_at(ended_at), by_id[link.before].title, waiting.because(ended_at)))
        if not found:
            return
        ready_at, before, why = max(found)
        if start_at - ready_at <= NEAR:
            when = ready_at.astimezone(self.zone)
            yield f"strength after “{before}”: {why} That is {when:%a} {when.day} {when:%B} {when:%H:%M}."
