"""What already happened, as the earliest and latest start of what follows."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from crews.domain.working_time import WorkCalendar
from jobs.domain.facts import JobFacts, LinkFacts, TaskFacts
from planner.plans.domain.timeline import Timeline
from planner.plans.domain.waits import Calendars, latest_of, waiting_of
from planner.plans.domain.world import World


@dataclass(frozen=True, slots=True, kw_only=True)
class Gates:
    """The gates of one job's open tasks that do not depend on other open tasks."""

    world: World
    job: JobFacts
    line: Timeline
    calendars: Calendars
    links: tuple[LinkFacts, ...]

    def earliest(self, task: TaskFacts) -> tuple[int, str]:
        """Earliest start [minute] with the gate that sets it, in words."""
        options: list[tuple[datetime, str]] = [(self.world.as_of, "now")]
        if self.job.earliest_on is not None:
            options.append((self.line.midnight(self.job.earliest_on), "agreed with the owner"))
        if task.earliest_at is not None:
            options.append((task.earliest_at, task.earliest_why or "set by the office"))
        options += [self._notice(task, kind) for kind in task.bookings if not self._booked(task, kind)]
        for link, before in self._finished_before(task):
            assert before.finished_at is not None
            waiting = waiting_of(link.rule, self._calendar(task, link))
            options.append((waiting.ready_at(before.finished_at), f"{before.title}: {waiting.reason}"))
        moment, why = max(options, key=lambda option: option[0])
        return self.line.minute_up(moment), why

    def latest(self, task: TaskFacts) -> tuple[int | None, str, list[str]]:
        """Latest start [minute] with its reason; a limit that has passed already is a warning, not a refusal."""
        found: list[tuple[datetime, str]] = []
        lapsed: list[str] = []
        for link, before in self._finished_before(task):
            assert before.finished_at is not None
            limit = latest_of(link.rule, before.finished_at, self._calendar(task, link))
            if limit is None:
                continue
            if limit <= self.world.as_of:
                lapsed.append(
                    f"{self.job.name}: {task.title} should have started by "
                    f"{limit.astimezone(ZoneInfo(self.line.zone)):%-d %B}, "
                    f"counted from {before.title}: look again before it starts ({link.rule.why or link.rule.kind})."
                )
            else:
                found.append((limit, f"{before.title}: {link.rule.why or link.rule.kind}"))
        if not found:
            return None, "", lapsed
        moment, why = min(found, key=lambda option: option[0])
        return self.line.minute_down(moment), why, lapsed

    def _finished_before(self, task: TaskFacts) -> list[tuple[LinkFacts, TaskFacts]]:
        by_id = {other.id: other for other in self.job.tasks}
        return [
            (link, by_id[link.before])
            for link in self.links
            if link.after == task.id and by_id[link.before].finished_at is not None
        ]

    def _calendar(self, task: TaskFacts, link: LinkFacts) -> WorkCalendar:
        return self.calendars.of(task.authority if link.rule.kind == "notice" else "")

    def _booked(self, task: TaskFacts, kind: str) -> bool:
        return any(booking.task == task.id and booking.kind == kind for booking in self.world.crews.bookings)

    def _notice(self, task: TaskFacts, kind: str) -> tuple[datetime, str]:
        for supplier in self.world.crews.suppliers:
            if supplier.kind == kind:
                calendar = supplier.calendar
                today = calendar.date_of(self.world.as_of)
                ready_on = calendar.add_working_days(today, supplier.notice_working_days)
                return self.line.midnight(
                    ready_on
                ), f"{supplier.name} needs {supplier.notice_working_days} working days"
        return self.world.as_of, "now"
