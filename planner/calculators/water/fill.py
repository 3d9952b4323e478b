"""How long a pool takes to fill, when each fitting is reached, and why the water stops there."""

from collections.abc import Iterator

import numpy as np

from jobs.domain.fillstops import DESIGN_STOP, FillStop
from jobs.domain.units import ft_from_m, gallons_from_m3, gpm_from_m3_h, psi_from_mpa
from jobs.science.sources import COMMON_PRACTICE
from jobs.science.water.filling import hose_friction_kpa
from jobs.science.water.inflow import DAY_H
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, feet_words, hours_words, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, PoolSection, SectionFitting, Series
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.flows import one_hose_m3_h
from planner.calculators.asking.inputs import Ask, Choose, Input, Values
from planner.calculators.asking.pools import DEEPEST_M
from planner.calculators.asking.shapes import SHAPED_INPUTS
from planner.calculators.asking.units import HOURS, LENGTH, RAIN_A_DAY
from planner.calculators.calculator import Calculator, Derived
from planner.calculators.water.fill_run import LONGEST_FILL_H, Run, run_of, stops_of
from planner.calculators.water.fill_sources import SOURCE_INPUTS, day_and_clock, distinct
from planner.dayplans.presenters.inflow import source_words

GROUP_REST, GROUP_READ = "The fill", "A level that was read (to time the rest again)"
POINTS_OF_CURVE = 60

REST_INPUTS: tuple[Input, ...] = (
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
    Ask(
        name="read_after",
        label="Hours until it was read",
        kind=HOURS,
        low=0.5,
        high=float(LONGEST_FILL_H),
        source=COMMON_PRACTICE,
        optional=True,
        help="From the start of the fill.",
        group=GROUP_READ,
        formula_names=("reading_h",),
    ),
    Ask(
        name="read_level",
        label="Level that was read",
        kind=LENGTH,
        low=0.0,
        high=DEEPEST_M,
        source=COMMON_PRACTICE,
        optional=True,
        help="Above the deepest point of the floor.",
        group=GROUP_READ,
        formula_names=("reading_level_m",),
    ),
)
# Why the water stops, by fitting; how far below it: common practice, no source.
WHY_STOPS = (
    "A liner stretches while the water rises. A hole cut too early moves away from its fitting as the rest stretches;"
    " a hole cut under water lets the water run behind the liner.",
    "So the water stops one to five inches under each wall fitting: everything below it is stretched and held by the"
    " water, and the gasket and its ring go on dry. Levels are above the deepest point of the floor.",
)
WHY_DRAIN = (
    "The main drain is cut with one to four inches of water over it: its weight lays the liner flat on the floor, and"
    " the ring is screwed on before the water is too deep to reach through."
)
WHY_PLASTER = (
    "Fresh plaster dries where the water stops: every stop leaves a ring around the pool, so the water runs until it is"
    " full."
)


def compute(values: Values) -> Answer:
    """Hours to fill, the hour of each stop, and the level against time."""
    run = run_of(values)
    plaster = values.choice("finish") == "plaster"
    stops = stops_of(run)
    return Answer(
        says=_says(run),
        lines=(
            Line(
                label="Full after",
                value=hours_words(run.full_h),
                also=f"{_clock(run, run.full_h)}{amount(run.plan.running_h(run.full_h), 1)} h of running water",
            ),
            *_amounts(run),
            *_hose_lines(values),
            *_stop_lines(run, stops, plaster=plaster),
        ),
        why=(WHY_PLASTER,) if plaster else _why(stops),
        formula=_formula(values),
        sources=_sources(values),
        cautions=(
            *_cautions(plaster=plaster),
            "The fence or other barrier must stand, and the bonding be recorded, before there is water in the pool.",
            DEFERS,
        ),
        pictures=(_section(run, stops), _curve(run, stops)),
    )


