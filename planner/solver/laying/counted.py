"""How much of one kind of gear is out at each position: a mask of positions for each amount."""


class Counted:
    """What is out of one kind of gear; every change and every question is a few operations on whole masks.

    >>> out = Counted()
    >>> out.take(0b0111, 2)
    >>> out.take(0b0010, 1)
    >>> bin(out.at_least(2)), bin(out.at_least(3))
    ('0b111', '0b10')
    >>> out.give_back(0b0111, 2)
    >>> bin(out.at_least(1)), out.at_least(2)
    ('0b10', 0)
    """

    def __init__(self) -> None:
        # Entry k: the positions at which more than k pieces are out.
        self._levels: list[int] = []

    def copy(self) -> "Counted":
        """Return one that goes its own way from here."""
        other = Counted()
        other._levels = list(self._levels)
        return other

    def take(self, mask: int, amount: int) -> None:
        """Take ``amount`` more over the positions of ``mask``."""
        levels = self._levels
        levels.extend([0] * amount)
        for level in range(len(levels) - 1, -1, -1):
            levels[level] |= mask & levels[level - amount] if level >= amount else mask
        self._trim()

    def give_back(self, mask: int, amount: int) -> None:
        """Give back what was taken."""
        levels = self._levels
        for level in range(len(levels)):
            above = levels[level + amount] if level + amount < len(levels) else 0
            levels[level] = (levels[level] & ~mask) | (mask & above)
        self._trim()

    def at_least(self, amount: int) -> int:
        """Return the positions at which ``amount`` or more is out; ``amount`` > 0."""
        return self._levels[amount - 1] if amount <= len(self._levels) else 0

    def _trim(self) -> None:
        while self._levels and not self._levels[-1]:
            self._levels.pop()
