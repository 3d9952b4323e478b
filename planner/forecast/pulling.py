"""Pulls forecasts for many places from a chain of sources: one request a cell, and the next source where one fails."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from jobs.domain.errors import CannotDo, DryWindowError
from planner.forecast.domain.freshness import Freshness, freshness_of
from planner.forecast.domain.outside.providers import PROVIDERS
from planner.forecast.domain.place import Place
from planner.forecast.models import ForecastRun
from planner.forecast.services import CELL_MOVED, cell_of, pull_cell, resolve_grid
from planner.forecast.sources.source import ForecastSource

# Failures of a whole host: asking it for the next cell would only wait again.
_HOST_FAILED = frozenset(
    {"forecast.timeout", "forecast.unreachable", "forecast.paused", "forecast.throttled", "forecast.refused_html"}
)
USABLE = frozenset({Freshness.FRESH, Freshness.AGEING})


@dataclass(slots=True, kw_only=True)
class ChainPull:
    """What a pull brought: the run of each place, which runs are new, and what went wrong on the way.

    ``failed`` holds the places no source answered for, with the last failure; ``notes`` what each source that was
    passed over did, by place.
    """

    runs: dict[Place, ForecastRun] = field(default_factory=dict)
    new: set[int] = field(default_factory=set)
    failed: dict[Place, DryWindowError] = field(default_factory=dict)
    notes: dict[Place, list[str]] = field(default_factory=dict)


class _OneSource:
    """One source during one pull: each cell is asked once, and nothing more after the host has failed."""

    def __init__(self, source: ForecastSource, now: datetime) -> None:
        self.source = source
        self.now = now
        self.new: set[int] = set()
        self._cells: dict[str, ForecastRun | DryWindowError] = {}
        self._down: DryWindowError | None = None

    def pull(self, place: Place) -> ForecastRun:
        """The run of a place.

        Raises
        ------
        CannotDo, OutsideFailure
            As the source said, now or for an earlier place of the same cell.
        """
        if self._down is not None:
            raise self._down
        try:
            return self._pull(place)
        except DryWindowError as failure:
            if failure.code in _HOST_FAILED:
                self._down = failure
            raise

    def _pull(self, place: Place) -> ForecastRun:
        cell = cell_of(source=self.source, place=place, now=self.now)
        try:
            return self._cell(cell.grid_key)
        except DryWindowError as failure:
            if failure.code not in CELL_MOVED:
                raise
            moved = resolve_grid(source=self.source, place=place, now=self.now)
            if moved.grid_key == cell.grid_key:
                raise
            return self._cell(moved.grid_key)

    def _cell(self, grid_key: str) -> ForecastRun:
        if grid_key not in self._cells:
            try:
                run, created = pull_cell(source=self.source, grid_key=grid_key, now=self.now)
            except DryWindowError as failure:
                self._cells[grid_key] = failure
            else:
                self._cells[grid_key] = run
                if created:
                    self.new.add(run.pk)
        found = self._cells[grid_key]
        if isinstance(found, DryWindowError):
            raise found
        return found


def pull_chain(*, sources: Sequence[ForecastSource], places: Sequence[Place], now: datetime) -> ChainPull:
    """Pull the forecast of each place from the first source that gives a usable one.

    A source that answers with a run too old to use is passed over like one that fails; its run is kept all the same.

    Raises
    ------
    CannotDo
        Where every source has no forecast for a place, for example open sea.
    """
    pull = ChainPull()
    waiting = list(dict.fromkeys(places))
    for source in sources:
        asked = _OneSource(source, now)
        title = PROVIDERS[source.name].title
        left: list[Place] = []
        for place in waiting:
            try:
                run = asked.pull(place)
            except DryWindowError as failure:
                pull.notes.setdefault(place, []).append(f"{title}: {failure}")
                # That a service cannot be reached says more than that the one before has no forecast there.
                if place not in pull.failed or isinstance(pull.failed[place], CannotDo):
                    pull.failed[place] = failure
                left.append(place)
                continue
            if not usable(run, now):
                pull.notes.setdefault(place, []).append(
                    f"{title}: its newest forecast is of {run.issued_at:%d %b %H:%M} UTC."
                )
                left.append(place)
                pull.runs.setdefault(place, run)
                continue
            pull.runs[place] = run
        pull.new |= asked.new
        waiting = left
        if not waiting:
            break
    for place in pull.runs:
        pull.failed.pop(place, None)
    if pull.failed and not pull.runs and all(isinstance(failure, CannotDo) for failure in pull.failed.values()):
        raise next(iter(pull.failed.values()))
    return pull


def usable(run: ForecastRun, now: datetime) -> bool:
    """Whether a run may still forbid and allow work."""
    return (
        freshness_of(issued_at=run.issued_at, checked_at=run.checked_at, horizon_end_at=run.horizon_end_at, now=now)
        in USABLE
    )