def _says(run: Run) -> str:
    plan = run.plan
    if run.share is not None:
        left = hours_words(run.full_h - run.from_h)
        return f"By the level that was read, the pool is full {left} later, {hours_words(run.full_h)} after the start."
    full = f"The pool is full after {hours_words(run.full_h)}"
    if run.has_clock:
        at = day_and_clock(plan.clock_h + run.full_h)
        return f"{full}, on {at}, with water from {len(plan.sources)} source{'s' * (len(plan.sources) > 1)}."
    at = f"at {amount(gpm_from_m3_h(plan.sources[0].m3_h), 1)} gpm"
    runs_h = plan.running_h(DAY_H)
    return f"{full} {at}, {amount(runs_h, 1)} h a day." if runs_h < DAY_H else f"{full} of water {at}."


def _clock(run: Run, hour: float) -> str:
    """When that is by the clock, where sources go by it."""
    return f"{day_and_clock(run.plan.clock_h + hour)}; " if run.has_clock else ""


def _amounts(run: Run) -> Iterator[Line]:
    to_add = run.basin.water_volume_m3 - run.basin.volume_at_m3(run.start_m)
    label = "Water to add" if run.share is None else "Water still to add"
    yield line(label, gallons_from_m3(to_add), "gal", also=f"{amount(to_add, 1)} m³")
    yield from _flow_lines(run)
    if run.share is not None:
        return
    added = run.plan.brought_m3(run.plan.sources, run.full_h)
    added += run.plan.rain_mm_h * run.full_h * run.basin.water_surface_m2 / 1000
    yield line("Lost to sun and wind on the way", gallons_from_m3(added - to_add), "gal")


def _flow_lines(run: Run) -> Iterator[Line]:
    plan = run.plan
    share = 1.0 if run.share is None else run.share
    if not run.has_clock:
        flow = plan.sources[0].m3_h
        yield line("Flow, all hoses", gpm_from_m3_h(flow), "gpm", 1, also=f"{amount(flow, 2)} m³/h")
        if run.share is not None:
            came, of_plan = gpm_from_m3_h(flow * share), f"{amount(100 * share)} % of the above"
            yield line("Flow by the level that was read", came, "gpm", 1, also=of_plan)
        return
    for source, count in distinct(plan.sources):
        brought = plan.brought_m3((source,) * count, run.full_h) - plan.brought_m3((source,) * count, run.from_h)
        times = f"{count} × " if count > 1 else ""
        yield line(f"From {times}{source_words(source)}", gallons_from_m3(brought * share), "gal")
    if run.share is not None:
        yield line("Came of what was planned, by the level that was read", 100 * share, "%")


def _hose_lines(values: Values) -> Iterator[Line]:
    """What the hose takes of the pressure: a wider one, or two from two taps, wins most where that is nearly all."""
    if values.maybe("hose_diameter") is None or values.choice("water") != "alike":
        return
    pressure = values.si("tap_pressure")
    lost = hose_friction_kpa(values.si("hose_diameter"), values.si("hose_length"), one_hose_m3_h(values))
    of_tap = f"of {amount(psi_from_mpa(pressure / 1000))} psi at the tap"
    yield line("Pressure the hose takes", psi_from_mpa(lost / 1000), "psi", 1, also=of_tap)


def _stop_name(stop: FillStop) -> str:
    kinds = dict.fromkeys(fitting.kind.replace("_", " ") for fitting in stop.fittings)
    return ", ".join(kinds)


def _stop_lines(run: Run, stops: tuple[FillStop, ...], *, plaster: bool) -> Iterator[Line]:
    for stop in stops:
        if stop.name == DESIGN_STOP:
            continue
        at = feet_words(stop.level_m)
        if plaster:
            yield Line(
                label=f"Water near the {_stop_name(stop)}",
                value=hours_words(run.hour(stop.level_m)),
                also=f"{_clock(run, run.hour(stop.level_m))}at {at}",
            )
            continue
        first_h, last_h = run.hour(max(stop.cut_from_m, run.start_m)), run.hour(stop.cut_until_m)
        first, last = (hours_words(hour, to_minutes=True) for hour in (first_h, last_h))
        yield Line(
            label=f"Cut in: {_stop_name(stop)}",
            value=hours_words(run.hour(stop.level_m), to_minutes=True),
            also=f"{_clock(run, run.hour(stop.level_m))}stop the water at {at}{_under_words(stop)};"
            f" may be cut between {first} and {last}",
        )


