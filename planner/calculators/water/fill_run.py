"""A fill from what was typed: the level at every hour, nights off, and the rest after a level that was read."""

import math
from dataclasses import dataclass

import numpy as np

from jobs.domain.basin import Basin
from jobs.domain.errors import CannotDo
from jobs.domain.fillstops import USUAL_LEAST_SHALLOW_M, FillStop, fill_stops_of, usual_fittings
from jobs.domain.units import gpm_from_m3_h
from jobs.science.water.filling import Fill, FillCurve, fill_curve, hour_of_level, retimed
from jobs.science.water.inflow import DAY_H, DayOfWater, WaterSource, day_of, inflow_m3, marks_of
from planner.calculators.answering.answer import feet_words
from planner.calculators.asking.inputs import Values
from planner.calculators.asking.shapes import shaped_basin_of, with_fittings
from planner.calculators.water.fill_sources import sources_of

LONGEST_FILL_H = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What goes in and out: the sources, the hour of the day the fill begins [h], rain and evaporation [mm/h]."""

    basin: Basin
    sources: tuple[WaterSource, ...]
    clock_h: float
    evaporation_mm_h: float
    rain_mm_h: float

    @property
    def day(self) -> DayOfWater:
        """The water of a day, all sources together."""
        return day_of(self.sources)

    def fill(self, *, start_m: float, from_h: float = 0.0, share: float = 1.0) -> Fill:
        """The fill from an hour and a level on, with a share of the flow.

        Raises
        ------
        CannotDo
            ``calculator.fills_never``.
        """
        catch = self.basin.water_surface_m2
        flow = self.day.mean_m3_h * share
        # The slowest it can be is with the full surface open to the sun from the start.
        net = flow + (self.rain_mm_h - self.evaporation_mm_h) * catch / 1000
        to_add = self.basin.water_volume_m3 - self.basin.volume_at_m3(start_m)
        hours = math.ceil(to_add / net + flow / net * self.day.longest_dry_h) + 1 if net > 0 else LONGEST_FILL_H + 1
        if hours > LONGEST_FILL_H:
            raise CannotDo(
                "calculator.fills_never",
                field="flow",
                days=LONGEST_FILL_H // 24,
                lost=f"{gpm_from_m3_h(self.evaporation_mm_h * catch / 1000):.2g} gpm",
                flow=f"{gpm_from_m3_h(flow):.2g} gpm",
            )
        clock_h = (self.clock_h + from_h) % DAY_H
        marks = marks_of(self.sources, hours=hours, clock_h=clock_h)
        return Fill(
            marks_h=from_h + marks,
            start_level_m=start_m,
            inflow_m3=share * inflow_m3(self.sources, marks_h=marks, clock_h=clock_h),
            rain_mm=self.rain_mm_h * np.diff(marks),
            evaporation_mm=self.evaporation_mm_h * np.diff(marks),
            catch_m2=catch,
        )

    def running_h(self, hour: float) -> float:
        """Hours of running water until an hour of the fill [h]."""
        return self.day.running_h(self.clock_h, self.clock_h + hour)

    def brought_m3(self, sources: tuple[WaterSource, ...], hour: float) -> float:
        """Water that some of the sources bring until an hour of the fill [m3]."""
        ends = np.array([self.clock_h, self.clock_h + hour])
        return float(np.diff(day_of(sources).m3_until(ends))[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A planned fill, and its curve from the start or from the level that was read.

    ``has_clock`` is whether its sources go by the clock; ``share`` is how much of the planned water came until the
    reading; None without one.
    """

    plan: Plan
    start_m: float
    from_h: float
    curve: FillCurve
    has_clock: bool
    share: float | None = None

    @property
    def basin(self) -> Basin:
        return self.plan.basin

    @property
    def full_h(self) -> float:
        """Hour at which the pool is full [h]."""
        return self.hour(self.basin.design_level_m)

    def hour(self, level_m: float) -> float:
        """Hour at which the water reaches a level [h]."""
        return hour_of_level(self.basin, self.curve, level_m)


def run_of(values: Values) -> Run:
    """The fill that was asked for.

    Raises
    ------
    CannotDo
        ``calculator.already_full``, ``calculator.fills_never``, ``calculator.plaster_runs_through``,
        ``calculator.needs_too``, ``calculator.no_source``,
        ``filling.reading_shows_no_flow``; what the pool or the flow is refused for.
    """
    basin = shaped_basin_of(values)
    sources, clock_h = sources_of(values)
    off_h = DAY_H - day_of(sources).running_h(0.0, DAY_H)
    if values.choice("finish") == "plaster" and off_h > 0:
        field = "runs" if values.choice("water") == "alike" else "sources"
        raise CannotDo("calculator.plaster_runs_through", field=field, hours=f"{DAY_H - off_h:g}")
    plan = Plan(
        basin=basin,
        sources=sources,
        clock_h=clock_h,
        evaporation_mm_h=values.si("evaporation") / DAY_H,
        rain_mm_h=values.si("rain") / DAY_H,
    )
    has_clock = values.choice("water") == "several"
    start = _below_full(basin, "start", values.si("start"))
    fill = plan.fill(start_m=start)
    reading = _reading(values, basin)
    if reading is None:
        return Run(plan=plan, start_m=start, from_h=0.0, curve=fill_curve(basin, fill), has_clock=has_clock)
    read_h, level = reading
    planned = round(float(fill.marks_h[-1]))
    if read_h > planned:
        raise CannotDo("calculator.read_too_late", field="read_after", hours=f"{read_h:g}", planned=planned)
    _, share = retimed(basin, fill, reading_h=read_h, reading_level_m=level)
    rest = plan.fill(start_m=level, from_h=read_h, share=share)
    curve = fill_curve(basin, rest)
    return Run(plan=plan, start_m=level, from_h=read_h, curve=curve, has_clock=has_clock, share=share)


def stops_of(run: Run) -> tuple[FillStop, ...]:
    """Where the water stops on the way to full, above where it stands."""
    shallow = run.basin.design_level_m - run.basin.wall_foot_level_m
    # Under this depth the usual heights do not fit: the drawing says where the fittings are.
    fits = shallow >= USUAL_LEAST_SHALLOW_M
    fitted = with_fittings(run.basin, usual_fittings(run.basin)) if fits else run.basin
    return tuple(stop for stop in fill_stops_of(fitted) if stop.level_m > run.start_m)


def _below_full(basin: Basin, field: str, level_m: float) -> float:
    if level_m >= basin.design_level_m:
        raise CannotDo(
            "calculator.already_full",
            field=field,
            level=feet_words(level_m),
            full=feet_words(basin.design_level_m),
        )
    return level_m


def _reading(values: Values, basin: Basin) -> tuple[float, float] | None:
    after, level = values.maybe("read_after"), values.maybe("read_level")
    if after is None and level is None:
        return None
    why = "a reading is an hour and a level"
    if after is None:
        raise CannotDo(
            "calculator.needs_too", field="read_after", label="Hours until it was read", why=why, sample="6 h"
        )
    if level is None:
        raise CannotDo("calculator.needs_too", field="read_level", label="Level that was read", why=why, sample="3 ft")
    return after, _below_full(basin, "read_level", level)
