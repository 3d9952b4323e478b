"""From a build method and the quantities of one pool: its tasks with durations."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from jobs.domain.errors import CannotDo
from jobs.domain.method import (
    MORNING_VISIT_MINUTES,
    BuildMethod,
    GearHoldRule,
    HoldRule,
    LinkRule,
    TaskRule,
)

QUARTER_MINUTES = 15

# Floating point leaves 300 / 100 + 0.5 a hair over 3.5; a ten-thousandth of a quarter hour is no work.
ROUNDING_SLACK = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class DerivedTask:
    """A task of one pool.

    Attributes
    ----------
    quantity : amount of ``unit`` to be done.
    work_minutes : minutes it takes the listed crew, rounded up to quarter hours; for a visit, its span; for a
        fill, its minutes at the given flow.
    crew_minutes : person-minutes of the listed crew.
    concrete_m3 : ready-mix to order for it, where its own quantity is something else [m3]; 0 if none.
    """

    key: str
    rule: TaskRule
    quantity: float
    unit: str
    work_minutes: int
    crew_minutes: int
    concrete_m3: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DerivedGearHold:
    """``amount`` pieces of gear held from the start of one task to the end of another."""

    gear: str
    from_task: str
    until_task: str
    amount: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DerivedJob:
    """One pool as tasks, links, holds and gear, in build order."""

    method: str
    tasks: tuple[DerivedTask, ...]
    links: tuple[LinkRule, ...]
    holds: tuple[HoldRule, ...]
    gear_holds: tuple[DerivedGearHold, ...]


def rounded_up_minutes(hours: float) -> int:
    """Hours as minutes, rounded up to quarter hours.

    Parameters
    ----------
    hours : float
        Duration [h], not negative.

    Returns
    -------
    int
        Minutes, a multiple of 15.

    Examples
    --------
    >>> rounded_up_minutes(6.09)
    375
    >>> rounded_up_minutes(0.1 + 0.2 + 0.2)
    30
    """
    return math.ceil(hours * 60 / QUARTER_MINUTES - ROUNDING_SLACK) * QUARTER_MINUTES


def derive_job(
    method: BuildMethod,
    quantities: Mapping[str, float],
    *,
    soil: str,
    flow_m3_h: float | None = None,
    rate_factor: float = 1.0,
    soil_slows: bool = True,
    day_minutes: int = 480,
) -> DerivedJob:
    """Tasks, links, holds and gear of one pool.

    ``duration = setup + quantity / rate``, rounded up to quarter hours; a fill is ``quantity / flow``.

    Parameters
    ----------
    method : BuildMethod
        As read by the loader.
    quantities : Mapping[str, float]
        Take-off of the design by quantity key, in the units of the vocabulary, each not negative.
    soil : str
        Soil of the site, a key of ``method.dig_factors``.
    flow_m3_h : float, optional
        Flow of the hose [m3/h], positive; the method's usual flow if not given.
    rate_factor : float
        Multiplies every crew's rate, positive: 0.8 for a crew's first pool, or what the office learned.
    soil_slows : bool
        Whether the dig factor of the soil applies.
    day_minutes : int
        Length of the working day [min]: the span of a visit that takes the whole day.

    Raises
    ------
    CannotDo
        For an unknown soil, a missing or negative quantity, a rate factor or flow that is not positive.
    """
    if soil not in method.dig_factors:
        raise CannotDo("method.unknown_soil", field="soil", value=soil, known=", ".join(sorted(method.dig_factors)))
    flow = method.flow_m3_h if flow_m3_h is None else flow_m3_h
    for name, value in (("flow_m3_h", flow), ("rate_factor", rate_factor), ("day_minutes", day_minutes)):
        if not (math.isfinite(value) and value > 0):
            raise CannotDo("method.not_positive", field=name, value=value)
    soil_factor = method.dig_factors[soil] if soil_slows else 1.0
    tasks = tuple(
        _derived_task(
            rule,
            quantities,
            factor=rate_factor * (soil_factor if rule.slowed_by_soil else 1.0),
            flow_m3_h=flow,
            day_minutes=day_minutes,
        )
        for rule in method.tasks
    )
    return DerivedJob(
        method=method.key,
        tasks=tasks,
        links=method.links,
        holds=method.holds,
        gear_holds=_gear_holds(method, quantities),
    )


def stretched_minutes(
    listed_minutes: int, *, listed_crew: int, present: int, minimum: int, cap: float = 1.3, setup_minutes: int = 0
) -> int | None:
    """Minutes of a task when another number of people came.

    The rate is multiplied by ``present / listed_crew``, never above ``cap`` (small basins crowd: estimate); the
    set-up stays as it is.

    Parameters
    ----------
    listed_minutes : int
        Minutes for the listed crew, not negative.
    listed_crew, present, minimum : int
        People listed for the task, people there, fewest that may start it.
    cap : float
        Highest rate factor of a bigger crew, at least 1.
    setup_minutes : int
        Part of ``listed_minutes`` that no head count changes [min].

    Returns
    -------
    int or None
        Minutes rounded up to quarter hours; ``None`` when fewer than ``minimum`` came and the task waits.

    Examples
    --------
    >>> stretched_minutes(375, listed_crew=4, present=3, minimum=2)
    510
    >>> stretched_minutes(375, listed_crew=4, present=6, minimum=2)
    300
    >>> stretched_minutes(375, listed_crew=4, present=1, minimum=2) is None
    True
    """
    for name, value, least in (
        ("listed_minutes", listed_minutes, 0),
        ("listed_crew", listed_crew, 0),
        ("present", present, 0),
        ("cap", cap, 1),
        ("setup_minutes", setup_minutes, 0),
    ):
        if value < least:
            raise CannotDo("method.below", field=name, value=value, least=least)
    if listed_crew == 0:
        return listed_minutes
    if present < max(minimum, 1):
        return None
    setup = min(setup_minutes, listed_minutes)
    return rounded_up_minutes((setup + (listed_minutes - setup) / min(present / listed_crew, cap)) / 60)


def _derived_task(
    rule: TaskRule, quantities: Mapping[str, float], *, factor: float, flow_m3_h: float, day_minutes: int
) -> DerivedTask:
    quantity = _quantity(rule, quantities)
    if rule.kind == "visit":
        minutes = day_minutes if rule.visit_span == "day" else min(MORNING_VISIT_MINUTES, day_minutes)
    else:
        rate = flow_m3_h if rule.by_flow else (rule.rate or 0.0) * factor
        hours = rule.setup_hours + (quantity / rate if quantity else 0.0)
        minutes = rounded_up_minutes(hours)
    return DerivedTask(
        key=rule.key,
        rule=rule,
        quantity=quantity,
        unit=_unit(rule.quantity),
        work_minutes=minutes,
        crew_minutes=minutes * rule.crew_size if rule.kind == "work" else 0,
        concrete_m3=_asked(quantities, rule.concrete, asked_by=rule.title) if rule.concrete else 0.0,
    )


def _unit(quantity: str) -> str:
    """What the number is a number of: the unit that ends the key, or for pieces the key, which says of what."""
    unit = quantity.rpartition("_")[2]
    return quantity if unit == "each" else unit


def _quantity(rule: TaskRule, quantities: Mapping[str, float]) -> float:
    if not rule.quantity:
        return 0.0
    if rule.quantity == "each":
        return 1.0
    return _asked(quantities, rule.quantity, asked_by=rule.title, if_absent=rule.quantity_if_absent)


def _asked(quantities: Mapping[str, float], key: str, *, asked_by: str, if_absent: float | None = None) -> float:
    value = quantities.get(key, if_absent)
    if value is None:
        raise CannotDo("method.no_quantity", field=key, task=asked_by)
    if not (math.isfinite(value) and value >= 0):
        raise CannotDo("method.bad_quantity", field=key, task=asked_by, value=value)
    return float(value)


def _gear_holds(method: BuildMethod, quantities: Mapping[str, float]) -> tuple[DerivedGearHold, ...]:
    long_holds = tuple(_long_hold(rule, quantities) for rule in method.gear_holds)
    held_long = {hold.gear for hold in long_holds}
    own = tuple(
        DerivedGearHold(gear=gear, from_task=task.key, until_task=task.key, amount=1)
        for task in method.tasks
        for gear in task.gear
        if gear not in held_long
    )
    return long_holds + own


def _long_hold(rule: GearHoldRule, quantities: Mapping[str, float]) -> DerivedGearHold:
    amount = 1
    if rule.per_quantity:
        needed = _asked(quantities, rule.per_quantity, asked_by=rule.gear)
        amount = max(1, math.ceil(needed / rule.per_amount - ROUNDING_SLACK))
    return DerivedGearHold(gear=rule.gear, from_task=rule.from_task, until_task=rule.until_task, amount=amount)
