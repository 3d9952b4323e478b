"""How good told chances were: Brier score, skill, reliability, and how the score comes about.

Source: Brier, Monthly Weather Review 78 (1950), 1; Murphy, Journal of Applied Meteorology 12 (1973), 595.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

# Edges of the classes that told chances are sorted into [percent]; the last class holds 100.
CLASS_EDGES = (0, 5, 15, 25, 35, 45, 55, 65, 75, 85, 101)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """How many windows were told one chance [percent], and how many of them were wet."""

    percent: int
    windows: int
    wet: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReliabilityBin:
    """Windows told about the same chance: the mean told, the share that was wet, how many."""

    told: float
    seen: float
    windows: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """Windows, the share of them wet, the Brier score, that of always saying that share, and the skill against it."""

    windows: int
    wet_share: float
    brier: float
    usual: float

    @property
    def skill(self) -> float | None:
        """``1 - brier / usual``; ``None`` where every window was wet, or none."""
        return 1.0 - self.brier / self.usual if self.usual > 0 else None


def score_of(tallies: Iterable[Tally]) -> Score | None:
    """The score of told chances.

    Parameters
    ----------
    tallies : counts by told chance, any order.

    Returns
    -------
    Score or None
        ``brier = mean((p - o)^2)`` over all windows; ``usual = m (1 - m)`` with the windows' own wet share ``m``,
        which flatters the climate and so understates the skill a little. ``None`` without any window.

    >>> told = [Tally(percent=0, windows=2, wet=0), Tally(percent=50, windows=2, wet=1)]
    >>> score = score_of(told)
    >>> score.brier, score.usual, round(score.skill, 3)
    (0.125, 0.1875, 0.333)
    """
    counted = [one for one in tallies if one.windows]
    windows = sum(one.windows for one in counted)
    if not windows:
        return None
    wet_share = sum(one.wet for one in counted) / windows
    squares = sum(
        one.wet * (1 - one.percent / 100) ** 2 + (one.windows - one.wet) * (one.percent / 100) ** 2 for one in counted
    )
    return Score(windows=windows, wet_share=wet_share, brier=squares / windows, usual=wet_share * (1.0 - wet_share))


def reliability_bins(tallies: Iterable[Tally], edges: Sequence[int] = CLASS_EDGES) -> tuple[ReliabilityBin, ...]:
    """Told chances in classes, with the share of wet windows in each; empty classes are left out."""
    found = []
    for _, members in groupby(sorted(tallies, key=lambda one: one.percent), key=lambda one: _class_of(one, edges)):
        group = [one for one in members if one.windows]
        windows = sum(one.windows for one in group)
        if windows:
            told = sum(one.percent * one.windows for one in group) / windows / 100
            found.append(ReliabilityBin(told=told, seen=sum(one.wet for one in group) / windows, windows=windows))
    return tuple(found)


def _class_of(one: Tally, edges: Sequence[int]) -> int:
    return sum(edge <= one.percent for edge in edges)
