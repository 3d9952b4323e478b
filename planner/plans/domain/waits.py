"""Links of a job as the solver reads them: constant lags, or steps where a lag depends on the day it begins."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol, runtime_checkable
from zoneinfo import ZoneInfo

import numpy as np

from crews.domain.facts import CrewsFacts
from crews.domain.working_time import WorkCalendar
from jobs.domain.errors import OutsideValidRange
from jobs.domain.facts import JobFacts, LinkFacts, TaskFacts
from jobs.domain.method import LinkRule
from jobs.domain.waiting import (
    ClockWait,
    FixedDryingWait,
    FixedLevelWait,
    FixedStrengthWait,
    PlainWait,
    Waiting,
    latest_after,
    waiting_for,
)
from jobs.science.concrete_temperature import Member
from jobs.science.ranges import Array
from jobs.words import sentence_for
from planner.plans.domain.ready.air import SiteAir, UsualAir, hour_of, hours_since_epoch
from planner.plans.domain.ready.by_day import DayAir, DayWait, day_bounds
from planner.plans.domain.ready.concrete import Poured, poured_in
from planner.plans.domain.ready.drying import DRY_FOR_H, DryingWait, GroundTable, SurfaceTable
from planner.plans.domain.ready.placed import Readings, placed_wait
from planner.plans.domain.ready.strength import PlacedTemps, StrengthTable, StrengthWait, asked
from planner.plans.domain.timeline import DAY, GRID_MINUTES, Timeline
from planner.plans.domain.world import World
from planner.solver.problem import Link, Wait

HOURS_A_STEP = 6
# Strength and drying change by the hour: a step ends at every hour of a working day that is near.
NEAR_DAYS = 14
FAR_HOURS = 4
# Ends of a pour are reckoned from as far back as the air is measured: what ended before is known by its report.
LOOK_BACK_H = 120
# Waits whose length does not depend on when they begin.
SAME_EVERY_DAY = (PlainWait, ClockWait, FixedStrengthWait, FixedDryingWait, FixedLevelWait)

# Ends [minute] of steps, each with the minute that counts for whatever ends in it.
Steps = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendars:
    """Whose days a link counts in: the authority's or supplier's for a notice, else the branch's."""

    crews: CrewsFacts

    def of(self, kind: str) -> WorkCalendar:
        for supplier in self.crews.suppliers:
            if supplier.kind == kind:
                return supplier.calendar
        return self.crews.branch_calendar

    def of_link(self, rule: LinkRule, after: TaskFacts) -> WorkCalendar:
        """The calendar of a link into ``after``."""
        return self.of(after.authority if rule.kind == "notice" else "")


@runtime_checkable
class ByTheHour(Waiting, Protocol):
    """A wait whose length changes from hour to hour."""

    def ready_hours(self, ended_h: Array) -> Array:
        """``ready_at`` of many starts of the wait at once, all as hours since the epoch [h]."""


