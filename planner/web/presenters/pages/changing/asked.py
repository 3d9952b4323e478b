"""What asked for another plan of a branch, and what came of it."""

from dataclasses import dataclass

from planner.plans.domain.triggers.request import Request
from planner.web.presenters.pools.reader import Reader


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedRow:
    when: str
    says: str
    came: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedPage:
    """Context ``asked`` of ``planner/changes.html``.

    Attributes
    ----------
    open : facts no plan answers yet.
    refused : sentences why no plan was possible when last looked.
    answered : facts of the last days with what came of each.
    takes_itself : the office lets plans that touch nobody come into force by themselves.
    """

    open: tuple[AskedRow, ...]
    refused: tuple[str, ...]
    answered: tuple[AskedRow, ...]
    takes_itself: bool


def present_asked(
    reader: Reader,
    *,
    open_requests: tuple[Request, ...],
    answered: tuple[Request, ...],
    refused: tuple[Request, ...],
    takes_itself: bool,
) -> AskedPage:
    """The requests of a branch as a page tells them."""
    return AskedPage(
        open=tuple(_row(reader, one) for one in open_requests),
        refused=tuple(dict.fromkeys(one.answer for one in refused)),
        answered=tuple(_row(reader, one) for one in answered),
        takes_itself=takes_itself,
    )


def _row(reader: Reader, request: Request) -> AskedRow:
    gettext = reader.gettext
    came = request.answer
    if request.state == "taken":
        came = gettext("Is being planned.")
    elif request.state == "open":
        came = gettext("Waits to be planned.")
    elif request.outcome:
        came = gettext("Plan {number}. {answer}").format(number=request.outcome, answer=request.answer)
    return AskedRow(when=reader.when(request.asked_at), says=request.says, came=came)
