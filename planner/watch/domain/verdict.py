"""From what is known of a start to one of four verdicts, and how a verdict stands against noise."""

from dataclasses import dataclass

from planner.watch.domain.report import Verdict
from planner.watch.domain.thresholds import CHANCE_NOISE, LIKELY

SEVERITY = {Verdict.NO_LIMIT: 0, Verdict.PREPARE: 1, Verdict.MOVE: 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What a verdict is made from.

    Attributes
    ----------
    usable : there is a forecast, it is neither stale nor down, and it knows enough hours.
    complete : it knows every hour of every limit it is asked for.
    forbidden : a known value breaks a limit, and nothing to prepare lifts that.
    near : a known value is near a limit, or reaches one that does not forbid or that what is to be prepared lifts.
    pays : a measure saves more than it costs.
    chance : chance [0..1] of being hit before the work is safe.
    going_dollars, moving_dollars : expected dollars of going with its measures, and of moving.
    """

    usable: bool
    complete: bool
    forbidden: bool
    near: bool
    pays: bool
    chance: float
    going_dollars: int
    moving_dollars: int


def verdict_of(case: Case) -> Verdict:
    """The verdict on one start.

    Returns
    -------
    Verdict
        ``unknown`` without a usable forecast; ``move`` where the sky forbids, or where going costs more than moving
        (at equal dollars the plan stays: the cost-loss rule acts when ``p > C/L``); ``prepare`` where a value is near
        a limit, a measure pays for itself or a hit is as likely as not; ``unknown`` where nothing of this holds but
        hours are missing; else ``no limit reached``.

    >>> calm = dict(usable=True, complete=True, forbidden=False, near=False, pays=False, chance=0.1)
    >>> verdict_of(Case(**calm, going_dollars=1500, moving_dollars=1500)).value
    'no limit reached'
    >>> verdict_of(Case(**calm, going_dollars=1501, moving_dollars=1500)).value
    'move'
    """
    if not case.usable:
        return Verdict.UNKNOWN
    if case.forbidden or case.going_dollars > case.moving_dollars:
        return Verdict.MOVE
    if case.near or case.pays or case.chance >= LIKELY:
        return Verdict.PREPARE
    return Verdict.NO_LIMIT if case.complete else Verdict.UNKNOWN


def raised(chance: float) -> float:
    """A chance as the next run may well state it, ``p + min(0.15, p)``, at most 1.

    >>> raised(0.0), raised(0.05), raised(0.5), raised(0.95)
    (0.0, 0.1, 0.65, 1.0)
    """
    return min(1.0, chance + min(CHANCE_NOISE, chance))


def steadied(previous: Verdict | None, fresh: Verdict, held: Verdict) -> Verdict:
    """A verdict that does not flip on noise: it grows at once and eases only when it clearly may.

    Parameters
    ----------
    previous : verdict of the run before on the same start; ``None`` where there is none.
    fresh : verdict of this run.
    held : verdict of this run with its chances raised and its margins widened.

    Returns
    -------
    Verdict
        ``fresh`` where it is as severe as before; else no milder than ``held`` and no more severe than before. To and
        from ``unknown`` it changes at once.

    >>> steadied(Verdict.MOVE, Verdict.PREPARE, Verdict.MOVE).value
    'move'
    >>> steadied(Verdict.MOVE, Verdict.NO_LIMIT, Verdict.PREPARE).value
    'prepare'
    """
    if previous is None or Verdict.UNKNOWN in (previous, fresh, held):
        return fresh
    if SEVERITY[fresh] >= SEVERITY[previous]:
        return fresh
    kept = min(previous, held, key=SEVERITY.__getitem__)
    return max(fresh, kept, key=SEVERITY.__getitem__)
