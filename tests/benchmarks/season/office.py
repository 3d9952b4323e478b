"""An office through a season, day by day: it pulls, weighs, plans again, takes what is proposed, and works.

Every step is the service's own: ``note_forecast`` (triggers and hysteresis), ``judge_branch`` (verdicts), ``drain``
(repair and policy), ``take``; only the clock is the benchmark's.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

from crews.domain.working_time import local_moment
from jobs.domain.errors import CannotDo
from jobs.models import Branch, FieldReport, Task
from jobs.services.field_reports import report
from jobs.snapshots import jobs_of
from planner.forecast.skies import pull_for_branch
from planner.plans.domain.world import Stay
from planner.plans.proposals import take
from planner.plans.replanning.drain import drain
from planner.plans.replanning.forecast import note_forecast
from planner.plans.selectors import plan_in_force
from planner.plans.services import stays_of
from planner.solver.parameters import Parameters
from planner.watch.services import judge_branch
from tests.benchmarks.season.calling import Calls, make_calls

DAY = timedelta(days=1)
NEAR = timedelta(days=3)
MOST_TRIES = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A start that moved, when it moved and why; ``near`` where it was within three days."""

    at: datetime
    task: int
    from_at: datetime
    to_at: datetime
    near: bool


@dataclass(slots=True)
class Season:
    """What an office did: work begun and starts warned of with their spans, moves, plans, and what it was refused."""

    begun: dict[int, tuple[datetime, datetime]] = field(default_factory=dict)
    moves: list[Move] = field(default_factory=list)
    warned: set[tuple[int, datetime, datetime]] = field(default_factory=set)
    asked: int = 0
    by_itself: int = 0
    by_office: int = 0
    refused: list[str] = field(default_factory=list)
    calls: Calls = field(default_factory=Calls)


class Office:
    """One branch whose plan is in force."""

    def __init__(self, branch: Branch, parameters: Parameters) -> None:
        self.branch = branch
        self.parameters = parameters
        self.season = Season()
        self.zone = ZoneInfo(branch.zone)

    def look(self, now: datetime) -> None:
        """What the service does when a forecast comes, and what the office does with its answer."""
        self._report_until(now)
        sites = {task.site.id: task.site for job in jobs_of(self.branch) for task in job.tasks if task.is_open}
        if not sites:
            return
        pull_for_branch(branch=self.branch, sites=tuple(sites.values()), now=now)
        self.season.asked += note_forecast(branch=self.branch, now=now)
        judged = judge_branch(branch=self.branch, now=now)
        if judged.report is not None:
            stays = self.stays()
            unsafe = [stays[one.task] for one in judged.report.starts if one.verdict == "move"]
            self.season.warned |= {(stay.task, stay.start_at, stay.end_at) for stay in unsafe}
        self._plan_again(now)
        self.call(now)

    def call(self, now: datetime) -> None:
        """Make the calls of the day."""
        make_calls(self.branch, now, self.season.calls)

    def _plan_again(self, now: datetime) -> None:
        before = self.stays()
        for _ in range(MOST_TRIES):
            done = drain(branch=self.branch, now=now, parameters=self.parameters)
            if done is None:
                break
            if done.outcome == "refused":
                self.season.refused.append(f"{now:%d %b}: {done.says}")
            self.season.by_itself += done.outcome == "in_force"
            if done.outcome == "waits":
                self._take(done.number, now)
        after = self.stays()
        for task, stay in after.items():
            was = before.get(task)
            if was is not None and was.start_at != stay.start_at and was.start_at > now:
                near = min(was.start_at, stay.start_at) < now + NEAR
                self.season.moves.append(Move(at=now, task=task, from_at=was.start_at, to_at=stay.start_at, near=near))

    def _take(self, number: int, now: datetime) -> None:
        self.branch.refresh_from_db()
        try:
            take(branch=self.branch, number=number, now=now)
        except CannotDo as overtaken:
            self.season.refused.append(f"{now:%d %b}: {overtaken}")
        else:
            self.season.by_office += 1

    def stays(self) -> dict[int, Stay]:
        """The plan in force by task."""
        plan = plan_in_force(branch=self.branch)
        return {} if plan is None else {stay.task: stay for stay in stays_of(plan)}

    def _report_until(self, now: datetime) -> None:
        """What the site did since the last look: every start and end of the plan that has passed, in its order."""
        for at, word, task_id, stay in sorted(self._passed(now), key=lambda one: one[:3]):
            task = Task.objects.get(pk=task_id)
            if word == "started":
                self.season.begun[task_id] = (stay.start_at, stay.end_at)
                self._say(task, FieldReport.Kind.STARTED, at, now)
            elif task.releases.exists():
                self._say(task, FieldReport.Kind.HOLD_PASSED, at, now, inspector="An inspector")
            else:
                self._say(task, FieldReport.Kind.FINISHED, at, now)

    def _passed(self, now: datetime) -> Iterator[tuple[datetime, str, int, Stay]]:
        stays = self.stays()
        for task in Task.objects.filter(branch=self.branch, finished_at__isnull=True, pk__in=stays):
            stay = stays[task.pk]
            if task.started_at is None and stay.start_at <= now:
                yield stay.start_at, "started", task.pk, stay
            if stay.end_at <= now:
                yield stay.end_at, "until", task.pk, stay

    def _say(self, task: Task, kind: str, at: datetime, now: datetime, **values: str) -> None:
        report(
            branch=self.branch, kind=kind, task=task, sent_id=uuid4(), said_by="The site", happened_at=at,
            received_at=now, values=values,
        )  # fmt: skip


def looks(zone: str, first: datetime, days: int, hours: list[int]) -> Iterator[datetime]:
    """The moments of a season at which the office looks: the same hours by the local clock every day."""
    on = first.astimezone(ZoneInfo(zone)).date()
    for offset in range(days):
        for hour in hours:
            at = local_moment(zone, on + offset * DAY, time(hour))
            if at > first:
                yield at
