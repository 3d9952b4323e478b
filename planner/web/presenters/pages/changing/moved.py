"""Whom a proposal concerns outside the office: crews, suppliers, owners."""

from collections.abc import Sequence
from dataclasses import dataclass

from planner.plans.domain.changes import Change
from planner.web.presenters.pools.reader import Reader


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A crew to be told, with what changes for it."""

    name: str
    foreman: str
    phone: str
    dial: str
    what: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedBooking:
    """A slot that no longer fits: booked for a day, wanted for another; ``lost``: a fee is due."""

    who: str
    phone: str
    dial: str
    what: str
    pool: str
    task: str
    booked: str
    wanted: str
    by: str
    fee: str
    lost: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Owner:
    """A pool whose last day moves; ``late`` counts days after the promise."""

    pool: str
    before: str
    after: str
    promised: str
    late: int


def told_people(reader: Reader, changes: Sequence[Change]) -> tuple[Told, ...]:
    """Crews that were told something else, by name; each with its moves in order of the new time."""
    found: dict[str, list[str]] = {}
    for change in sorted(changes, key=lambda one: (one.to_at, one.task)):
        if not change.told:
            continue
        job, task = reader.tasks[change.task]
        place = job.name or task.site.name
        for key in sorted({*change.from_crews, *change.to_crews}):
            found.setdefault(key, []).append(_words(reader, change, key, f"{place}, {task.title}"))
    crews = [(reader.crews[key], what) for key, what in found.items() if key in reader.crews]
    return tuple(
        Told(
            name=crew.name,
            foreman=crew.foreman,
            phone=crew.phone,
            dial="".join(sign for sign in crew.phone if sign.isdigit() or sign == "+"),
            what=tuple(what),
        )
        for crew, what in sorted(crews, key=lambda pair: pair[0].name)
    )


def _words(reader: Reader, change: Change, key: str, what: str) -> str:
    gettext = reader.gettext
    if key not in change.to_crews:
        return gettext("{what}: not yours any more").format(what=what)
    if key not in change.from_crews or change.from_at is None:
        return gettext("{what}: new for you, {after}").format(what=what, after=reader.when(change.to_at))
    if change.from_at == change.to_at and change.from_crews == change.to_crews:
        return gettext("{what}: {after} as before. {why}").format(
            what=what, after=reader.when(change.to_at), why=change.reason
        )
    return gettext("{what}: {after}, not {before}").format(
        what=what, after=reader.when(change.to_at), before=reader.when(change.from_at)
    )
