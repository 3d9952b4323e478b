"""What weather a kind of work cannot stand, from its start until it is safe."""

from dataclasses import dataclass
from typing import Literal

Soil = Literal["sand", "loam", "clay"]

# What a measure can answer; "dark" is work that would run past daylight.
Hazard = Literal["rain", "cold", "heat", "wind", "drying", "dark"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit with where it comes from: a source key, or ``common practice, no source``."""

    value: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Something a crew can prepare so that more weather is acceptable; price [dollars] and time [h].

    ``spares`` is the share [0..1] of the loss it saves from each hazard it ``answers``: an estimate. ``effect`` says
    what it does to the concrete, ``source`` where price and share come from. ``another_start`` marks what is no
    preparing but going at another hour: it is advised, and no plan buys it for the start it has.
    """

    title: str
    dollars: int
    hours: float
    answers: tuple[Hazard, ...] = ()
    spares: float = 0.0
    effect: str = ""
    source: str = ""
    another_start: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """The limits of one kind of work; ``None`` is no limit.

    Attributes
    ----------
    rain_stop_mm_h : rain rate that stops the work.
    rain_before_mm, rain_before_hours : rain in the hours before the start that spoils it.
    rain_during_mm : rain total from start to end that spoils the work.
    rain_after_hours : hours after the end until the work is safe, at 21 degC where ``sets`` is true.
    rain_after_mm : rain total in those hours that spoils the work.
    sets : the hours after scale with the setting time of concrete at the forecast temperature.
    air_min_c, air_max_c, surface_min_c, surface_max_c : temperature limits over the work.
    wind_max_m_s, gust_max_m_s : mean wind and gust limits over the work, at ``wind_height_m``.
    wind_height_m : height over the ground the wind limits are meant at [m]; forecasts are for 10 m.
    stops_for_thunder : thunder stops people.
    clay_wait_h_per_25mm : hours to wait on clay after each 25 mm of rain; ``soil_factor`` scales other soils.
    forbid_chance : a known chance of being spoiled by rain at or above this forbids the start.
    loss_dollars : typical cost if the work is spoiled.
    """

    key: str
    title: str
    rain_stop_mm_h: Limit | None
    rain_before_mm: Limit | None
    rain_before_hours: float
    rain_during_mm: Limit | None
    rain_after_hours: float
    rain_after_mm: Limit | None
    sets: bool
    air_min_c: Limit | None
    air_max_c: Limit | None
    surface_min_c: Limit | None
    surface_max_c: Limit | None
    wind_max_m_s: Limit | None
    gust_max_m_s: Limit | None
    stops_for_thunder: bool
    clay_wait_h_per_25mm: float
    forbid_chance: float
    loss_dollars: int
    worst_dollars: int
    light: str
    measures: tuple[Measure, ...] = ()
    exposed: bool = True
    wind_height_m: float = 10.0


SOIL_WAIT_FACTOR: dict[Soil, float] = {"clay": 1.0, "loam": 0.6, "sand": 0.3}
