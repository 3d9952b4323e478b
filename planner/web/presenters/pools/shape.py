"""A pool's design and the reports of its tasks as the section that is drawn: to scale, built up to today."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from jobs.domain.basin import Fitting
from jobs.domain.design import PoolDesign
from jobs.domain.facts import JobFacts, TaskFacts
from jobs.domain.fillstops import FillStop, design_stop, fill_stops
from planner.dayplans.presenters.measures import Gettext, gettext_noop
from planner.web.presenters.long_section import Built, FittingLevel
from planner.web.presenters.profile import PoolShape, built_into

# What stands once every task with one of these exposures is finished; exposures are shared by all build methods.
FLOOR = frozenset({"slab_pour", "shell_pour", "spray_pour"})
WALLS = frozenset({"wall_pour", "shell_pour", "spray_pour"})
FACE = frozenset({"liner_drop", "plaster"})
FILL = "fill"

FITTINGS = {
    "main_drain": gettext_noop("Main drain"),
    "stair": gettext_noop("Stair"),
    "light": gettext_noop("Light"),
    "return": gettext_noop("Return"),
    "skimmer": gettext_noop("Skimmer"),
    "vacuum": gettext_noop("Vacuum port"),
}


def shape_of(design: PoolDesign) -> PoolShape:
    """The section of a design."""
    return PoolShape(
        stations=design.basin.stations(),
        freeboard_m=design.basin.freeboard_m,
        wall_m=design.form_thickness_m,
        slab_m=design.slab_m,
        stone_m=design.stone_m,
        working_space_m=design.working_space_m,
        dig_slope=design.dig_slope,
        deck_width_m=max(design.deck_width_m, 0.1),
        built_in=built_into(design.basin),
    )


def built_of(job: JobFacts, design: PoolDesign, level_m: float | None = None) -> Built:
    """What was reported finished.

    Parameters
    ----------
    level_m : float, optional
        Water level the site read last, above the deepest floor [m]; it wins over the stops of the filling.
    """
    water = level_m if level_m is not None else filled_to_m(job, stops_of(job, design))
    walls = _done(job, WALLS)
    return Built(
        marked=_finished(job, "stake_out"),
        dig=_finished(job, "dig"),
        stone=_finished(job, "shape_floor"),
        floor=_done(job, FLOOR),
        forms=_finished(job, "stack_forms") and not walls,
        walls=walls,
        backfill=_done(job, frozenset({"backfill"})),
        deck=_done(job, frozenset({"deck_pour"})),
        liner=_done(job, FACE),
        water_level_m=water,
    )


def stops_of(job: JobFacts, design: PoolDesign) -> tuple[FillStop, ...]:
    """Where the filling stops: at each cut under a liner, at the design level only where nothing waits for a level."""
    cuts = any(link.rule.kind == "level" for link in job.links)
    return fill_stops(design) if cuts else (design_stop(design.basin),)


def filled_to_m(job: JobFacts, stops: Sequence[FillStop]) -> float | None:
    """Level of the last stop the water was reported to have reached [m]; ``None``: no water yet."""
    reached = [stop.level_m for task, stop in zip(fill_tasks(job), stops, strict=False) if task.finished_at is not None]
    return reached[-1] if reached else None


def fill_tasks(job: JobFacts) -> tuple[TaskFacts, ...]:
    """The stretches of filling in order."""
    return tuple(task for task in job.tasks if task.kind == "clock" and task.exposure == FILL and not task.dropped)


def fitting_levels(
    job: JobFacts,
    design: PoolDesign,
    ends: Mapping[int, datetime],
    said: Callable[[datetime], str],
    gettext: Gettext = str,
) -> tuple[FittingLevel, ...]:
    """Every fitting at its level, with the moment the water is planned to be there; equal ones once.

    Parameters
    ----------
    ends : mapping
        Planned end of each task, by task id.
    said : callable
        Words for a moment.
    """
    notes: dict[Fitting, str] = {}
    for task, stop in zip(fill_tasks(job), stops_of(job, design), strict=False):
        if task.finished_at is not None or task.id not in ends:
            continue
        note = gettext("water there {when}").format(when=said(ends[task.id]))
        notes |= dict.fromkeys(stop.fittings, note)
    counts: dict[tuple[str, float], int] = {}
    words: dict[tuple[str, float], str] = {}
    for fitting in design.basin.fittings:
        key = (fitting.kind, fitting.flange_m)
        counts[key] = counts.get(key, 0) + 1
        words[key] = notes.get(fitting, "")
    return tuple(
        FittingLevel(kind=kind, title=_title(kind, count, gettext), level_m=level_m, note=words[kind, level_m])
        for (kind, level_m), count in counts.items()
    )


def _title(kind: str, count: int, gettext: Gettext) -> str:
    title = gettext(FITTINGS.get(kind, kind.replace("_", " ").capitalize()))
    return f"{count} × {title}" if count > 1 else title


def _finished(job: JobFacts, key: str) -> bool:
    return any(task.key == key and task.finished_at is not None for task in job.tasks)


def _done(job: JobFacts, exposures: frozenset[str]) -> bool:
    found = [task for task in job.tasks if task.exposure in exposures and not task.dropped]
    return bool(found) and all(task.finished_at is not None for task in found)
