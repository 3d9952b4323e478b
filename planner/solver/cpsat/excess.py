"""What a start costs beyond the cheapest start near it: where a plan's dollars might still be saved."""

from random import Random

from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Placement
from planner.solver.masks import lowest

# Starts so many days away count as near.
NEAR_DAYS = 20


class Excess:
    """Prices of starts, looked up once for each start a plan has.

    Parameters
    ----------
    ground : Ground
        The problem.
    """

    def __init__(self, ground: Ground) -> None:
        self._ground = ground
        self._near = NEAR_DAYS * ground.axis.units
        self._known: dict[str, tuple[int, int, int]] = {}
        self._allowed: dict[int, int] = {}

    def of(self, key: str, made: Placement) -> int:
        """Return the dollars a start costs beyond the cheapest near it, with the dearer crews of its choice."""
        known = self._known.get(key)
        if known is None or known[0] != made.position or known[1] != made.of.dollars:
            known = self._known[key] = (made.position, made.of.dollars, self._reckoned(key, made))
        return known[2]

    def cheaper(self, key: str, made: Placement, random: Random) -> int:
        """Return a start near it that costs less, rather one that saves more; its own if there is none."""
        now = self._ground.starts[key].weather_dollars(made.start)
        found = [(now - dollars, mask) for dollars, mask in self._levels(key, made) if dollars < now]
        if not found:
            return made.position
        _, mask = random.choices(found, [saved for saved, _ in found])[0]
        after = mask >> made.position << made.position
        before = mask & ~after
        starts = [lowest(after)] if after else []
        if before:
            starts.append(before.bit_length() - 1)
        return min(starts, key=lambda start: abs(start - made.position))

    def _reckoned(self, key: str, made: Placement) -> int:
        starts = self._ground.starts[key]
        crews = made.of.dollars - min(of.dollars for of in starts.classes)
        now = starts.weather_dollars(made.start)
        cheapest = next((dollars for dollars, _ in self._levels(key, made)), now)
        return crews + max(0, now - cheapest)

    def _levels(self, key: str, made: Placement) -> list[tuple[int, int]]:
        """Prices of weather near a start, cheapest first, with the starts that have them."""
        starts = self._ground.starts[key]
        if not starts.levels:
            return []
        which = id(starts.classes)
        if which not in self._allowed:
            union = 0
            for mask in self._ground.start_masks[key]:
                union |= mask
            self._allowed[which] = union
        low = max(0, made.position - self._near)
        near = self._allowed[which] & ((1 << (made.position + self._near)) - 1) >> low << low
        return [(dollars, met) for dollars, mask in self._ground.level_masks[key] if (met := near & mask)]
