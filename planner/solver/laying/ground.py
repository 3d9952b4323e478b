"""The facts of a problem laid out for quick look-up while plans are tried: masks of starts, links by task.

Finding the first start at which two crews and a set of braces are free is a few shifts of masks, however fine the grid.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from planner.solver.axis import Axis
from planner.solver.candidates import Candidates, TaskStarts
from planner.solver.masks import lowest, mask_of, meeting
from planner.solver.problem import DailyLimit, Gear, GearHold, Link, Problem, Told


@dataclass(frozen=True, kw_only=True)
class Ground:
    """A problem with its candidates, indexed by task."""

    problem: Problem
    candidates: Candidates

    @cached_property
    def axis(self) -> Axis:
        return self.candidates.axis

    @cached_property
    def starts(self) -> dict[str, TaskStarts]:
        return {one.task.key: one for one in self.candidates.tasks}

    @cached_property
    def links_in(self) -> dict[str, tuple[Link, ...]]:
        """Links into each task; none into work under way, whose start is a fact."""
        found: dict[str, list[Link]] = {key: [] for key in self.starts}
        for link in self.binding_links:
            found[link.after].append(link)
        return {key: tuple(links) for key, links in found.items()}

    @cached_property
    def links_out(self) -> dict[str, tuple[Link, ...]]:
        """Links out of each task, without those into work under way."""
        found: dict[str, list[Link]] = {key: [] for key in self.starts}
        for link in self.binding_links:
            found[link.before].append(link)
        return {key: tuple(links) for key, links in found.items()}

    @cached_property
    def binding_links(self) -> tuple[Link, ...]:
        """Links that bind: not those into work under way."""
        started = {
            key for key, one in self.starts.items() if one.task.pin is not None and one.task.pin.why == "started"
        }
        return tuple(link for link in self.problem.links if link.after not in started)

    @cached_property
    def order(self) -> tuple[str, ...]:
        """Tasks, each after those it waits for; otherwise as the problem lists them."""
        waiting = {key: len(links) for key, links in self.links_in.items()}
        ready = [key for key, count in waiting.items() if not count]
        for key in ready:
            for link in self.links_out[key]:
                waiting[link.after] -= 1
                if not waiting[link.after]:
                    ready.append(link.after)
        return tuple(ready)

    @cached_property
    def gear(self) -> dict[str, Gear]:
        return {gear.key: gear for gear in self.problem.gear}

    @cached_property
    def holds_from(self) -> dict[str, tuple[tuple[int, GearHold], ...]]:
        """Gear holds, numbered, by the task they begin with."""
        return self._holds(lambda hold: "" if hold.since is not None else hold.from_task)

    @cached_property
    def holds_until(self) -> dict[str, tuple[tuple[int, GearHold], ...]]:
        """Gear holds, numbered, by the task they end with."""
        return self._holds(lambda hold: hold.until_task)

    @cached_property
    def holds_of(self) -> dict[str, tuple[tuple[int, GearHold], ...]]:
        """Gear holds, numbered, by each task they begin or end with; once where it is the same."""
        found: dict[str, dict[int, GearHold]] = {}
        for by_task in (self.holds_from, self.holds_until):
            for key, holds in by_task.items():
                found.setdefault(key, {}).update(holds)
        return {key: tuple(holds.items()) for key, holds in found.items()}

    def _holds(self, side: "object") -> dict[str, tuple[tuple[int, GearHold], ...]]:
        assert callable(side)
        found: dict[str, list[tuple[int, GearHold]]] = {}
        for number, hold in enumerate(self.problem.holds_of_gear):
            found.setdefault(side(hold), []).append((number, hold))
        return {key: tuple(holds) for key, holds in found.items()}

    @cached_property
    def limits(self) -> dict[str, tuple[DailyLimit, ...]]:
        """Daily limits by task."""
        found: dict[str, list[DailyLimit]] = {}
        for limit in self.problem.limits:
            for key in limit.tasks:
                found.setdefault(key, []).append(limit)
        return {key: tuple(limits) for key, limits in found.items()}

    @cached_property
    def told(self) -> dict[str, Told]:
        return {told.task: told for told in self.problem.told}

    @cached_property
    def start_masks(self) -> dict[str, tuple[int, ...]]:
        """Mask of starts of each class of each task."""
        # By identity: runs that are equal are mostly one object, and long to compare.
        known: dict[int, int] = {}
        # Tasks that are alike share their classes.
        shared: dict[int, tuple[int, ...]] = {}
        masks = {}
        for key, starts in self.starts.items():
            found = shared.get(id(starts.classes))
            if found is None:
                for one in starts.classes:
                    if id(one.runs) not in known:
                        known[id(one.runs)] = mask_of(one.runs)
                found = shared[id(starts.classes)] = tuple(known[id(one.runs)] for one in starts.classes)
            masks[key] = found
        return masks

    @cached_property
    def level_masks(self) -> dict[str, tuple[tuple[int, int], ...]]:
        """Dollars of weather with the mask of starts they fall on, cheapest first; free starts are dollars 0."""
        masks = {}
        everywhere = (1 << self.axis.size) - 1
        for key, starts in self.starts.items():
            levels = tuple((dollars, mask_of(runs)) for dollars, runs in starts.levels)
            paid = 0
            for _, mask in levels:
                paid |= mask
            masks[key] = ((0, everywhere & ~paid), *levels)
        return masks

    def under(self, shut: Mapping[str, tuple[int, bool]], *, since: int) -> "Ground":
        """Return the same ground from a day on, under a sky that is known.

        Parameters
        ----------
        shut : mapping
            By task a mask of the positions at which it may not start; with ``True`` at which it may not be under way.
        since : int
            First position at which anything may start.
        """
        other = Ground(problem=self.problem, candidates=self.candidates)
        # What does not depend on the sky is not worked out again.
        other.__dict__.update(self.__dict__)
        known: dict[tuple[int, int], int] = {}

        def left(mask: int, gone: int) -> int:
            # Masks that are one object stay one: the ledger works out each once.
            which = (id(mask), gone)
            if which not in known:
                known[which] = (mask & ~gone) >> since << since
            return known[which]

        masks = {}
        for key, starts in self.starts.items():
            gone, is_under_way = shut.get(key, (0, False))
            masks[key] = tuple(
                left(mask, meeting(gone, max(1, of.length)) if is_under_way else gone)
                for of, mask in zip(starts.classes, self.start_masks[key], strict=True)
            )
        other.__dict__["start_masks"] = masks
        return other

    @cached_property
    def drives(self) -> dict[str, dict[str, int]]:
        """Drives by site and other site [min], those without length left out."""
        found: dict[str, dict[str, int]] = {}
        for drive in self.problem.drives:
            here, there = drive.sites
            if drive.minutes:
                found.setdefault(here, {})[there] = drive.minutes
                found.setdefault(there, {})[here] = drive.minutes
        return found

    def whole_days(self, mask: int) -> int:
        """Return the mask widened to whole days."""
        units = self.axis.units
        day = (1 << units) - 1
        wide = 0
        while mask:
            index = lowest(mask) // units
            wide |= day << (index * units)
            mask = mask >> ((index + 1) * units) << ((index + 1) * units)
        return wide
