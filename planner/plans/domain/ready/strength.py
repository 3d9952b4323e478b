"""Waits for a share of the 28-day strength: computed for every possible end of the pour, or for the one that was.

Estimates for planning; what is loaded on young concrete waits for the engineer's rule, and a test governs.
"""

import math
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from jobs.domain.errors import OutsideValidRange
from jobs.domain.method import LinkRule
from jobs.domain.units import f_from_c
from jobs.domain.waiting import later
from jobs.science.concrete_temperature import Member, concrete_temps_c, delivered_temp_c
from jobs.science.maturity import step_means_c
from jobs.science.ranges import Array
from jobs.science.strength import ready_hours_by_start
from jobs.words import sentence_for
from planner.plans.domain.ready.air import SiteAir, hour_of, hours_since_epoch, moment_of
from planner.plans.domain.ready.concrete import Poured

# Ends of the pour are reckoned a stretch of hours at a time, each with two weeks of temperatures; where that is not
# enough, with four months, which brings the coldest concrete into spring.
STRETCH_H = 120
USUAL_H, LONGEST_H = 336, 2880


class PlacedTemps:
    """Mean concrete temperature of every hour since placing, for concrete placed at each hour from ``anchor`` on."""

    def __init__(self, *, air: SiteAir, member: Member, anchor: int) -> None:
        self.air = air
        self.anchor = anchor
        self._member = member
        self._kept: dict[int, Array] = {}

    def stretch(self, number: int, hours: int = USUAL_H) -> Array:
        """A row for each hour of placing in the stretch; only the usual length is kept."""
        first = self.anchor + number * STRETCH_H
        if hours != USUAL_H:
            return self._rows(first, STRETCH_H, hours)
        if number not in self._kept:
            self._kept[number] = self._rows(first, STRETCH_H, hours)
        return self._kept[number]

    def row(self, hour: int, hours: int) -> Array:
        """Mean temperatures of the hours after one hour of placing [degC]."""
        return np.asarray(self._rows(hour, 1, hours)[0], dtype=float)

    def _rows(self, first: int, rows: int, hours: int) -> Array:
        air_c = self.air.hours(first, rows + hours).air_temp_c
        by_start = np.lib.stride_tricks.sliding_window_view(air_c, hours)[:rows]
        placed_c = delivered_temp_c(by_start[:, 0])
        return step_means_c(concrete_temps_c(by_start, placed_c=placed_c, member=self._member))


