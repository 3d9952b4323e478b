"""What people were told of the watch, and who has read it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from planner.web.presenters.pools.reader import Reader


@dataclass(frozen=True, slots=True, kw_only=True)
class WarnedFacts:
    """One fact people were told. ``people`` are their names, ``may_note`` whether the reader may say it is read."""

    id: int
    task: int
    says: str
    people: tuple[str, ...]
    told_at: datetime
    answer_by: datetime | None
    noted_at: datetime | None
    noted_by: str
    escalated_at: datetime | None
    may_note: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What is stored of a watch: since when verdicts stand, by task, start and verdict, and what people were told."""

    since: Mapping[tuple[int, datetime, str], datetime] = field(default_factory=dict)
    warned: Sequence[WarnedFacts] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldView:
    """One line of what people were told; ``late``: nobody has read it and its deadline is past."""

    id: int
    task: int
    says: str
    told: str
    read: str
    late: bool
    may_note: bool


def present_told(reader: Reader, warned: Iterable[WarnedFacts]) -> tuple[ToldView, ...]:
    """Newest first, as given."""
    return tuple(_told(reader, one) for one in warned)


def _told(reader: Reader, one: WarnedFacts) -> ToldView:
    gettext = reader.gettext
    who = ", ".join(one.people) or gettext("nobody: no address is entered")
    late = one.noted_at is None and one.answer_by is not None and one.answer_by <= reader.world.as_of
    if one.noted_at is not None:
        read = gettext("Read by {name}, {when}.").format(name=one.noted_by, when=reader.when(one.noted_at))
    elif one.escalated_at is not None:
        read = gettext("Not read in time; the owner was told {when}.").format(when=reader.when(one.escalated_at))
    elif one.answer_by is not None:
        read = gettext("Not read yet; wanted by {when}.").format(when=reader.when(one.answer_by))
    else:
        read = gettext("Not read yet.")
    return ToldView(
        id=one.id,
        task=one.task,
        says=one.says,
        told=gettext("Told {when}: {people}.").format(when=reader.when(one.told_at), people=who),
        read=read,
        late=late,
        may_note=one.may_note and one.noted_at is None,
    )
