"""The spread of the hand-overs in words: a line a pool."""

from collections.abc import Sequence
from datetime import date

from planner.plans.outcomes.spread import HandOver

SHARES = ((0.1, "one in ten"), (0.5, "half"), (0.8, "four in five"), (0.9, "nine in ten"))


def spread_lines(found: Sequence[HandOver]) -> list[str]:
    """Every pool's line, under what it says and what it leaves out."""
    count = len(found[0].days) if found else 0
    return [
        f"Hand-over over {count} weathers; what is hit waits, or all that is left is laid anew where that is cheaper",
        *(f"  {hand_over_line(one)}" for one in found),
    ]


def hand_over_line(one: HandOver) -> str:
    """When so many of the weathers have a pool handed over, beside the plan, and the task that decides it."""
    if set(one.days) == {one.planned_on}:
        return f"{one.job}: {_day(one.planned_on)} in every weather, as planned."
    said = [f"{words} by {_day(on)}" if (on := one.by(share)) else f"{words} later still" for share, words in SHARES]
    driver = f"; mostly for: {one.driver}" if one.driver else ""
    return f"{one.job}: planned for {_day(one.planned_on)}; of the weathers {', '.join(said)}{driver}."


def _day(on: date) -> str:
    return f"{on:%a} {on.day} {on:%B}"
