"""How long a pool takes to fill, and when each fitting is reached."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from jobs.domain.basin import RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.fillstops import DESIGN_STOP, USUAL_LEAST_SHALLOW_M, FillStop, fill_stops_of, usual_fittings
from jobs.domain.units import ft_from_m, gallons_from_m3, gpm_from_m3_h
from jobs.science.sources import COMMON_PRACTICE
from jobs.science.water.filling import (
    Fill,
    FillCurve,
    Flow,
    fill_curve,
    hour_of_level,
    inflow_by_hour_m3,
)
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, feet_words, hours_words, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, PoolSection, SectionFitting, Series
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.flows import FLOW_INPUTS, one_hose_m3_h
from planner.calculators.asking.inputs import Ask, Choose, Input, Values
from planner.calculators.asking.pools import DEEPEST_M, POOL_INPUTS, basin_of
from planner.calculators.asking.units import COUNT, LENGTH, RAIN_A_DAY
from planner.calculators.calculator import Calculator, Derived

GROUP_REST = "The fill"
LONGEST_FILL_H = 2000
POINTS_OF_CURVE = 60

REST_INPUTS: tuple[Input, ...] = (
    Ask(
        name="hoses",
        label="Hoses running",
        kind=COUNT,
        low=1,
        high=10,
        source=COMMON_PRACTICE,
        default="1",
        help="Each with its own tap and the flow above: two on one tap share it.",
        group=GROUP_REST,
        whole=True,
    ),
    Ask(
        name="start",
        label="Water level at the start",
        kind=LENGTH,
        low=0.0,
        high=DEEPEST_M,
        source=COMMON_PRACTICE,
        default="0",
        help="Above the deepest point of the floor.",
        group=GROUP_REST,
    ),
    Ask(
        name="evaporation",
        label="Lost to sun and wind",
        kind=RAIN_A_DAY,
        low=0.0,
        high=25.4,
        source=COMMON_PRACTICE,
        default="0.25 in/day",
        group=GROUP_REST,
        formula_names=("evaporation_mm",),
    ),
    Ask(
        name="rain",
        label="Rain on the water",
        kind=RAIN_A_DAY,
        low=0.0,
        high=254.0,
        source=COMMON_PRACTICE,
        default="0",
        group=GROUP_REST,
        formula_names=("rain_mm",),
    ),
    Choose(
        name="finish",
        label="Inner face",
        options=(("liner", "Liner: stops at each fitting"), ("plaster", "Plaster: never stops")),
        default="liner",
        group=GROUP_REST,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    basin: RectangularBasin
    flow_m3_h: float
    start_m: float
    evaporation_mm_h: float
    rain_mm_h: float
    fill: Fill
    curve: FillCurve

    @property
    def full_h(self) -> float:
        return self.hour(self.basin.design_level_m)

    def hour(self, level_m: float) -> float:
        return hour_of_level(self.basin, self.curve, level_m)


def compute(values: Values) -> Answer:
    """Hours to fill, the hour of each stop, and the level against time."""
    run = _run(values)
    plaster = values.choice("finish") == "plaster"
    stops = tuple(stop for stop in _stops(run.basin) if stop.level_m > run.start_m)
    to_add = run.basin.water_volume_m3 - run.basin.volume_at_m3(run.start_m)
    return Answer(
        says=f"The pool is full after {hours_words(run.full_h)} of water at"
        f" {amount(gpm_from_m3_h(run.flow_m3_h), 1)} gpm.",
        lines=(
            Line(label="Full after", value=hours_words(run.full_h), also=f"{amount(run.full_h, 1)} h of running water"),
            line("Water to add", gallons_from_m3(to_add), "gal", also=f"{amount(to_add, 1)} m³"),
            line("Flow, all hoses", gpm_from_m3_h(run.flow_m3_h), "gpm", 1, also=f"{amount(run.flow_m3_h, 2)} m³/h"),
            line("Lost to sun and wind on the way", gallons_from_m3(_lost_m3(run)), "gal"),
            *_stop_lines(run, stops, plaster=plaster),
        ),
        formula=_formula(values),
        sources=_sources(values),
        cautions=(
            *_cautions(plaster=plaster),
            "The fence or other barrier must stand, and the bonding be recorded, before there is water in the pool.",
            DEFERS,
        ),
        pictures=(_section(run, stops), _curve(run, stops)),
    )


def _run(values: Values) -> _Run:
    basin = basin_of(values)
    start = values.si("start")
    if start >= basin.design_level_m:
        raise CannotDo(
            "calculator.already_full",
            field="start",
            level=feet_words(start),
            full=feet_words(basin.design_level_m),
        )
    flow = values.si("hoses") * one_hose_m3_h(values)
    evaporation, rain = values.si("evaporation") / 24, values.si("rain") / 24
    catch = basin.water_surface_m2
    # The slowest it can be is with the full surface open to the sun from the start.
    net = flow + (rain - evaporation) * catch / 1000
    to_add = basin.water_volume_m3 - basin.volume_at_m3(start)
    hours = math.ceil(to_add / net) + 1 if net > 0 else LONGEST_FILL_H + 1
    if hours > LONGEST_FILL_H:
        raise CannotDo(
            "calculator.fills_never",
            field="flow",
            days=LONGEST_FILL_H // 24,
            lost=f"{gpm_from_m3_h(evaporation * catch / 1000):.2g} gpm",
            flow=f"{gpm_from_m3_h(flow):.2g} gpm",
        )
    fill = Fill(
        start_level_m=start,
        inflow_m3=inflow_by_hour_m3([Flow(m3_h=flow)], hours=hours),
        rain_mm=np.full(hours, rain),
        evaporation_mm=np.full(hours, evaporation),
        catch_m2=catch,
    )
    return _Run(
        basin=basin,
        flow_m3_h=flow,
        start_m=start,
        evaporation_mm_h=evaporation,
        rain_mm_h=rain,
        fill=fill,
        curve=fill_curve(basin, fill),
    )


def _stops(basin: RectangularBasin) -> tuple[FillStop, ...]:
    shallow = basin.design_level_m - basin.wall_foot_level_m
    # Under this depth the usual heights do not fit: the drawing says where the fittings are.
    fitted = replace(basin, fittings=usual_fittings(basin)) if shallow >= USUAL_LEAST_SHALLOW_M else basin
    return fill_stops_of(fitted)


def _lost_m3(run: _Run) -> float:
    added = run.flow_m3_h * run.full_h + run.rain_mm_h * run.full_h * run.fill.catch_m2 / 1000
    return added - (run.basin.water_volume_m3 - run.basin.volume_at_m3(run.start_m))


def _stop_name(stop: FillStop) -> str:
    kinds = dict.fromkeys(fitting.kind.replace("_", " ") for fitting in stop.fittings)
    return ", ".join(kinds)


def _stop_lines(run: _Run, stops: tuple[FillStop, ...], *, plaster: bool) -> Iterator[Line]:
    for stop in stops:
        if stop.name == DESIGN_STOP:
            continue
        at = feet_words(stop.level_m)
        if plaster:
            yield Line(
                label=f"Water near the {_stop_name(stop)}", value=hours_words(run.hour(stop.level_m)), also=f"at {at}"
            )
            continue
        first = run.hour(max(stop.cut_from_m, run.start_m))
        last = run.hour(stop.cut_until_m)
        yield Line(
            label=f"Cut in: {_stop_name(stop)}",
            value=hours_words(run.hour(stop.level_m)),
            also=f"water at {at}; between {hours_words(first)} and {hours_words(last)}",
        )


def _section(run: _Run, stops: tuple[FillStop, ...]) -> PoolSection:
    return PoolSection(
        title="The pool from the side",
        basin=run.basin,
        level_m=run.basin.design_level_m,
        fittings=tuple(
            SectionFitting(kind=fitting.kind, level_m=fitting.flange_m, note=hours_words(run.hour(stop.level_m)))
            for stop in stops
            for fitting in stop.fittings
        ),
    )


def _curve(run: _Run, stops: tuple[FillStop, ...]) -> Curve:
    full = run.full_h
    hours = np.linspace(0.0, full, POINTS_OF_CURVE + 1)
    levels = np.interp(hours, run.curve.hours, run.curve.levels_m)
    marks = tuple(
        Mark(
            at=(run.hour(stop.level_m), ft_from_m(stop.level_m)),
            label="full" if stop.name == DESIGN_STOP else _stop_name(stop),
            says=f"{hours_words(run.hour(stop.level_m))}, at {feet_words(stop.level_m)}",
        )
        for stop in stops
    )
    top = ft_from_m(run.basin.design_level_m)
    return Curve(
        title="Level against time",
        x=Axis(label="Hours of running water", unit="h", low=0.0, high=full * 1.02),
        y=Axis(label="Water above the deepest floor", unit="ft", low=0.0, high=top * 1.12),
        series=(
            Series(
                label="Water level",
                points=tuple((float(hour), ft_from_m(float(level))) for hour, level in zip(hours, levels, strict=True)),
            ),
        ),
        marks=marks,
        table=tuple(full * share / 4 for share in range(5)),
    )


def _formula(values: Values) -> tuple[str, ...]:
    hose = (
        "Hose: 4.52 L Q^1.852 / (140^1.852 d^4.8704) + velocity head = pressure; psi, ft, gpm, in. The loss of the tap"
        " is left out, so a real hose runs slower.",
    )
    return (
        "Each hour: water + flow + rain on the surface − evaporation from the surface it has then.",
        "Level from water by the exact level-volume curve of the pool.",
        *(hose if values.maybe("hose_diameter") is not None else ()),
    )


def _sources(values: Values) -> tuple[str, ...]:
    hose = (said_source("hazen_williams"), said_source("wsu_hose")) if values.maybe("hose_diameter") is not None else ()
    return (
        *hose,
        f"Usual flows: {said_source('usual_flows')}",
        f"Heights of fittings and where they are cut: {COMMON_PRACTICE}; the drawing governs",
        f"A quarter inch a day lost: {COMMON_PRACTICE}",
    )


def _cautions(*, plaster: bool) -> tuple[str, ...]:
    measured = "Measure the flow with a bucket and a watch; read the level after some hours and time the rest again."
    if plaster:
        return ("Once started, a fill on plaster does not stop until it is full: a stop leaves a ring.", measured)
    return (
        "Times are hours of running water. Nothing above a stop may go under before its fitting is cut in; water that"
        " runs unattended must end below the next fitting.",
        measured,
    )


CALCULATOR = Calculator(
    name="fill",
    title="Fill",
    question="How long does it take to fill, and when is each fitting reached?",
    inputs=(*POOL_INPUTS, *FLOW_INPUTS, *REST_INPUTS),
    compute=compute,
    derived=(
        Derived(formula_name="m3_h", label="Flow of all hoses", field="hoses"),
        Derived(formula_name="inflow_m3", label="Water in an hour", field="hoses"),
    ),
)