class StrengthTable:
    """From which hour a share of the strength is there, by the hour the pour ends; never falling, made when asked.

    Where a formula does not hold, ``fixed_hours`` count and ``outside`` says why. Past what is known of the site's air
    the ``usual`` table serves, which every site of a branch shares.
    """

    def __init__(
        self,
        *,
        temps: PlacedTemps,
        poured: Poured,
        fraction: float,
        fixed_hours: float,
        usual: "StrengthTable | None" = None,
    ) -> None:
        self.temps = temps
        self._poured = poured
        self._fraction = fraction
        self._fixed_hours = fixed_hours
        self._usual = usual
        self._ready = np.empty(0)
        self._alone: dict[int, Array] = {}
        self.outside: dict[int, str] = {}

    def ready_h(self, ended_h: float) -> float:
        """Hour [h since the epoch] of the strength for a pour that ends at an hour; even inside an hour."""
        into = max(ended_h - self.temps.anchor, 0.0)
        at, share = int(into), into - int(into)
        while len(self._ready) < at + 2:
            self._grow()
        low, high = float(self._ready[at]), float(self._ready[at + 1])
        return self.temps.anchor + low + share * (high - low)

    def ready_hours(self, ended_h: Array) -> Array:
        """``ready_h`` of many ends at once."""
        into = np.maximum(ended_h - self.temps.anchor, 0.0)
        while len(self._ready) < into.max() + 2:
            self._grow()
        return np.asarray(self.temps.anchor + np.interp(into, np.arange(len(self._ready)), self._ready), dtype=float)

    def says_outside(self, ended_h: float) -> str:
        """Why the fixed hours count for that end of the pour; empty where they do not."""
        return self.outside.get(int(max(ended_h - self.temps.anchor, 0.0)) // STRETCH_H, "")

    def alone(self, number: int) -> Array:
        """Hours from the start of a stretch at which the strength is there, each end of the pour for itself."""
        first = self.temps.anchor + number * STRETCH_H
        if self._usual is not None and first >= self.temps.air.known_until:
            found = self._usual.alone(number)
            self.outside |= {number: self._usual.outside[number]} if number in self._usual.outside else {}
            return found
        if number not in self._alone:
            self._alone[number] = self._reckoned(number)
        return self._alone[number]

    def _grow(self) -> None:
        number = len(self._ready) // STRETCH_H
        found = self.alone(number) + number * STRETCH_H
        last = self._ready[-1] if len(self._ready) else -math.inf
        self._ready = np.concatenate([self._ready, np.maximum.accumulate(np.maximum(found, last))])

    def _reckoned(self, number: int) -> Array:
        ends = np.arange(STRETCH_H, dtype=float)
        try:
            found = self._by_start(number, USUAL_H)
            if np.isnan(found).any():
                found = self._by_start(number, LONGEST_H)
        except OutsideValidRange as outside:
            self.outside[number] = outside.says
            return ends + self._fixed_hours
        return np.where(np.isnan(found), ends + LONGEST_H, found)

    def _by_start(self, number: int, hours: int) -> Array:
        poured = self._poured
        return ready_hours_by_start(self.temps.stretch(number, hours), self._fraction, law=poured.law, rate=poured.rate)


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthWait:
    """A share of the 28-day strength after a pour that is still to come, never under the method's least hours."""

    rule: LinkRule
    table: StrengthTable

    @property
    def reason(self) -> str:
        """What is waited for; how long depends on when the pour ends, see ``because``."""
        return asked(self.rule)

    def ready_at(self, start: datetime) -> datetime:
        """When the share is reached by a pour that ends at ``start``; non-decreasing."""
        strong_at = moment_of(self.table.ready_h(hours_since_epoch(start))).astimezone(start.tzinfo)
        return latest(strong_at, later(start, least_hours(self.rule)))

    def ready_hours(self, ended_h: Array) -> Array:
        """``ready_at`` of many ends of the pour at once, all as hours since the epoch [h]."""
        strong_h = np.round(self.table.ready_hours(ended_h) * 3600) / 3600
        return np.maximum(strong_h, ended_h + least_hours(self.rule))

    def because(self, start: datetime) -> str:
        """The reason with its hours and temperature for a pour that ends at ``start``."""
        ended_h = hours_since_epoch(start)
        outside = self.table.says_outside(ended_h)
        if outside:
            return f"{self.reason} {_said('waits.fixed_outside', hours=self.rule.fixed_hours, says=outside)}"
        hours = hours_since_epoch(self.ready_at(start)) - ended_h
        return f"{self.reason} {self._reckoned_from(hour_of(start), hours)}"

    def _reckoned_from(self, hour: int, hours: float) -> str:
        if hours >= LONGEST_H:
            return _said("waits.strength_cold", hours=hours)
        count = max(1, math.ceil(hours))
        temps_c = self.table.temps.row(hour, count)
        known = self.table.temps.air.hours(hour, count).known
        return reckoned(hours, temps_c, known) + never_under(self.rule, hours)


def asked(rule: LinkRule) -> str:
    """What a link waits for, as a sentence.

    The requirement and the reason are the build method's own words.
    """
    return _said("waits.strength", requirement=rule.requirement, why=rule.why)


def least_hours(rule: LinkRule) -> float:
    """Hours below which no computed strength opens a link [h]."""
    return max(rule.floor_hours, rule.min_hours)


def reckoned(hours: float, temps_c: Array, known: Array) -> str:
    """How many hours, at which mean temperature, and whether a forecast knew it, as a sentence."""
    code = "waits.strength_part"
    if known.all():
        code = "waits.strength_forecast"
    elif not known.any():
        code = "waits.strength_usual"
    temp_c = float(temps_c.mean())
    return _said(code, hours=hours, temp=temp_c, temp_us=f_from_c(temp_c))


def never_under(rule: LinkRule, hours: float) -> str:
    """The method's least hours, where they are what counts."""
    floor = least_hours(rule)
    return f" {_said('waits.strength_floor', floor=floor)}" if floor and hours <= floor + 1e-6 else ""


def latest(one: datetime, other: datetime) -> datetime:
    """The later of two instants: moments of one zone compare by their wall clocks, which a change of clocks upsets."""
    return max(one, other, key=lambda moment: moment.timestamp())


def _said(code: str, **facts: object) -> str:
    return sentence_for(code, facts)[0]
