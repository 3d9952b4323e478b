"""How much of everything a pool takes, in the units it is bought in."""

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.domain.design import PoolDesign
from jobs.domain.facts import TaskFacts
from jobs.domain.takeoff import quantities
from planner.dayplans.domain.loads.quantities import LITRES_PER_M3, READY_MIX, unit_of
from planner.dayplans.facts import UnitCode
from planner.dayplans.presenters.inflow import kind_of, source_words
from planner.dayplans.presenters.measures import Gettext, gettext_noop, measure

AMOUNTS: tuple[tuple[str, UnitCode, str], ...] = (
    ("excavation_m3", "m3", gettext_noop("Dig, in the ground")),
    ("spoil_m3", "m3", gettext_noop("Spoil to haul, loose")),
    ("base_m3", "m3", gettext_noop("Stone under the floor")),
    ("slab_pour_m3", "m3_ordered", gettext_noop("Concrete for the floor, to order")),
    ("wall_pour_m3", "m3_ordered", gettext_noop("Concrete for walls and coping, to order")),
    ("floor_steel_kg", "kg", gettext_noop("Floor steel")),
    ("wall_m2", "m2", gettext_noop("Wall forms")),
    ("perimeter_m", "m", gettext_noop("Water line around")),
    ("backfill_m3", "m3", gettext_noop("Backfill, placed")),
    ("deck_m2", "m2", gettext_noop("Deck")),
    ("liner_m2", "m2", gettext_noop("Inner face")),
    ("pipe_m", "m", gettext_noop("Buried pipe")),
    ("fence_m", "m", gettext_noop("Barrier")),
    ("water_m2", "m2", gettext_noop("Water surface")),
)


# What is counted, of one and of more.
COUNTED: dict[str, tuple[str, str]] = {
    "bond_points_each": (gettext_noop("{count} bond point"), gettext_noop("{count} bond points")),
    "care_visits_each": (gettext_noop("{count} visit"), gettext_noop("{count} visits")),
    "equipment_each": (gettext_noop("{count} piece of equipment"), gettext_noop("{count} pieces of equipment")),
    "fittings_each": (gettext_noop("{count} fitting"), gettext_noop("{count} fittings")),
    "returns_over_two_each": (gettext_noop("{count} more return"), gettext_noop("{count} more returns")),
}
FILLED_BY = {
    "hose": gettext_noop("Fill hose"),
    "hydrant": gettext_noop("Hydrant for the fill"),
    "tanker": gettext_noop("Water tankers"),
}
PIECES = (gettext_noop("{count} piece"), gettext_noop("{count} pieces"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """One quantity in words."""

    label: str
    words: str


def amounts_of(design: PoolDesign, gettext: Gettext = str) -> tuple[Amount, ...]:
    """The take-off of a design, water first."""
    return tuple(_amounts(design, gettext))


def _amounts(design: PoolDesign, gettext: Gettext) -> Iterator[Amount]:
    taken = quantities(design, cut_on_the_way=False)
    yield Amount(label=gettext("Water"), words=measure(taken["water_m3"] * LITRES_PER_M3, "l", gettext))
    for key, unit, label in AMOUNTS:
        if taken.get(key):
            yield Amount(label=gettext(label), words=measure(taken[key], unit, gettext))
    if design.water:
        for source in design.water:
            yield Amount(label=gettext(FILLED_BY[kind_of(source)]), words=source_words(source, gettext))
        return
    flow = gettext("{flow} an hour").format(flow=measure(design.flow_m3_h * LITRES_PER_M3, "l", gettext))
    yield Amount(label=gettext("Fill hose"), words=flow)


def task_amount(task: TaskFacts, gettext: Gettext = str) -> str:
    """A task's quantity in words; empty for a fixed job, or in a unit the page does not know."""
    unit = unit_of(task)
    if not task.quantity or unit is None:
        return ""
    if unit == "count":
        return _pieces(task, gettext)
    if task.kind == "clock":
        return gettext("{amount} of water").format(amount=measure(task.quantity * LITRES_PER_M3, "l", gettext))
    if READY_MIX in task.bookings and unit == "m3":
        return gettext("{amount} of concrete").format(amount=measure(task.quantity, "m3_ordered", gettext))
    return measure(task.quantity, unit, gettext)


def _pieces(task: TaskFacts, gettext: Gettext) -> str:
    if task.unit == "each" and task.quantity == 1:
        return ""
    one, more = COUNTED.get(task.unit, PIECES)
    return gettext(one if task.quantity == 1 else more).format(count=f"{task.quantity:g}")
