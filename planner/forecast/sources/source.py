"""What every forecast source is asked, and what it answers."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HourlySeries
from planner.forecast.sources.client import Answered, Unchanged
from planner.forecast.sources.conditional import Known, Memory

LEAST_FUTURE_HOURS = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Fetched:
    """One good answer of a source: what it means, and the bytes it was read from.

    ``known`` is what to remember of the address, none where nothing is. Some services do not say when they issued a
    run (``issue_stated`` false): then a run with nothing new in it is the old one. ``altitude_m`` is that of the
    cell, where the source states it.
    """

    series: HourlySeries
    body: bytes
    source: str
    grid_key: str
    issued_at: datetime
    fetched_at: datetime
    known: Known | None = None
    issue_stated: bool = True
    altitude_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """The map cell of a source that holds a place; ``zones`` are the codes of the warning zones it lies in."""

    grid_key: str
    zones: tuple[str, ...] = ()


class ForecastSource(Protocol):
    """A place to ask for forecasts. ``as_of`` is the present moment, told by the caller.

    Its methods raise ``CannotDo`` if no forecast exists for the place, ``OutsideFailure`` if the service failed.
    """

    @property
    def name(self) -> str: ...

    @property
    def memory(self) -> Memory:
        """Who remembers the addresses this source asks."""
        ...

    def locate(self, place: Place, as_of: datetime) -> Cell:
        """The grid cell that holds the place; places of one cell share its forecasts."""
        ...

    def fetch_grid(self, grid_key: str, as_of: datetime) -> Fetched | Unchanged: ...


def fetched_of(
    series: HourlySeries, answer: Answered, *, source: str, grid_key: str, as_of: datetime, remember: bool = True
) -> Fetched:
    """What an answer means, with the bytes it was read from; ``remember`` false where its address is not to be kept."""
    return Fetched(
        series=series,
        body=answer.reply.body,
        source=source,
        grid_key=grid_key,
        issued_at=series.issued_at,
        fetched_at=as_of,
        known=answer.known if remember else None,
    )


def require_future(series: HourlySeries, as_of: datetime) -> None:
    """Refuse a reply that knows the temperature of fewer than 24 hours to come.

    Raises
    ------
    OutsideFailure
        ``forecast.no_future``.
    """
    coming = series.between("air_temp_c", as_of, max(series.end_at, as_of + timedelta(hours=1)))
    known = sum(value is not None for value in coming)
    if known < LEAST_FUTURE_HOURS:
        raise OutsideFailure(
            "forecast.no_future",
            source=series.source,
            known=known,
            least=LEAST_FUTURE_HOURS,
            issued_at=series.issued_at,
        )