class Waits:
    """The waits of one world; keeps what it has worked out, so use one for a whole plan or page."""

    def __init__(self, world: World) -> None:
        self._world = world
        self._calendars = Calendars(crews=world.crews)
        self._anchor = hour_of(world.as_of) - LOOK_BACK_H
        self._usual = UsualAir(world.climate, world.branch.zone)
        self._airs: dict[int, SiteAir] = {}
        self._days: dict[int, DayAir] = {}
        self._temps: dict[tuple[int, Member], PlacedTemps] = {}
        self._tables: dict[tuple[int, Poured, float, float], StrengthTable] = {}
        self._surfaces: dict[tuple[int, str, float], SurfaceTable] = {}
        self._grounds: dict[tuple[int, str, float, float], GroundTable] = {}
        self._steps: dict[Hashable, Steps] = {}

    def of(self, job: JobFacts, link: LinkFacts) -> Waiting:
        """The wait of a link of a job."""
        by_id = {task.id: task for task in job.tasks}
        before, after = by_id[link.before], by_id[link.after]
        calendar = self._calendars.of_link(link.rule, after)
        if link.rule.cold_below_c is not None:
            return DayWait(rule=link.rule, days=self._days_at(before.site.id))
        fixed = waiting_for(link.rule, calendar=calendar, zone=ZoneInfo(calendar.zone))
        if isinstance(fixed, FixedStrengthWait):
            return self._strength(job, link.rule, before, fixed)
        if isinstance(fixed, FixedDryingWait):
            return self._drying(job, link.rule, after, fixed)
        return fixed

    def latest(self, job: JobFacts, link: LinkFacts, end: datetime) -> datetime | None:
        """The latest start a link allows after ``end``, if it sets one."""
        waiting = self.of(job, link) if link.rule.cold_below_c is not None else None
        if isinstance(waiting, DayWait):
            return waiting.latest_at(end)
        after = next(task for task in job.tasks if task.id == link.after)
        return latest_of(link.rule, end, self._calendars.of_link(link.rule, after))

    def ready_steps(self, job: JobFacts, link: LinkFacts, line: Timeline) -> Steps | None:
        """From when the task after may start, by the end of the one before; ``None`` where the wait is constant."""
        waiting = self.of(job, link)
        if isinstance(waiting, SAME_EVERY_DAY):
            return None
        if isinstance(waiting, ByTheHour):
            return _ready_steps_by_the_hour(waiting, line)
        return self._kept((line, waiting), lambda: _ready_steps(waiting, line))

    def close_steps(self, job: JobFacts, link: LinkFacts, line: Timeline) -> Steps:
        """Until when the task after must have started, by the end of the one before."""
        after = next(task for task in job.tasks if task.id == link.after)
        calendar = self._calendars.of_link(link.rule, after)
        return self._kept((line, link.rule, calendar), lambda: _close_steps(link.rule, calendar, line))

    def _kept(self, of: Hashable, make: Callable[[], Steps]) -> Steps:
        """Most links of a branch wait alike: their steps are made once."""
        if of not in self._steps:
            self._steps[of] = make()
        return self._steps[of]

    def air_at(self, site_id: int) -> SiteAir:
        """The air over a site; 0 is that of no site, which knows only what is usual."""
        if site_id not in self._airs:
            self._airs[site_id] = SiteAir(sky=self._world.skies.get(site_id), usual=self._usual)
        return self._airs[site_id]

    def _days_at(self, site_id: int) -> DayAir:
        if site_id not in self._days:
            self._days[site_id] = DayAir(air=self.air_at(site_id), zone=self._world.branch.zone)
        return self._days[site_id]

    def poured_in(self, job: JobFacts, task: TaskFacts) -> Poured | None:
        """The concrete of a task; ``None`` for work that pours none."""
        return poured_in(task, job.pool, self._world.curing)

    def _strength(self, job: JobFacts, rule: LinkRule, before: TaskFacts, fixed: FixedStrengthWait) -> Waiting:
        try:
            poured = self.poured_in(job, before)
        except OutsideValidRange as outside:
            return _stands_in(rule, fixed, "waits.fixed_outside", says=outside.says)
        if poured is None:
            return _stands_in(rule, fixed, "waits.fixed_no_pour", before=before.title)
        if before.finished_at is not None:
            return placed_wait(
                rule,
                finished_at=before.finished_at,
                air=self.air_at(before.site.id),
                poured=poured,
                readings=self._readings(before),
            )
        return StrengthWait(rule=rule, table=self._table(before.site.id, poured, rule))

    def _drying(self, job: JobFacts, rule: LinkRule, after: TaskFacts, fixed: FixedDryingWait) -> Waiting:
        """Surfaces by the film that dries off them, ground by the rain it must lose; fixed where no sky is known."""
        site = after.site
        air = self.air_at(site.id)
        if air.known_until <= self._anchor:
            return fixed
        if rule.surface in DRY_FOR_H:
            surface = (site.id, rule.surface, fixed.fixed_hours)
            if surface not in self._surfaces:
                self._surfaces[surface] = SurfaceTable(
                    air=air,
                    anchor=self._anchor,
                    dry_for_h=DRY_FOR_H[rule.surface],
                    fixed_hours=fixed.fixed_hours,
                )
            return DryingWait(rule=rule, table=self._surfaces[surface])
        capped = job.pool is None or job.pool.stone_m > 0
        soil = "stone_capped" if capped else site.soil
        clay_wait_h = self._world.exposures[after.exposure].clay_wait_h_per_25mm
        ground = (site.id, soil, clay_wait_h, fixed.fixed_hours)
        if ground not in self._grounds:
            self._grounds[ground] = GroundTable(
                air=air,
                anchor=self._anchor,
                soil=soil,
                clay_wait_h_per_25_mm=clay_wait_h,
                least_hours=fixed.fixed_hours,
            )
        return DryingWait(rule=rule, table=self._grounds[ground])

    def _table(self, site_id: int, poured: Poured, rule: LinkRule) -> StrengthTable:
        assert rule.fraction is not None
        key = (site_id, poured, rule.fraction, rule.fixed_hours)
        if key not in self._tables:
            self._tables[key] = StrengthTable(
                temps=self._placed_temps(site_id, poured.member),
                poured=poured,
                fraction=rule.fraction,
                fixed_hours=rule.fixed_hours,
                usual=self._table(0, poured, rule) if site_id else None,
            )
        return self._tables[key]

    def _placed_temps(self, site_id: int, member: Member) -> PlacedTemps:
        key = (site_id, member)
        if key not in self._temps:
            self._temps[key] = PlacedTemps(air=self.air_at(site_id), member=member, anchor=self._anchor)
        return self._temps[key]

    def _readings(self, task: TaskFacts) -> Readings:
        def of_kind(kind: str, name: str) -> tuple[tuple[datetime, float], ...]:
            return tuple(
                (one.happened_at, float(one.values[name]))
                for one in self._world.reports
                if one.task == task.id and one.kind == kind and isinstance(one.values.get(name), int | float)
            )

        return Readings(probes=of_kind("temperature", "concrete_c"), strengths=of_kind("strength", "strength_mpa"))


