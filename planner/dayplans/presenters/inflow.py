"""Where a pool's water comes from, as a foreman says it."""

from jobs.domain.units import gallons_from_m3, gpm_from_m3_h
from jobs.science.water.inflow import DAY_H, TankerLoads, WaterSource
from planner.dayplans.presenters.measures import Gettext, gettext_noop

KINDS = {"hose": gettext_noop("hose"), "hydrant": gettext_noop("hydrant"), "tanker": gettext_noop("tanker")}


def source_words(source: WaterSource, gettext: Gettext = str) -> str:
    """The flow of a source, or its loads, with its hours.

    >>> from jobs.science.water.inflow import RunningWater
    >>> source_words(RunningWater(flow_m3_h=2.7255, from_h=20, until_h=6.5))
    '12 gpm, 8 pm to 6:30 am'
    >>> source_words(TankerLoads(load_m3=22.712, loads_each=2, from_h=12, every_h=3))
    '2 loads of 6,000 gal a day, from noon on every 3 h'
    """
    if isinstance(source, TankerLoads):
        facts = {
            "count": source.loads_each,
            "load": f"{gallons_from_m3(source.load_m3):,.0f}",
            "from": clock_words(source.from_h, gettext),
            "every": f"{source.every_h:g}",
        }
        if source.loads_each == 1:
            return gettext("1 load of {load} gal a day, at {from}").format(**facts)
        return gettext("{count} loads of {load} gal a day, from {from} on every {every} h").format(**facts)
    gpm = gpm_from_m3_h(source.m3_h)
    flow = f"{gpm:,.0f}" if gpm >= 10 else f"{gpm:.1f}"
    if source.until_h - source.from_h == DAY_H:
        return gettext("{flow} gpm, day and night").format(flow=flow)
    hours = {"from": clock_words(source.from_h, gettext), "until": clock_words(source.until_h, gettext)}
    return gettext("{flow} gpm, {from} to {until}").format(flow=flow, **hours)


def clock_words(clock_h: float, gettext: Gettext = str) -> str:
    """An hour of the day as it is said, to the minute.

    >>> clock_words(0.0), clock_words(7.25), clock_words(12.0), clock_words(23.999)
    ('midnight', '7:15 am', 'noon', 'midnight')
    """
    hour, minute = divmod(round(clock_h * 60) % (24 * 60), 60)
    if minute == 0 and hour % 12 == 0:
        return gettext("noon") if hour else gettext("midnight")
    half = "am" if hour < 12 else "pm"
    return f"{hour % 12 or 12}:{minute:02d} {half}" if minute else f"{hour % 12} {half}"


def kind_of(source: WaterSource) -> str:
    """What a source is: a key of ``KINDS``."""
    return "tanker" if isinstance(source, TankerLoads) else source.kind
