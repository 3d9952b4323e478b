"""Young concrete in the cold: how long it is protected, whether it freezes too soon, how its blankets come off."""

from collections.abc import Sequence
from datetime import datetime, timedelta

import numpy as np

from jobs.domain.design import PoolDesign
from jobs.domain.errors import OutsideValidRange
from jobs.domain.facts import TaskFacts
from jobs.science.cold_hot import (
    COOLING_C_PER_HOUR,
    FREEZES_AT_C,
    cools_too_fast,
    first_frost_h,
    is_cold_weather,
    least_placed_temp_c,
    protection_days,
)
from jobs.science.concrete_temperature import Member, concrete_temps_c, slab
from planner.forecast.domain.series import HOUR
from planner.plans.domain.ready.air import SiteAir, hour_of, hours_since_epoch
from planner.plans.domain.ready.concrete import Curing, Poured, poured_in, section_m
from planner.plans.domain.ready.placed import placed_temps_c
from planner.watch.domain.report import Reading, State
from planner.watch.domain.thresholds import AIR_MARGIN_C

# Rows of the table of protection days (aci_306_protection). Floors, walls and shells carry forms, people and fill
# within days; a deck and a finish carry nothing: which row each takes is common practice, no source.
CARRIES: frozenset[str] = frozenset({"slab_pour", "wall_pour", "shell_pour", "spray_pour"})
# Cement that gains fast counts as the table's quick concrete.
QUICK_CEMENT = "R"
A_DAY_OF_HOURS = 24


def protected_for(task: TaskFacts, pool: PoolDesign | None) -> timedelta:
    """How long the concrete of a task is protected in cold weather, from the end of placing."""
    service = "part_load_exposed" if task.exposure in CARRIES else "no_load_exposed"
    cement = pool.cement if pool is not None else ""
    return timedelta(days=protection_days(service, quick=task.admixture == "accelerator" or cement == QUICK_CEMENT))


class YoungConcrete:
    """The concrete of one task from the end of its placing, in the air of its site.

    Parameters
    ----------
    probes : sequence of (datetime, float)
        Readings in it: moment and temperature [degC].
    """

    def __init__(
        self,
        *,
        task: TaskFacts,
        pool: PoolDesign | None,
        curing: Curing,
        air: SiteAir,
        placed_at: datetime,
        until_at: datetime,
        probes: Sequence[tuple[datetime, float]] = (),
    ) -> None:
        self._air = air
        self._placed_at = placed_at
        self._until_at = until_at
        self._section_m = section_m(task, pool)
        # Hours of the pour's own clock; the air of each is that of the clock hour its middle lies in.
        self._first = int(hours_since_epoch(placed_at) + 0.5)
        self._hours = max(1, round((until_at - placed_at) / HOUR))
        self._poured = _poured(task, pool, curing)
        self._probes = [((at - placed_at) / HOUR, temp_c) for at, temp_c in probes]

    def readings(self, from_at: datetime, until_at: datetime) -> tuple[Reading, ...]:
        """Freezing before it can bear it, and the end of its protection, where a window holds them."""
        found = (self._freezing(from_at, until_at), self._uncovering(from_at, until_at))
        return tuple(one for one in found if one is not None)

    def _freezing(self, from_at: datetime, until_at: datetime) -> Reading | None:
        """The coldest hour before its strength bears one freezing, as it stands without a blanket."""
        if self._poured is None:
            return None
        poured = self._poured
        hours = self._air.hours(self._first, self._hours)
        temps_c = placed_temps_c(hours.air_temp_c, poured, self._probes)
        frost = first_frost_h(temps_c, specified_mpa=poured.specified_mpa, law=poured.law)
        begins = min(max(0, int((from_at - self._placed_at) / HOUR)), self._hours - 1)
        ends = min(max(begins + 1, round((until_at - self._placed_at) / HOUR)), self._hours)
        state: State = "clear"
        worst = begins + int(np.argmin(temps_c[begins:ends]))
        if frost is not None and frost < ends:
            state, worst = "reached", frost
        elif frost is not None or (temps_c[worst] < FREEZES_AT_C + AIR_MARGIN_C and self._is_weak(temps_c, worst)):
            state = "near"
        return Reading(
            limit="freezes_young_c",
            unit="degc",
            state=state,
            limit_value=FREEZES_AT_C,
            worst=float(temps_c[worst]),
            worst_at=self._placed_at + worst * HOUR,
            known_share=float(hours.known[begins:ends].mean()),
            source="aci_306; the temperature: common practice, no source",
        )

    def _is_weak(self, temps_c: np.ndarray, hour: int) -> bool:
        """Whether a freezing in that hour would find it too weak."""
        assert self._poured is not None
        frozen = np.where(np.arange(len(temps_c)) == hour, FREEZES_AT_C - 1.0, temps_c)
        return first_frost_h(frozen, specified_mpa=self._poured.specified_mpa, law=self._poured.law) is not None

    def _uncovering(self, from_at: datetime, until_at: datetime) -> Reading | None:
        """The first hours after its protection, where blankets were needed and come off inside the window."""
        if not from_at <= self._until_at <= until_at:
            return None
        while_covered = self._air.hours(self._first, self._hours).air_temp_c
        if not is_cold_weather(float(while_covered.min())):
            return None
        kept_c = least_placed_temp_c(self._section_m)
        after = self._air.hours(hour_of(self._until_at), A_DAY_OF_HOURS)
        bare = Member(time_constant_h=slab(self._section_m).time_constant_h, hydration_rise_c=0.0)
        temps_c = concrete_temps_c(after.air_temp_c, placed_c=kept_c, member=bare)
        fast = cools_too_fast(temps_c)
        steepest = int(np.argmin(np.diff(temps_c)))
        return Reading(
            limit="uncovered_c",
            unit="degc",
            state="reached" if fast else "clear",
            limit_value=float(temps_c[steepest]) - COOLING_C_PER_HOUR,
            worst=float(temps_c[steepest + 1]),
            worst_at=self._until_at + (steepest + 1) * HOUR,
            known_share=float(after.known.mean()),
            source="ufgs_cold; the temperature: common practice, no source",
        )


def _poured(task: TaskFacts, pool: PoolDesign | None, curing: Curing) -> Poured | None:
    try:
        return poured_in(task, pool, curing)
    except OutsideValidRange:
        # A thickness outside the model: its air is watched all the same.
        return None
