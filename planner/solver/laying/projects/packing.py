"""Lays a list of tasks down, each as early as what comes before it and what there is allow.

Serial schedule generation (Kelley 1963; Kolisch 1996). All that is taken, of every counted thing at every position, is
one whole number: a field of bits for each pair, wide enough that taking more than there is carries into the field's
top bit. Taking something is one addition, and the starts at which it fits are a few shifts.
"""

from collections.abc import Sequence

from planner.solver.laying.projects.project import Project


class Packing:
    """Lays down lists of one project, from the front or from the back.

    Parameters
    ----------
    project : Project
        The project.
    backwards : bool
        Whether time runs from the end to the start: what waits for a task is laid down before it.
    """

    def __init__(self, project: Project, *, backwards: bool = False) -> None:
        self._lengths = project.lengths
        self._before = project.after if backwards else project.before
        self._releases = (0,) * len(project.keys) if backwards else project.releases
        width = max((count.bit_length() for count in project.counts), default=1) + 2
        self._slot = width * max(1, len(project.counts))
        half = 1 << (width - 1)
        takes: list[int] = []
        lacks: list[int] = []
        tops: list[tuple[int, ...]] = []
        for mine in project.demands:
            takes.append(sum(amount << (width * thing) for thing, amount in mine))
            # Added to what is taken, this carries into the top bit exactly where the task finds too little.
            missing = sum((half - 1 - project.counts[thing] + amount) << (width * thing) for thing, amount in mine)
            lacks.append(self._repeated(missing, project))
            tops.append(tuple(width * thing + width - 1 for thing, _ in mine))
        ones = self._repeated(1, project)
        self._takes = [
            take * (ones & ((1 << (self._slot * length)) - 1))
            for take, length in zip(takes, project.lengths, strict=True)
        ]
        self._lacks = lacks
        self._tops = tops
        self._mask = [self._repeated(sum(1 << top for top in mine), project) for mine in tops]
        self._first = ones

    def _repeated(self, field: int, project: Project) -> int:
        """A field at every position of the axis."""
        made, count = field, 1
        while count < project.size:
            made |= made << (self._slot * count)
            count *= 2
        return made & ((1 << (self._slot * project.size)) - 1)

    def lay(self, order: Sequence[int]) -> list[int]:
        """Return the starts of all tasks laid down in ``order``, in which each comes after those it waits for."""
        slot, lengths = self._slot, self._lengths
        starts = [0] * len(lengths)
        ends = [0] * len(lengths)
        taken = 0
        for task in order:
            at = self._releases[task]
            for other in self._before[task]:
                if ends[other] > at:
                    at = ends[other]
            length = lengths[task]
            if length and self._tops[task]:
                at += self._wait(taken >> (slot * at), task, length)
                taken += self._takes[task] << (slot * at)
            starts[task] = at
            ends[task] = at + length
        return starts

    def _wait(self, ahead: int, task: int, length: int) -> int:
        """Positions until the task fits for its whole length into what is taken ``ahead``."""
        slot = self._slot
        reach = ahead.bit_length() // slot + 1
        within = (1 << (slot * reach)) - 1
        short = (ahead + (self._lacks[task] & within)) & self._mask[task] & within
        if not short:
            return 0
        # One bit a position: whether anything is short there.
        gone = 0
        for top in self._tops[task]:
            gone |= short >> top
        ones = self._first & within
        gone &= ones
        met, span = gone, 1
        while span < length:
            step = min(span, length - span)
            met |= met >> (slot * step)
            span += step
        clear = ones & ~met
        return ((clear & -clear).bit_length() - 1) // slot if clear else reach
