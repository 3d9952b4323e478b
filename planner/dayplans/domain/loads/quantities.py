"""How much: the take-off's quantity in a unit the page knows, planned time, and ready-mix trucks."""

from datetime import datetime, timedelta
from math import ceil

from jobs.domain.errors import CannotDo
from jobs.domain.facts import TaskFacts
from jobs.domain.order.pump import pump_for
from jobs.domain.takeoff import truck_interval_minutes, trucks
from jobs.science.wall_pour import DELIVERY_LIMIT_H, WallPourPlan, cover_within_h
from jobs.words import sentence_for
from planner.dayplans.domain.day import Day, Piece, rule_of
from planner.dayplans.facts import Quantity, Truck, UnitCode
from planner.dayplans.presenters.measures import measure
from planner.plans.domain.lasting.rules import setup_of
from planner.plans.domain.lasting.wall import concrete_at, has_walls, is_wall_pour, plan_of_pour

UNITS: dict[str, UnitCode] = {"m": "m", "m2": "m2", "m3": "m3", "kg": "kg", "each": "count"}
READY_MIX = "ready_mix"
# Common practice, no source: a usual full load, 10 cubic yards.
LOAD_M3 = 7.6
# Common practice, no source: plants book by the five minutes.
BOOKED_MINUTES = 5
LITRES_PER_M3 = 1000.0
# Slabs are placed load after load and finished after; the planned hours hold both.
PLACED_AT_ONCE = ("slab_pour", "deck_pour")
SPRAYED = "spray_pour"
# From plant to site, where no pool says it, and the least in which a load is placed: common practice, no source.
USUAL_TRAVEL_H, LEAST_APART_H = 0.5, 0.5
HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)


def quantities_of(piece: Piece) -> tuple[Quantity, ...]:
    """The task's quantity and, where the work runs over several days, the planned time of all of it."""
    task = piece.task
    found = []
    unit = unit_of(task)
    if task.quantity and unit is not None and not _is_one_job(piece):
        label, value = _label(piece), task.quantity
        if _is_water(piece):
            value, unit = value * LITRES_PER_M3, "l"
        elif READY_MIX in task.bookings and unit == "m3":
            unit = "m3_ordered"
        found.append(Quantity(label=label if piece.whole else f"{label}, all days", value=value, unit=unit))
    if task.concrete_m3:
        found.append(Quantity(label="Concrete to order", value=task.concrete_m3, unit="m3_ordered"))
    if not piece.whole:
        found.append(Quantity(label="Planned time, all days", value=task.work_minutes / 60, unit="h"))
    if task.remaining_minutes is not None and task.is_open and task.remaining_minutes != task.work_minutes:
        found.append(Quantity(label="Still to do, as reported", value=task.remaining_minutes / 60, unit="h"))
    return tuple(found)


def quantity_note(task: TaskFacts) -> str:
    """A quantity in a unit the page does not know, as the office entered it."""
    if not task.quantity or not task.unit or unit_of(task) is not None:
        return ""
    return f"Quantity as entered: {task.quantity:g} {task.unit}."


def unit_of(task: TaskFacts) -> UnitCode | None:
    """The page's unit of a task's quantity; ``None`` for one it does not know."""
    return UNITS.get(task.unit.rpartition("_")[2])


def _key(piece: Piece) -> str:
    rule = rule_of(piece.job, piece.task)
    return rule.quantity if rule is not None else ""


def _is_one_job(piece: Piece) -> bool:
    return unit_of(piece.task) == "count" and _key(piece) in ("", "each") and piece.task.quantity == 1


def _is_water(piece: Piece) -> bool:
    return piece.task.unit == "m3" and _key(piece).startswith(("water_", "fill_"))


def _label(piece: Piece) -> str:
    name = _key(piece).rpartition("_")[0].replace("_", " ")
    if not name:
        return "Quantity"
    if name == "inner":
        return "Inner face"
    if READY_MIX in piece.task.bookings and piece.task.unit == "m3":
        return f"Concrete to order, {name}"
    return name.capitalize()


def trucks_of(day: Day, piece: Piece) -> tuple[Truck, ...]:
    """Ready-mix trucks of a pour: equal loads, spaced so that the pour neither waits nor queues.

    A wall pour's come from its own plan at the concrete's temperature on the day. Elsewhere placing is reckoned even
    over the planned hours after what is prepared and set up. None for a pour that has started, or whose volume is not
    known.
    """
    task, concrete_m3 = piece.task, concrete_of(piece.task)
    if READY_MIX not in task.bookings or not concrete_m3 or task.started_at is not None:
        return ()
    wall = _wall_plan(day, piece) if is_wall_pour(piece.job, task) else None
    if isinstance(wall, WallPourPlan):
        first_at = wall.starts_at
        return tuple(
            Truck(at=first_at + _booked((load.arrives_at - first_at) / MINUTE), volume_m3=load.volume_m3)
            for load in wall.loads
        )
    setup = setup_of(piece.job, task)
    begins_at = piece.stay_work_at if piece.stay_work_at < piece.stay_end_at else piece.stay_start_at
    placing = piece.stay_end_at - begins_at - setup
    if placing <= timedelta(0):
        setup, placing = timedelta(0), piece.stay_end_at - begins_at
    count = trucks(concrete_m3, piece.job.pool.truck_load_m3 if piece.job.pool is not None else LOAD_M3)
    pace_m3_h = concrete_m3 / (placing / HOUR)
    if task.exposure == SPRAYED:
        # The nozzle goes no faster for a load that waits: smaller loads are young enough when they are through.
        count = max(count, ceil(concrete_m3 / (pace_m3_h * _discharged_within_h(piece))))
    load_m3 = concrete_m3 / count
    interval = truck_interval_minutes(load_m3, pace_m3_h)
    first_at = begins_at + setup
    if task.exposure in PLACED_AT_ONCE:
        interval = min(interval, _apart_minutes(day, piece, first_at))
    return tuple(Truck(at=first_at + _booked(number * interval), volume_m3=load_m3) for number in range(count))


