"""What is to be decided about plans: make the first one, take or leave the one that waits, mend what allows none."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from planner.dayplans.presenters.measures import Gettext
from planner.plans.domain.triggers.request import Request
from planner.web.presenters.decisions.decision import Decision
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFacts:
    """The plan in force (0: none), the newest that waits for a decision (0: none), and what asked for plans.

    ``causes`` are the requests the waiting plan answers, ``open`` those no plan answers yet, ``refused`` those of the
    last days for which none is possible. ``overtaken`` says why the waiting plan may not come into force any more,
    empty where it still may.
    """

    number: int = 0
    in_force_at: datetime | None = None
    waiting: int = 0
    waiting_made_at: datetime | None = None
    overtaken: str = ""
    causes: tuple[Request, ...] = ()
    open: tuple[Request, ...] = ()
    refused: tuple[Request, ...] = ()


def plan_decisions(reader: Reader, plan: PlanFacts, links: Links) -> Iterator[Decision]:
    """The decisions about plans; none where the plan in force stands and nothing is proposed."""
    gettext, where = reader.gettext, links.page("changes")
    if not plan.number:
        yield Decision(
            kind="plan",
            what=gettext("Make a plan: none is in force"),
            why=gettext("Nobody is told where to be until one is. Ask for a proposal, look at it, and take it."),
            by_at=None,
            by=gettext("now"),
            where=where,
            link=gettext("Changes"),
        )
    if plan.waiting and plan.overtaken:
        yield _overtaken(plan, gettext, where)
    elif plan.waiting:
        made = gettext("It was made {when}. Until somebody takes it or leaves it, plan {number} holds.")
        when = reader.when(plan.waiting_made_at) if plan.waiting_made_at is not None else ""
        why = made.format(when=when, number=plan.number) if plan.number else ""
        yield Decision(
            kind="plan",
            what=gettext("Take or leave plan {number}").format(number=plan.waiting),
            why=" ".join([why, *_answers(plan.causes)]).strip(),
            by_at=None,
            by=gettext("now"),
            where=where,
            link=gettext("What would move, and why"),
            details=sentences(plan.causes),
        )
    if plan.refused and not plan.waiting:
        yield Decision(
            kind="plan",
            what=gettext("Mend what allows no new plan"),
            why=" ".join(_answers(plan.refused)),
            by_at=None,
            by=gettext("now"),
            where=where,
            link=gettext("Changes"),
            details=sentences(plan.refused),
        )


def _overtaken(plan: PlanFacts, gettext: Gettext, where: str) -> Decision:
    """That the plan that waits can no longer be taken, and what becomes of it."""
    if plan.open:
        what, then = gettext("Plan {number} is overtaken and is being made again"), ""
    else:
        what = gettext("Plan {number} is overtaken")
        then = gettext("It is made again within the hour, or at once if you ask for it.")
    holds = gettext("Until then plan {number} holds.").format(number=plan.number) if plan.number else ""
    return Decision(
        kind="plan",
        what=what.format(number=plan.waiting),
        why=" ".join(part for part in (plan.overtaken, then, holds) if part),
        by_at=None,
        by=gettext("now"),
        where=where,
        link=gettext("Changes"),
        details=sentences(plan.open),
    )


def sentences(requests: tuple[Request, ...]) -> tuple[str, ...]:
    """What asked, each sentence once, in the order it was asked."""
    return tuple(dict.fromkeys(one.says for one in sorted(requests, key=lambda one: one.asked_at)))


def waiting_words(reader: Reader, requests: tuple[Request, ...]) -> str:
    """That facts wait for a plan, since when; empty where none does."""
    if not requests:
        return ""
    since = reader.when(min(one.asked_at for one in requests))
    said = reader.gettext("Facts of {when} and later are being planned.")
    return said.format(when=since)


def _answers(requests: tuple[Request, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.answer for one in requests if one.answer))