def latest_of(rule: LinkRule, end: datetime, calendar: WorkCalendar) -> datetime | None:
    """The latest start a link rule allows after ``end``, if it sets one."""
    return latest_after(rule, end, calendar=calendar, zone=ZoneInfo(calendar.zone))


def _stands_in(rule: LinkRule, fixed: FixedStrengthWait, code: str, **facts: object) -> FixedStrengthWait:
    hours = max(fixed.fixed_hours, fixed.floor_hours)
    says, _ = sentence_for(code, {"hours": hours, **facts})
    return FixedStrengthWait(
        fraction=fixed.fraction,
        fixed_hours=fixed.fixed_hours,
        floor_hours=fixed.floor_hours,
        reason=f"{asked(rule)} {says}",
    )


def solver_link(waits: Waits, job: JobFacts, fact: LinkFacts, keys: tuple[str, str], line: Timeline) -> Link:
    """One link between two open tasks.

    A wait that is not constant is sampled at the ends of steps; its value there stands for the whole step, which is
    never too early because waits do not decrease.
    """
    rule = fact.rule
    before, after = keys
    waiting = waits.of(job, fact)
    if isinstance(waiting, DayWait):
        bounds = day_bounds(waiting, line)
        return Link(
            before=before,
            after=after,
            kind=rule.kind,
            min_minutes=bounds.min_minutes,
            ready=bounds.ready,
            max_minutes=bounds.max_minutes,
            close=bounds.close,
            why=rule.why,
        )
    steps = waits.ready_steps(job, fact, line)
    constant = line.minute_up(waiting.ready_at(line.midnight(line.first_on))) if steps is None else 0
    close = None
    max_minutes = None
    if rule.max_working_days is not None:
        close = Wait(steps=waits.close_steps(job, fact, line))
    elif rule.max_hours is not None:
        max_minutes = round(rule.max_hours * 60)
    return Link(
        before=before,
        after=after,
        kind=rule.kind,
        min_minutes=constant,
        ready=Wait(steps=steps) if steps is not None else None,
        max_minutes=max_minutes,
        close=close,
        why=rule.why,
    )


def _step_ends(line: Timeline) -> list[datetime]:
    """Ends of the steps of a wait that changes from day to day: every six hours, and the last minute of the day."""
    ends = []
    on = line.first_on
    while on < line.until_on:
        midnight = line.midnight(on)
        ends += [midnight + timedelta(hours=hour) for hour in range(HOURS_A_STEP, 24, HOURS_A_STEP)]
        on += DAY
        ends.append(line.midnight(on) - timedelta(minutes=1))
    return ends


def _fine_step_ends(line: Timeline) -> list[int]:
    """Ends [minute] of the steps of a wait that changes from hour to hour: hours of each day's planning window, every
    fourth where it is far, and the end of the night.
    """
    ends: list[int] = []
    for offset, day in enumerate(line.days):
        step = 60 if offset < NEAR_DAYS else FAR_HOURS * 60
        ends += [*range(day.opens, day.closes, step), day.closes]
    return [*ends, line.minute(line.midnight(line.until_on))]


def _ready_steps_by_the_hour(waiting: ByTheHour, line: Timeline) -> Steps:
    ends = _fine_step_ends(line)
    origin_h = hours_since_epoch(line.origin_at)
    minutes = 60 * (waiting.ready_hours(origin_h + np.array(ends) / 60) - origin_h)
    # A second's rounding is no quarter of an hour.
    quarters = np.ceil((minutes - 1 / 60) / GRID_MINUTES).astype(int) * GRID_MINUTES
    return _merged(list(zip(ends, quarters.tolist(), strict=True)))


def _ready_steps(waiting: Waiting, line: Timeline) -> Steps:
    return _merged([(line.minute(end), line.minute_up(waiting.ready_at(end))) for end in _step_ends(line)])


def _close_steps(rule: LinkRule, calendar: WorkCalendar, line: Timeline) -> Steps:
    steps = []
    for end in _step_ends(line):
        latest = latest_of(rule, end, calendar)
        steps.append((line.minute(end), line.minute_down(latest) if latest is not None else line.days[-1].closes))
    return _merged(steps)


def _merged(steps: list[tuple[int, int]]) -> Steps:
    kept: list[tuple[int, int]] = []
    for until, value in steps:
        if kept and kept[-1][1] == value:
            kept[-1] = (until, value)
        else:
            kept.append((until, value))
    return tuple(kept)
