"""What every channel answers: whether it is on, and whether a letter was taken."""

from typing import Protocol

from crews.domain.letter import Letter
from jobs.domain.errors import CannotDo


class Channel(Protocol):
    """A way to a person. One is made for each round of sending and closed after it."""

    name: str

    def send(self, letter: Letter) -> None:
        """Hand a letter over.

        Raises
        ------
        CannotDo
            Refused for good, so that trying again is of no use.
        OutsideFailure
            Not taken now; fact ``asked_s`` [s] where the other side asked us to wait.
        """

    def close(self) -> None:
        """Let connections go."""


class Off:
    """A channel whose settings are missing or wrong: it says which, and sends nothing."""

    def __init__(self, name: str, reason: CannotDo) -> None:
        self.name = name
        self.reason = reason
