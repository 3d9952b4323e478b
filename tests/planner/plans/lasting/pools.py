"""Pools, tasks and worlds of the tests of durations."""

from dataclasses import replace
from typing import Any

from jobs.domain.facts import JobFacts, TaskFacts
from jobs.domain.takeoff import quantities
from planner.plans.domain.lasting.timed import timed
from planner.plans.domain.world import World
from tests.jobs.domain.pools import worked_design
from tests.planner.dayplans.domain.worlds import job, sky, task, world
from tests.planner.forecast_domain.skies import even_climate

WALLS = task("pour_walls", 1, bookings=("ready_mix",), unit="m3")
# Walls of a deep shell: the forms, not the usual rise, decide how fast they may be filled.
TALL: dict[str, Any] = {"form_height_m": 2.44, "core_m": 0.2}


def pool_of(*tasks: TaskFacts, **changes: Any) -> JobFacts:
    """A job of the worked pool with the take-off's quantities on its tasks."""
    pool = worked_design(**changes)
    amounts = quantities(pool)
    keys = {"pour_walls": "wall_pour_m3", **{f"fill_{number}": f"fill_{number}_m3" for number in range(1, 6)}}
    given = tuple(replace(one, quantity=amounts[keys[one.key]]) if one.key in keys else one for one in tasks)
    return job(*given, pool=pool)


def at_air(job_facts: JobFacts, air_c: float, **more: Any) -> World:
    """A world that knows only its usual temperature, with its durations reckoned."""
    one = world(job_facts, skies={}, **more)
    return timed(replace(one, climate=even_climate(air=(air_c, air_c))))


def minutes_of(one: World, key: str) -> int:
    return one.jobs[0].task(key).work_minutes


__all__ = ["TALL", "WALLS", "at_air", "minutes_of", "pool_of", "sky"]
