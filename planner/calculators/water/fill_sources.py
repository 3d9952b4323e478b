"""Where the water of a fill comes from: hoses that run alike, or several sources with hours of their own."""

from collections.abc import Iterator

from jobs.domain.errors import CannotDo
from jobs.domain.units import gpm_from_m3_h
from jobs.science.sources import COMMON_PRACTICE
from jobs.science.water.inflow import DAY_H, USUAL_M3_H, RunningWater, TankerLoads, WaterSource
from planner.calculators.asking.flows import FLOW_INPUTS, FOR_ALIKE, one_hose_m3_h
from planner.calculators.asking.inputs import Ask, AskRows, Choose, Input, Values, When
from planner.calculators.asking.units import COUNT, FLOW, HOURS, WATER
from planner.dayplans.presenters.inflow import clock_words

GROUP_WATER, GROUP_SEVERAL = "Where the water comes from", "Several sources, each with hours of its own"
USUAL_CLOCK_H = 7.0
FOR_SEVERAL = When(choice="water", values=("several",))


def _hour(name: str, label: str) -> Ask:
    return Ask(name=name, label=label, kind=HOURS, low=0.0, high=DAY_H, source=COMMON_PRACTICE)


SOURCES = AskRows(
    name="sources",
    label="Hoses and hydrants",
    columns=(
        Ask(name="source_flow", label="Flow", kind=FLOW, low=0.02, high=200.0, source="usual_flows"),
        _hour("source_from", "From this hour of the day"),
        _hour("source_until", "Until this hour of the day"),
    ),
    least=1,
    most=10,
    sample_rows="12, 20, 6; 167, 9, 10",
    help="20 to 6 is overnight, 0 to 24 day and night. Two hoses on one tap share its flow.",
    group=GROUP_SEVERAL,
    when=FOR_SEVERAL,
)
TANKERS = AskRows(
    name="tankers",
    label="Tanker loads",
    columns=(
        Ask(name="tanker_load", label="Load", kind=WATER, low=0.5, high=50.0, source="usual_flows"),
        Ask(name="tanker_loads", label="Loads a day", kind=COUNT, low=1, high=48, source="usual_flows", whole=True),
        _hour("tanker_from", "Hour of the day of the first"),
        Ask(
            name="tanker_every",
            label="From load to load",
            kind=HOURS,
            low=0.1,
            high=DAY_H,
            source="usual_flows",
        ),
        Ask(
            name="tanker_flow",
            label="Flow while it runs",
            kind=FLOW,
            low=0.44,
            high=200.0,
            source="usual_flows",
            optional=True,
        ),
    ),
    least=1,
    most=6,
    sample_rows="6000, 2, 10, 3",
    help=f"Where the flow is left out, {gpm_from_m3_h(USUAL_M3_H['tanker']):.0f} gpm.",
    group=GROUP_SEVERAL,
    when=FOR_SEVERAL,
)
CLOCK = Ask(
    name="clock",
    label="Hour of the day at which the fill begins",
    kind=HOURS,
    low=0.0,
    high=DAY_H,
    source=COMMON_PRACTICE,
    optional=True,
    help="Left empty, seven in the morning; 13.5 is half past one in the afternoon.",
    group=GROUP_SEVERAL,
    when=FOR_SEVERAL,
)
SOURCE_INPUTS: tuple[Input, ...] = (
    Choose(
        name="water",
        label="The water comes from",
        options=(("alike", "Hoses that run alike"), ("several", "Several sources, each with hours of its own")),
        default="alike",
        group=GROUP_WATER,
    ),
    Ask(
        name="hoses",
        label="Hoses running",
        kind=COUNT,
        low=1,
        high=10,
        source=COMMON_PRACTICE,
        default="1",
        help="Each with its own tap and the flow above: two on one tap share it.",
        group=GROUP_WATER,
        whole=True,
        when=FOR_ALIKE,
    ),
    Ask(
        name="runs",
        label="Hours a day the water runs",
        kind=HOURS,
        low=1.0,
        high=DAY_H,
        source=COMMON_PRACTICE,
        default="24 h",
        help="Fewer, where it is shut off overnight: a liner allows it, plaster does not.",
        group=GROUP_WATER,
        whole=True,
        when=FOR_ALIKE,
    ),
    *FLOW_INPUTS,
    SOURCES,
    TANKERS,
    CLOCK,
)


def sources_of(values: Values) -> tuple[tuple[WaterSource, ...], float]:
    """The sources that were given, and the hour of the day at which the fill begins [h].

    Hoses that run alike are counted from the hour they are turned on.

    Raises
    ------
    CannotDo
        ``calculator.no_source``, and as ``one_hose_m3_h``.
    OutsideValidRange
        More water than a hydrant gives, or more loads than the day has room for.
    """
    if values.choice("water") == "alike":
        flow = values.si("hoses") * one_hose_m3_h(values)
        return (RunningWater(flow_m3_h=flow, until_h=values.si("runs")),), 0.0
    running = tuple(
        RunningWater(flow_m3_h=flow, from_h=from_h, until_h=until_h)
        for flow, from_h, until_h in values.rows_of("sources")
    )
    tankers = tuple(
        TankerLoads(
            load_m3=load, loads_each=round(loads), from_h=from_h, every_h=every_h, flow_m3_h=flow[0] if flow else None
        )
        for load, loads, from_h, every_h, *flow in values.rows_of("tankers")
    )
    if not running and not tankers:
        raise CannotDo("calculator.no_source", field="sources")
    clock_h = values.maybe("clock")
    return (*running, *tankers), USUAL_CLOCK_H if clock_h is None else clock_h


def day_and_clock(clock_h: float) -> str:
    """An hour counted from the midnight before the fill, as the day of the fill and the clock.

    >>> day_and_clock(13.5), day_and_clock(24 + 6.0)
    ('day 1, 1:30 pm', 'day 2, 6 am')
    """
    minutes = round(clock_h * 60)
    return f"day {minutes // (24 * 60) + 1}, {clock_words(minutes / 60)}"


def distinct(sources: tuple[WaterSource, ...]) -> Iterator[tuple[WaterSource, int]]:
    """Each source with how many are alike."""
    for source in dict.fromkeys(sources):
        yield source, sources.count(source)
