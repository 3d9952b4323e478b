"""The codes that build methods share: trades, gear, authorities, bookings, cautions, soils, quantities."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import time
from typing import Literal

FreeUntilKind = Literal["any_time", "hours_before", "working_days_before", "at", "hours_after_order"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trade:
    """A trade with its usual crew and cost [dollars per hour of the usual crew]."""

    key: str
    title: str
    typical_crew: int
    dollars_per_crew_hour: int
    note: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GearKind:
    """A kind of gear; only ``counted`` kinds can run out in a branch.

    ``usual_count`` is what a branch usually has (0: comes with a supplier), ``held`` says from when to when.
    """

    key: str
    title: str
    counted: bool
    usual_count: int
    held: str
    dollars_per_day: int
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeUntil:
    """When cancelling stops being free.

    ``hours_before`` and ``working_days_before`` count back from the booked start (``amount``), ``at`` is the
    clock time ``at`` on the day ``amount`` calendar days before, ``hours_after_order`` counts from the order.
    """

    kind: FreeUntilKind
    amount: float
    at: time | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingKind:
    """A supplier's or an authority's slot: notice [working days], free cancellation, fee afterwards [dollars]."""

    key: str
    title: str
    who: str
    notice_working_days: int
    free_until: FreeUntil
    fee_dollars: int
    fee_note: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AuthorityKind:
    """Someone outside who visits: notice [working days, call day not counted], asked by ``ask_by``."""

    key: str
    title: str
    notice_working_days: int
    ask_by: time
    second_visit_dollars: int
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A usual caution. The product always ends it by deferring to local code and licensed people."""

    key: str
    sentence: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SoilKind:
    """A soil: dig rate factor, swell of the loosened spoil."""

    key: str
    title: str
    dig_factor: float
    swell: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityKind:
    """A quantity a method may ask of the take-off, with its unit and how it is computed."""

    key: str
    unit: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Vocabulary:
    """Everything a build method may name, by key."""

    trades: Mapping[str, Trade]
    gear: Mapping[str, GearKind]
    authorities: Mapping[str, AuthorityKind]
    bookings: Mapping[str, BookingKind]
    cautions: Mapping[str, Caution]
    soils: Mapping[str, SoilKind]
    quantities: Mapping[str, QuantityKind]
    sources: Mapping[str, str]
    ends_every_caution: str
