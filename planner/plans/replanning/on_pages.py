"""What pages show of replanning."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from jobs.models import Branch
from planner.plans.domain.triggers.request import Request
from planner.plans.models import BranchReplanning, Plan, ReplanRequest
from planner.plans.replanning.requests import as_value, list_answered, list_causes, list_open

SHOWN = timedelta(days=3)
MOST_SHOWN = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The requests of a branch: of the proposal, still open, lately answered; and the office's switch.

    ``refused`` are the last ones answered, where no plan was possible and none was made since.
    """

    causes: tuple[Request, ...] = ()
    open: tuple[Request, ...] = ()
    answered: tuple[Request, ...] = ()
    refused: tuple[Request, ...] = ()
    takes_itself: bool = True


def asked_of(*, branch: Branch, proposal: Plan | None, now: datetime) -> Asked:
    """What a page shows of what asked for another plan."""
    answered = list_answered(branch=branch, since=now - SHOWN, most=MOST_SHOWN)
    row = BranchReplanning.objects.filter(branch=branch).first()
    return Asked(
        causes=tuple(as_value(one) for one in list_causes(plan=proposal)) if proposal is not None else (),
        open=tuple(as_value(one) for one in list_open(branch=branch)),
        answered=tuple(as_value(one) for one in answered),
        refused=tuple(as_value(one) for one in _last_refused(answered)),
        takes_itself=row is None or row.takes_itself,
    )


def set_takes_itself(*, branch: Branch, takes_itself: bool) -> None:
    """Whether plans that touch nobody come into force by themselves."""
    BranchReplanning.objects.update_or_create(branch=branch, defaults={"takes_itself": takes_itself})


def _last_refused(answered: list[ReplanRequest]) -> list[ReplanRequest]:
    """The refused requests answered together last, if nothing was answered well since."""
    if not answered or answered[0].state != ReplanRequest.State.REFUSED:
        return []
    last = answered[0].closed_at
    return [row for row in answered if row.closed_at == last and row.state == ReplanRequest.State.REFUSED]
