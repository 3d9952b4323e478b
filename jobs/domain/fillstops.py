"""Where a fill under a liner stops so that each fitting can be cut just above the water.

Every distance here is common practice, no source: trade pages say only "when the water is a few inches below".
"""

import math
from dataclasses import dataclass

from jobs.domain.basin import Basin, Fitting
from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo

CUT_FROM_BELOW_M = 0.12
CUT_UNTIL_BELOW_M = 0.015
STOP_BELOW_M = 0.06

DRAIN_CUT_FROM_M = 0.03
DRAIN_CUT_UNTIL_M = 0.10
DRAIN_STOP_M = 0.075

# The vacuums come off at the first cut in the wall, so the water must hold the liner on the shallow floor.
OVER_SHALLOW_M = 0.15

# Stops are read off a levelling rod: a twentieth of a foot is as close as a running hose can be stopped.
ROD_STEP_M = 0.3048 / 20

# Usual lower flanges below design water; the stair also stays clear of the shallow floor.
USUAL_BELOW_DESIGN_M = (("stair", 0.67), ("light", 0.585), ("return", 0.43), ("return", 0.43), ("skimmer", 0.18))
USUAL_LEAST_SHALLOW_M = 0.67 + OVER_SHALLOW_M + CUT_UNTIL_BELOW_M

DESIGN_STOP = "design"


@dataclass(frozen=True, slots=True, kw_only=True)
class FillStop:
    """A level at which the water stops.

    Attributes
    ----------
    name : kinds of the fittings cut there, or ``design`` for the last.
    level_m : water level above the deepest floor [m].
    cut_from_m, cut_until_m : levels between which every fitting of this stop may be cut [m].
    fittings : what is cut at this stop, lowest first.
    """

    name: str
    level_m: float
    cut_from_m: float
    cut_until_m: float
    fittings: tuple[Fitting, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Window:
    low_m: float
    high_m: float
    aim_m: float
    fittings: tuple[Fitting, ...]


def usual_fittings(basin: Basin) -> tuple[Fitting, ...]:
    """Main drain, stair, light, two returns and a skimmer at usual heights, to start a design with.

    Parameters
    ----------
    basin : Basin
        At least 0.835 m of water at the shallow end.

    Returns
    -------
    tuple of Fitting
        Lowest first. Common practice, no source; the drawing governs.

    Raises
    ------
    CannotDo
        ``basin.too_shallow_for_usual_fittings``.
    """
    shallow = basin.design_level_m - basin.wall_foot_level_m
    if shallow < USUAL_LEAST_SHALLOW_M:
        raise CannotDo(
            "basin.too_shallow_for_usual_fittings",
            field="fittings",
            least=round(USUAL_LEAST_SHALLOW_M, 3),
            shallow=round(shallow, 3),
        )
    walls = tuple(Fitting(kind=kind, flange_m=basin.design_level_m - below) for kind, below in USUAL_BELOW_DESIGN_M)
    return (Fitting(kind="main_drain", flange_m=0.0), *walls)


def fill_stops(design: PoolDesign) -> tuple[FillStop, ...]:
    """Stops of a fill under a liner, lowest first; the last is the design level.

    A fitting with its lower flange at f may be cut while the water stands between f - 0.12 and f - 0.015 m; the
    main drain while it stands 0.03 to 0.10 m over it. Fittings whose windows share a level share a stop. A
    fitting the design level leaves dry is cut at the last stop.

    Parameters
    ----------
    design : PoolDesign
        A checked design.

    Returns
    -------
    tuple of FillStop
        Rising levels [m].

    Raises
    ------
    CannotDo
        ``takeoff.stop_too_low`` if a wall fitting goes under before the water holds the liner.
    """
    return fill_stops_of(design.basin)


def fill_stops_of(basin: Basin) -> tuple[FillStop, ...]:
    """Stops of a fill under a liner for a shape without the rest of its design, as ``fill_stops``.

    Raises
    ------
    CannotDo
        ``takeoff.stop_too_low``.
    """
    wet: list[_Window] = []
    dry: list[_Window] = []
    for fitting in sorted(basin.fittings, key=lambda fitting: fitting.flange_m):
        window = _window(fitting, basin)
        (wet if window.low_m < basin.design_level_m else dry).append(window)
    stops = tuple(_stop(window) for window in _shared(wet))
    return (*stops, design_stop(basin, tuple(fitting for window in dry for fitting in window.fittings)))


def design_stop(basin: Basin, fittings: tuple[Fitting, ...] = ()) -> FillStop:
    """The last stop of a fill, at the design level; the only one where nothing is cut on the way."""
    level = basin.design_level_m
    return FillStop(name=DESIGN_STOP, level_m=level, cut_from_m=level, cut_until_m=level, fittings=fittings)


def _window(fitting: Fitting, basin: Basin) -> _Window:
    flange = fitting.flange_m
    if fitting.kind == "main_drain":
        return _Window(
            low_m=flange + DRAIN_CUT_FROM_M,
            high_m=flange + DRAIN_CUT_UNTIL_M,
            aim_m=flange + DRAIN_STOP_M,
            fittings=(fitting,),
        )
    holds = basin.wall_foot_level_m + OVER_SHALLOW_M
    high = flange - CUT_UNTIL_BELOW_M
    if high < holds:
        raise CannotDo(
            "takeoff.stop_too_low",
            field="fittings",
            kind=fitting.kind.replace("_", " "),
            least=OVER_SHALLOW_M,
            flange=round(holds + CUT_UNTIL_BELOW_M, 3),
        )
    return _Window(
        low_m=max(flange - CUT_FROM_BELOW_M, holds),
        high_m=min(high, basin.design_level_m),
        aim_m=flange - STOP_BELOW_M,
        fittings=(fitting,),
    )


def _shared(windows: list[_Window]) -> list[_Window]:
    shared: list[_Window] = []
    for window in sorted(windows, key=lambda window: (window.high_m, window.low_m)):
        last = shared[-1] if shared else None
        if last is not None and window.low_m <= last.high_m:
            shared[-1] = _Window(
                low_m=max(last.low_m, window.low_m),
                high_m=min(last.high_m, window.high_m),
                aim_m=last.aim_m,
                fittings=last.fittings + window.fittings,
            )
        else:
            shared.append(window)
    return shared


def _stop(window: _Window) -> FillStop:
    return FillStop(
        name="_".join(dict.fromkeys(fitting.kind for fitting in window.fittings)),
        level_m=_on_rod_m(min(max(window.aim_m, window.low_m), window.high_m), window),
        cut_from_m=window.low_m,
        cut_until_m=window.high_m,
        fittings=window.fittings,
    )


def _on_rod_m(level_m: float, window: _Window) -> float:
    """The nearest mark of the rod inside the window, or the level itself where the window holds no mark."""
    nearest = round(level_m / ROD_STEP_M)
    first, last = math.ceil(window.low_m / ROD_STEP_M), math.floor(window.high_m / ROD_STEP_M)
    if first > last:
        return level_m
    return min(max(nearest, first), last) * ROD_STEP_M
