"""Reads the codes that build methods share."""

from collections.abc import Callable
from datetime import time
from typing import Protocol, TypeVar

from jobs.domain.vocabulary import (
    AuthorityKind,
    BookingKind,
    Caution,
    FreeUntil,
    GearKind,
    QuantityKind,
    SoilKind,
    Trade,
    Vocabulary,
)
from jobs.methods.entry import Entry


class _Keyed(Protocol):
    @property
    def key(self) -> str: ...


Kind = TypeVar("Kind", bound=_Keyed)


def read_vocabulary(entry: Entry) -> Vocabulary:
    """The vocabulary of the file; a code twice is refused."""
    vocabulary = Vocabulary(
        trades=_all(entry, "trade", _trade),
        gear=_all(entry, "gear", _gear),
        authorities=_all(entry, "authority", _authority),
        bookings=_all(entry, "booking", _booking),
        cautions=_all(entry, "caution", _caution),
        soils=_all(entry, "soil", _soil),
        quantities=_all(entry, "quantity", _quantity),
        sources=entry.texts("sources"),
        ends_every_caution=entry.text("ends_every_caution"),
    )
    entry.done()
    return vocabulary


def _all(entry: Entry, heading: str, make: Callable[[Entry], Kind]) -> dict[str, Kind]:
    found: dict[str, Kind] = {}
    for table in entry.tables(heading, at_least=1):
        one = make(table)
        if one.key in found:
            raise table.wrong("method.duplicate", "key", value=one.key)
        table.done()
        found[one.key] = one
    return found


def _trade(entry: Entry) -> Trade:
    return Trade(
        key=entry.key(),
        title=entry.text("title"),
        typical_crew=entry.whole("typical_crew"),
        dollars_per_crew_hour=entry.whole("dollars_per_crew_hour"),
        note=entry.text("note", ""),
        source=entry.text("source"),
    )


def _gear(entry: Entry) -> GearKind:
    return GearKind(
        key=entry.key(),
        title=entry.text("title"),
        counted=entry.flag("counted"),
        usual_count=entry.whole("usual_count", 0),
        held=entry.text("held"),
        dollars_per_day=entry.whole("dollars_per_day", 0),
        source=entry.text("source"),
    )


def _authority(entry: Entry) -> AuthorityKind:
    return AuthorityKind(
        key=entry.key(),
        title=entry.text("title"),
        notice_working_days=entry.whole("notice_working_days"),
        ask_by=_clock(entry, "ask_by"),
        second_visit_dollars=entry.whole("second_visit_dollars", 0),
        source=entry.text("source"),
    )


def _booking(entry: Entry) -> BookingKind:
    inner = entry.table("free_until")
    kind = inner.choice("kind", ("any_time", "hours_before", "working_days_before", "at", "hours_after_order"))
    free_until = FreeUntil(
        kind=kind,  # type: ignore[arg-type]
        amount=0.0 if kind == "any_time" else inner.number("amount"),
        at=_clock(inner, "at") if kind == "at" else None,
    )
    inner.done()
    return BookingKind(
        key=entry.key(),
        title=entry.text("title"),
        who=entry.text("who"),
        notice_working_days=entry.whole("notice_working_days"),
        free_until=free_until,
        fee_dollars=entry.whole("fee_dollars"),
        fee_note=entry.text("fee_note", ""),
        source=entry.text("source"),
    )


def _clock(entry: Entry, name: str) -> time:
    text = entry.text(name)
    try:
        return time.fromisoformat(text)
    except ValueError as failure:
        raise entry.wrong("method.wrong_type", name, expected='a time such as "15:00"', value=text) from failure


def _caution(entry: Entry) -> Caution:
    return Caution(key=entry.key(), sentence=entry.text("sentence"), source=entry.text("source"))


def _soil(entry: Entry) -> SoilKind:
    return SoilKind(
        key=entry.key(),
        title=entry.text("title"),
        dig_factor=entry.number("dig_factor", above=True),
        swell=entry.number("swell", least=1.0),
        source=entry.text("source"),
    )


def _quantity(entry: Entry) -> QuantityKind:
    return QuantityKind(key=entry.key(), unit=entry.text("unit"), how=entry.text("how"))
