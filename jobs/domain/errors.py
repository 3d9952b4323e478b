"""The two kinds of failure the product knows; anything else is a bug.

``CannotDo`` is something a person can put right; ``OutsideFailure`` is a service that failed us.
Both carry a stable code and facts. The sentences live in ``jobs.words``, nowhere else.
"""

from collections.abc import Mapping

from jobs.words import sentence_for


class DryWindowError(Exception):
    """Root of both branches.

    Parameters
    ----------
    code : str
        Stable code, ``area.what``; must be a key of ``jobs.words``.
    field : str
        The input that is wrong, as the person knows it; empty if no single field is.
    **facts
        Values named in the sentence.
    """

    def __init__(self, code: str, *, field: str = "", **facts: object) -> None:
        self.code = code
        self.field = field
        self.facts: Mapping[str, object] = facts
        says, remedy = sentence_for(code, {"field": field, **facts})
        self.says = says
        self.remedy = remedy
        super().__init__(f"{says} {remedy}".strip())


class CannotDo(DryWindowError):
    """A person can fix this: shown where it was entered, never logged as a crash."""


class OutsideValidRange(CannotDo):
    """A formula was asked outside the range its source gives."""

    def __init__(self, *, name: str, value: object, low: object, high: object, unit: str, source: str) -> None:
        super().__init__(
            "science.outside_range",
            field=name,
            name=name,
            value=value,
            low=low,
            high=high,
            unit=unit,
            source=source,
        )


class OutsideFailure(DryWindowError):
    """A service outside failed: the last good answer stays, with its age.

    ``unread`` is the reply that could not be read, where one came.
    """

    unread: bytes = b""
