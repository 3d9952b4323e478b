"""The wait after a pour that is over: its own hours, with what a probe or a test in it has shown since."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.domain.method import LinkRule
from jobs.domain.units import f_from_c
from jobs.domain.waiting import OneReason, later
from jobs.science.concrete_temperature import concrete_temps_c, delivered_temp_c
from jobs.science.maturity import step_means_c
from jobs.science.ranges import Array
from jobs.science.strength import StrengthTest, hours_to_fraction
from jobs.words import sentence_for
from planner.plans.domain.ready.air import SiteAir, hours_since_epoch
from planner.plans.domain.ready.concrete import Poured
from planner.plans.domain.ready.strength import (
    LONGEST_H,
    USUAL_H,
    asked,
    latest,
    least_hours,
    never_under,
    reckoned,
)

# The age the specified strength is meant for: a test that promises less is judged then, by the engineer.
ENGINEER_H = 28 * 24.0
# Shares the strength laws take up; a test that shows more than twice what was specified says no more than that.
LEAST_SHARE, MOST_SHARE = 0.01, 2.0
LEAST_TEST_AGE_H = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """What was measured in one pour: (moment, value), concrete temperature [degC] and strength [MPa]."""

    probes: Sequence[tuple[datetime, float]] = field(default=())
    strengths: Sequence[tuple[datetime, float]] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownWait(OneReason):
    """A wait whose end is known by now: it began with something that has happened."""

    ends_at: datetime
    reason: str

    def ready_at(self, start: datetime) -> datetime:
        """The end of the wait, or ``start`` where that is later."""
        return latest(self.ends_at.astimezone(start.tzinfo), start)


def placed_wait(
    rule: LinkRule, *, finished_at: datetime, air: SiteAir, poured: Poured, readings: Readings
) -> KnownWait:
    """The wait for a share of the strength after a pour that ended at ``finished_at``.

    A probe's reading replaces the predicted temperature from its hour on. A test governs: where it shows the share,
    the wait is over at the latest with it; where it shows less, the rest is reckoned from it.
    """
    age_of_test_h = [hours_since_epoch(at) - hours_since_epoch(finished_at) for at, _ in readings.strengths]
    tests = [
        StrengthTest(after_h=age_h, fraction=min(max(mpa / poured.specified_mpa, LEAST_SHARE), MOST_SHARE))
        for age_h, (_, mpa) in zip(age_of_test_h, readings.strengths, strict=True)
        if LEAST_TEST_AGE_H <= age_h <= LONGEST_H
    ]
    test = max(tests, key=lambda one: one.after_h, default=None)
    hours, says = _reckon(rule, finished_at=finished_at, air=air, poured=poured, readings=readings, test=test)
    hours = max(hours, least_hours(rule))
    return KnownWait(ends_at=later(finished_at, hours), reason=f"{asked(rule)} {says}")


def _reckon(
    rule: LinkRule,
    *,
    finished_at: datetime,
    air: SiteAir,
    poured: Poured,
    readings: Readings,
    test: StrengthTest | None,
) -> tuple[float, str]:
    assert rule.fraction is not None
    since_h = hours_since_epoch(finished_at)
    # Hours of the pour's own clock; the air of each is that of the clock hour its middle lies in.
    first = math.floor(since_h + 0.5)
    probes = [(hours_since_epoch(at) - since_h, temp_c) for at, temp_c in readings.probes]
    try:
        for count in (USUAL_H, LONGEST_H):
            temps_c = placed_temps_c(air.hours(first, count).air_temp_c, poured, probes)
            try:
                hours = hours_to_fraction(temps_c, rule.fraction, law=poured.law, rate=poured.rate, test=test)
            except OutsideValidRange:
                raise
            except CannotDo as cannot:
                if cannot.code == "strength.too_weak":
                    return ENGINEER_H, _said("waits.too_weak", says=cannot.says, remedy=cannot.remedy, hours=ENGINEER_H)
                if cannot.code not in ("strength.not_reached", "strength.test_outside"):
                    raise
                continue
            return hours, _says(rule, hours, temps_c, air.hours(first, count).known, probes, test)
    except OutsideValidRange as outside:
        return rule.fixed_hours, _said("waits.fixed_outside", hours=rule.fixed_hours, says=outside.says)
    return LONGEST_H, _said("waits.strength_cold", hours=LONGEST_H)


def placed_temps_c(air_c: Array, poured: Poured, probes: Sequence[tuple[float, float]]) -> Array:
    """Mean concrete temperature of each hour after the pour, each probe's reading at its nearest hour mark."""
    marks = np.full(len(air_c) + 1, np.nan)
    for age_h, temp_c in sorted(probes):
        marks[min(max(round(age_h), 0), len(air_c))] = temp_c
    placed_c = float(delivered_temp_c(float(air_c[0])))
    return step_means_c(concrete_temps_c(air_c, placed_c=placed_c, member=poured.member, probe_temps_c=marks))


def _says(
    rule: LinkRule,
    hours: float,
    temps_c: Array,
    known: Array,
    probes: Sequence[tuple[float, float]],
    test: StrengthTest | None,
) -> str:
    lasts = max(hours, least_hours(rule))
    count = max(1, math.ceil(lasts))
    floor = never_under(rule, lasts)
    if test is not None:
        tested = {"measured": 100 * test.fraction, "test_age": test.after_h}
        return _said("waits.strength_test", hours=lasts, **tested) + floor
    if probes:
        age_h, probe_c = max(probes)
        temp_c = float(temps_c[:count].mean())
        return (
            _said(
                "waits.strength_probe",
                probe=probe_c,
                probe_us=f_from_c(probe_c),
                probe_age=max(age_h, 0.0),
                hours=lasts,
                temp=temp_c,
                temp_us=f_from_c(temp_c),
            )
            + floor
        )
    return reckoned(lasts, temps_c[:count], known[:count]) + floor


def _said(code: str, **facts: object) -> str:
    return sentence_for(code, facts)[0]