def _apart_minutes(day: Day, piece: Piece, first_at: datetime) -> float:
    """The longest between two loads of a slab [min]: each is discharged in time, and meets concrete that is still open.

    Source: astm_c94; psu_setting, and that a quarter of initial set is left for it: common practice, no source.
    """
    temp_c = concrete_at(day.waits.air_at(piece.task.site.id), first_at)
    return 60 * min(_discharged_within_h(piece), cover_within_h(temp_c, piece.task.admixture))


def _discharged_within_h(piece: Piece) -> float:
    """From the arrival of a load to the end of its discharge [h]. Source: astm_c94."""
    supply = piece.job.pool.supply if piece.job.pool is not None else None
    limit_h, travel_h = (supply.limit_h, supply.travel_h) if supply is not None else (DELIVERY_LIMIT_H, USUAL_TRAVEL_H)
    return max(limit_h - travel_h, LEAST_APART_H)


def concrete_of(task: TaskFacts) -> float:
    """The ready-mix of a task [m3], where the plan knows it."""
    return task.quantity or 0.0 if task.unit == "m3" else task.concrete_m3


def trucks_note(day: Day, piece: Piece) -> str:
    """How the truck times came about, or that there are none to give."""
    if READY_MIX not in piece.task.bookings or piece.task.started_at is not None:
        return ""
    if not concrete_of(piece.task):
        return " ".join(sentence_for("dayplans.no_volume", {"field": _volume_field(piece)}))
    wall = _wall_plan(day, piece)
    if isinstance(wall, WallPourPlan):
        alone = is_wall_pour(piece.job, piece.task)
        floor = "" if alone else f"Walls after the floor, from about {day.said(_booked_at(wall.starts_at))}. "
        trucks_follow = "Truck times follow from it" if alone else "Truck times are equal loads at the planned pace"
        return (
            f"{floor}Wall in {len(wall.lifts)} {'pass' if len(wall.lifts) == 1 else 'passes'} at no more than "
            f"{measure(wall.rise_m_h, 'm_per_h')} of rise, limited by the {wall.limited_by.replace('_', ' ')}; each "
            f"pass covered within {wall.cover_within_minutes:.0f} minutes. {trucks_follow}; the form "
            f"maker's rating, the plant's times and the ticket of each load decide.{_pump_note(piece, wall)}"
        )
    refused = f"{wall} " if wall is not None else ""
    spaced = "at the planned pace"
    if piece.task.exposure in PLACED_AT_ONCE:
        spaced = (
            "at the planned pace, close enough that each is discharged in time (ASTM C94) and meets concrete that is "
            "still open"
        )
    if piece.task.exposure == SPRAYED:
        spaced = "at the planned pace, small enough that each is discharged in time (ASTM C94)"
    return (
        f"{refused}Truck times are a rule of thumb, equal loads {spaced}; the plant's times and the ticket of each "
        "load decide."
    )


def _volume_field(piece: Piece) -> str:
    """The quantity of the design that the concrete's volume comes from."""
    rule = rule_of(piece.job, piece.task)
    return (rule.concrete or rule.quantity) if rule is not None else "quantity"


def _pump_note(piece: Piece, wall: WallPourPlan) -> str:
    """What places the wall, by reach and rate; nothing where nobody paced the reach."""
    pool = piece.job.pool
    if pool is None or pool.pump_reach_m is None:
        return ""
    try:
        pump = pump_for(reach_m=pool.pump_reach_m, rate_m3_h=wall.rate_m3_h)
    except CannotDo as cannot:
        return f" {cannot}"
    return (
        f" To place {measure(wall.rate_m3_h, 'm3_per_h')} at {measure(pool.pump_reach_m, 'm')}: {pump.title.lower()} "
        f"(a rule of thumb; the pump hire decides). {pump.caution}"
    )


def _wall_plan(day: Day, piece: Piece) -> WallPourPlan | CannotDo | None:
    """The plan of the walls of a pour on the day, or why there is none; ``None`` for other work."""
    if not has_walls(piece.job, piece.task):
        return None
    try:
        air = day.waits.air_at(piece.task.site.id)
        return plan_of_pour(piece.job, piece.task, starts_at=piece.stay_work_at, air=air)
    except CannotDo as cannot:
        return cannot


def _booked_at(at: datetime) -> datetime:
    return at.replace(minute=0, second=0, microsecond=0) + _booked(at.minute)


def _booked(minutes: float) -> timedelta:
    return timedelta(minutes=round(minutes / BOOKED_MINUTES) * BOOKED_MINUTES)
