"""Drawing arithmetic every picture shares: rounding, point lists, how wide words run."""

from collections.abc import Iterable

NARROW = frozenset("ijlt.,:;'|!()[] frI1-")
WIDE = frozenset("mwMW@%&—…")


def px(value: float) -> float:
    """A coordinate with one decimal, so that equal facts give equal pictures."""
    return round(value, 1) + 0.0


def points(pairs: Iterable[tuple[float, float]]) -> str:
    """The ``points`` of a polygon or polyline, with a dot whatever the language of the page.

    >>> points(((0, 1.25), (3, 4)))
    '0,1.2 3,4'
    """
    return " ".join(f"{px(x):g},{px(y):g}" for x, y in pairs)


def words_width(words: str, size_px: float) -> float:
    """About how wide ``words`` run in a system sans face [px]; rather too wide than too narrow."""
    ems = 0.0
    for sign in words:
        if sign in NARROW:
            ems += 0.42
        elif sign in WIDE or ord(sign) > 0x2E7F:
            ems += 1.02
        elif sign.isupper():
            ems += 0.75
        else:
            ems += 0.62
    return ems * size_px


def fit_words(words: str, width_px: float, size_px: float) -> str:
    """``words`` cut with an ellipsis so that they run no wider than ``width_px``; empty if nothing fits.

    >>> fit_words("Pour walls in lifts", 80.0, 12.0)
    'Pour wall…'
    """
    if words_width(words, size_px) <= width_px:
        return words
    for end in range(len(words) - 1, 0, -1):
        cut = words[:end].rstrip() + "…"
        if words_width(cut, size_px) <= width_px:
            return cut
    return ""
