"""What already happened, as the earliest and latest start of what follows."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from crews.domain.slots import opens_on
from jobs.domain.facts import JobFacts, LinkFacts, TaskFacts
from planner.plans.domain.timeline import DAY, Timeline
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import World

# Kinds of booking that bring goods; the others are somebody's time.
DELIVERIES = ("_delivery", "_order")


@dataclass(frozen=True, slots=True, kw_only=True)
class Gates:
    """The gates of one job's open tasks that do not depend on other open tasks."""

    world: World
    job: JobFacts
    line: Timeline
    waits: Waits
    links: tuple[LinkFacts, ...]

    def earliest(self, task: TaskFacts) -> tuple[int, str]:
        """Earliest start [minute] with the gate that sets it, in words."""
        options: list[tuple[datetime, str]] = [(self.world.as_of, "now")]
        if self.job.earliest_on is not None:
            options.append((self.line.midnight(self.job.earliest_on), "agreed with the owner"))
        if task.earliest_at is not None:
            options.append((task.earliest_at, task.earliest_why or "set by the office"))
        options += [self._booking(task, kind) for kind in task.bookings]
        for link, before in self._finished_before(task):
            assert before.finished_at is not None
            waiting = self.waits.of(self.job, link)
            why = waiting.because(before.finished_at)
            options.append((waiting.ready_at(before.finished_at), f"{before.title}: {why}"))
        moment, why = max(options, key=lambda option: option[0])
        return self.line.minute_up(moment), why

    def latest(self, task: TaskFacts) -> tuple[int | None, str, list[str]]:
        """Latest start [minute] with its reason; a limit that has passed already is a warning, not a refusal."""
        found: list[tuple[datetime, str]] = []
        lapsed: list[str] = []
        for link, before in self._finished_before(task):
            assert before.finished_at is not None
            limit = self.waits.latest(self.job, link, before.finished_at)
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
        for booking in self.world.crews.bookings:
            if booking.task == task.id and booking.expires_on is not None:
                limit = self.line.midnight(booking.expires_on + DAY)
                if limit > self.world.as_of:
                    found.append((limit, f"{booking.kind.replace('_', ' ')} runs out on {booking.expires_on:%-d %B}"))
                else:
                    lapsed.append(
                        f"{self.job.name}: the {booking.kind.replace('_', ' ')} for {task.title} ran out on "
                        f"{booking.expires_on:%-d %B}: renew it before work goes on."
                    )
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

    def _booking(self, task: TaskFacts, kind: str) -> tuple[datetime, str]:
        """From when a booking lets the task start, with the reason; see ``crews.domain.slots``."""
        by_kind = {one.kind: one for one in self.world.crews.suppliers}
        supplier = by_kind.get(kind) or (by_kind.get(task.authority) if task.kind == "visit" else None)
        if supplier is None:
            return self.world.as_of, "now"
        booking = next((one for one in self.world.crews.bookings if one.task == task.id and one.kind == kind), None)
        opening = opens_on(
            supplier,
            booking,
            today=supplier.calendar.date_of(self.world.as_of),
            fixed=task.kind == "visit",
            goods=kind.endswith(DELIVERIES),
        )
        days = supplier.notice_working_days
        needs = f"needs {days} working {'day' if days == 1 else 'days'}"
        words = {
            "here": "now",
            "notice": f"{supplier.name} {needs}",
            "again": f"{supplier.name} again {needs}",
            "comes": f"{supplier.name} comes on {opening.on:%-d %B}",
            "delivers": f"{supplier.name} delivers on {opening.on:%-d %B}",
            "slot": f"{supplier.name} is booked for {opening.on:%-d %B}",
            "forward": f"{supplier.name} {needs} to come sooner than booked",
        }
        return self.line.midnight(opening.on), words[opening.why]