def _under_words(stop: FillStop) -> str:
    """How far under the lowest wall fitting the water stops."""
    flanges = [fitting.flange_m for fitting in stop.fittings if fitting.kind != "main_drain"]
    return f", {feet_words(min(flanges) - stop.level_m)} under it" if flanges else ", over it"


def _why(stops: tuple[FillStop, ...]) -> tuple[str, ...]:
    kinds = {fitting.kind for stop in stops if stop.name != DESIGN_STOP for fitting in stop.fittings}
    return (*(WHY_STOPS if kinds - {"main_drain"} else ()), *((WHY_DRAIN,) if "main_drain" in kinds else ()))


def _section(run: Run, stops: tuple[FillStop, ...]) -> PoolSection:
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


def _curve(run: Run, stops: tuple[FillStop, ...]) -> Curve:
    full = run.full_h
    hours = np.linspace(run.from_h, full, POINTS_OF_CURVE + 1)
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
    nights = run.plan.running_h(DAY_H) < DAY_H
    return Curve(
        title="Level against time",
        x=Axis(
            label="Hours since the start" if nights else "Hours of running water", unit="h", low=0.0, high=full * 1.02
        ),
        y=Axis(label="Water above the deepest floor", unit="ft", low=0.0, high=top * 1.12),
        series=(
            Series(
                label="Water level",
                points=tuple((float(hour), ft_from_m(float(level))) for hour, level in zip(hours, levels, strict=True)),
            ),
        ),
        marks=marks,
        table=tuple(run.from_h + (full - run.from_h) * share / 4 for share in range(5)),
    )


def _formula(values: Values) -> tuple[str, ...]:
    hose = (
        "Hose: 4.52 L Q^1.852 / (140^1.852 d^4.8704) + velocity head = pressure; psi, ft, gpm, in. The loss of the tap"
        " is left out, so a real hose runs slower.",
    )
    several = ("Sources are added where their hours overlap; a load runs for its water over its flow.",)
    read = (
        "After a reading: share of the flow = water that came / water planned until then; the rest runs at that share.",
    )
    return (
        "Each hour: water + flow + rain on the surface − evaporation from the surface it has then.",
        "Level from water by the exact level-volume curve of the pool.",
        *(several if values.choice("water") == "several" else ()),
        *(hose if values.maybe("hose_diameter") is not None else ()),
        *(read if values.maybe("read_level") is not None else ()),
    )


def _sources(values: Values) -> tuple[str, ...]:
    hose = (said_source("hazen_williams"), said_source("wsu_hose")) if values.maybe("hose_diameter") is not None else ()
    return (
        *hose,
        f"Usual flows: {said_source('usual_flows')}",
        f"Heights of fittings, where they are cut and why: {COMMON_PRACTICE}; the drawing governs",
        f"A quarter inch a day lost: {COMMON_PRACTICE}",
    )


def _cautions(*, plaster: bool) -> tuple[str, ...]:
    measured = "Measure the flow with a bucket and a watch; read the level after some hours and time the rest again."
    if plaster:
        return ("Once started, a fill on plaster does not stop until it is full: a stop leaves a ring.", measured)
    return (
        "Nothing above a stop may go under before its fitting is cut in; water that runs unattended must end below the"
        " next fitting.",
        measured,
    )


CALCULATOR = Calculator(
    name="fill",
    title="Fill",
    question="How long does it take to fill, and when is each fitting reached?",
    inputs=(*SHAPED_INPUTS, *SOURCE_INPUTS, *REST_INPUTS),
    compute=compute,
    derived=(
        Derived(formula_name="flow_m3_h", label="Flow of all hoses", field="hoses"),
        Derived(formula_name="every_h", label="Time from load to load", field="tankers"),
        Derived(formula_name="load_h", label="Time a load runs", field="tankers"),
        Derived(formula_name="inflow_m3", label="Water in an hour", field="hoses"),
    ),
)
