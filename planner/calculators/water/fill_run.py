"""A fill from what was typed: the level at every hour, nights off, and the rest after a level that was read."""

import math
from dataclasses import dataclass

import numpy as np

from jobs.domain.basin import Basin
from jobs.domain.errors import CannotDo
from jobs.domain.fillstops import USUAL_LEAST_SHALLOW_M, FillStop, fill_stops_of, usual_fittings
from jobs.domain.units import gpm_from_m3_h
from jobs.science.water.filling import Fill, FillCurve, Flow, fill_curve, hour_of_level, inflow_by_hour_m3, retimed
from planner.calculators.answering.answer import feet_words
from planner.calculators.asking.flows import one_hose_m3_h
from planner.calculators.asking.inputs import Values
from planner.calculators.asking.shapes import shaped_basin_of, with_fittings

LONGEST_FILL_H = 2000
DAY_H = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What goes in and out: flow of all hoses [m3/h], hours a day they run, rain and evaporation [mm/h]."""

    basin: Basin
    flow_m3_h: float
    runs_h: float
    evaporation_mm_h: float
    rain_mm_h: float

    def fill(self, *, start_m: float, from_h: float = 0.0, share: float = 1.0) -> Fill:
        """The fill from an hour and a level on, with a share of the flow.

        Raises
        ------
        CannotDo
            ``calculator.fills_never``.
        """
        catch = self.basin.water_surface_m2
        flow = self.flow_m3_h * share
        # The slowest it can be is with the full surface open to the sun from the start.
        net = flow * self.runs_h / DAY_H + (self.rain_mm_h - self.evaporation_mm_h) * catch / 1000
        to_add = self.basin.water_volume_m3 - self.basin.volume_at_m3(start_m)
        night_h = DAY_H - self.runs_h
        hours = math.ceil(to_add / net + night_h) + 1 if net > 0 else LONGEST_FILL_H + 1
        if hours > LONGEST_FILL_H:
            raise CannotDo(
                "calculator.fills_never",
                field="flow",
                days=LONGEST_FILL_H // 24,
                lost=f"{gpm_from_m3_h(self.evaporation_mm_h * catch / 1000):.2g} gpm",
                flow=f"{gpm_from_m3_h(flow * self.runs_h / DAY_H):.2g} gpm",
            )
        nights = [
            (day * DAY_H + self.runs_h - from_h, (day + 1) * DAY_H - from_h)
            for day in range(int((from_h + hours) // DAY_H) + 1)
        ]
        return Fill(
            first_h=from_h,
            start_level_m=start_m,
            inflow_m3=inflow_by_hour_m3([Flow(m3_h=flow)], hours=hours, pauses=nights if night_h > 0 else ()),
            rain_mm=np.full(hours, self.rain_mm_h),
            evaporation_mm=np.full(hours, self.evaporation_mm_h),
            catch_m2=catch,
        )

    def running_h(self, hour: float) -> float:
        """Hours of running water until an hour of the fill [h]."""
        days, rest = divmod(hour, DAY_H)
        return days * self.runs_h + min(rest, self.runs_h)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A planned fill, and its curve from the start or from the level that was read.

    ``share`` is how much of the planned water came until the reading; None without one.
    """

    plan: Plan
    start_m: float
    from_h: float
    curve: FillCurve
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
        ``calculator.needs_too``, ``filling.reading_shows_no_flow``; what the pool or the flow is refused for.
    """
    basin = shaped_basin_of(values)
    runs_h = values.si("runs")
    if values.choice("finish") == "plaster" and runs_h < DAY_H:
        raise CannotDo("calculator.plaster_runs_through", field="runs", hours=f"{runs_h:g}")
    plan = Plan(
        basin=basin,
        flow_m3_h=values.si("hoses") * one_hose_m3_h(values),
        runs_h=runs_h,
        evaporation_mm_h=values.si("evaporation") / DAY_H,
        rain_mm_h=values.si("rain") / DAY_H,
    )
    start = _below_full(basin, "start", values.si("start"))
    fill = plan.fill(start_m=start)
    reading = _reading(values, basin)
    if reading is None:
        return Run(plan=plan, start_m=start, from_h=0.0, curve=fill_curve(basin, fill))
    read_h, level = reading
    planned = len(fill.inflow_m3)
    if read_h > planned:
        raise CannotDo("calculator.read_too_late", field="read_after", hours=f"{read_h:g}", planned=planned)
    _, share = retimed(basin, fill, reading_h=read_h, reading_level_m=level)
    rest = plan.fill(start_m=level, from_h=read_h, share=share)
    return Run(plan=plan, start_m=level, from_h=read_h, curve=fill_curve(basin, rest), share=share)


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
