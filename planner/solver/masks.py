"""Sets of positions as one whole number, a bit for each: unions, gaps and first free starts are single operations."""

from collections.abc import Iterable

Runs = tuple[tuple[int, int], ...]


def mask_of(runs: Iterable[tuple[int, int]]) -> int:
    """Return the mask of (first, last) runs; a run that ends before it begins is empty.

    >>> bin(mask_of([(0, 1), (3, 3)]))
    '0b1011'
    """
    mask = 0
    for first, last in runs:
        if first <= last:
            mask |= ((1 << (last - first + 1)) - 1) << first
    return mask


def lowest(mask: int) -> int:
    """Return the first position of a mask that is not empty."""
    return (mask & -mask).bit_length() - 1


def runs_of(mask: int) -> tuple[tuple[int, int], ...]:
    """Return the (first, last) runs of a mask.

    >>> runs_of(0b1011)
    ((0, 1), (3, 3))
    """
    runs = []
    while mask:
        first = lowest(mask)
        length = lowest(~(mask >> first))
        runs.append((first, first + length - 1))
        mask = mask >> (first + length) << (first + length)
    return tuple(runs)


def meeting(mask: int, length: int) -> int:
    """Return the starts from which a stay of ``length`` positions meets ``mask``.

    >>> bin(meeting(0b1000, 3))
    '0b1110'
    """
    if length <= 0:
        return 0
    reach, met = 1, mask
    while reach < length:
        step = min(reach, length - reach)
        met |= met >> step
        reach += step
    return met


def join(runs: list[tuple[int, int]]) -> Runs:
    """Return runs ascending, with those that touch or overlap made one.

    >>> join([(5, 6), (0, 2), (3, 4), (9, 9)])
    ((0, 6), (9, 9))
    """
    joined: list[tuple[int, int]] = []
    for first, last in sorted(runs):
        if joined and first <= joined[-1][1] + 1:
            joined[-1] = (joined[-1][0], max(joined[-1][1], last))
        else:
            joined.append((first, last))
    return tuple(joined)
