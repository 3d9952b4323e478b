"""What the tasks do, as services: look for what is due, and take one step of a branch."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from time import monotonic

from django.conf import settings
from django.db.models import Q

from crews.models import Message
from crews.services.retention import prune as prune_messages
from jobs.domain.errors import DryWindowError, OutsideFailure
from jobs.models import Branch
from planner.dayplans.reminding import remind
from planner.dayplans.sending import send_due_day_plans
from planner.forecast.cells import cells_at_work
from planner.forecast.retention import prune
from planner.forecast.verification import prune as prune_windows
from planner.forecast.verification import verify_every_branch
from planner.plans.replanning.days import note_days
from planner.plans.replanning.drain import Drained, drain
from planner.plans.replanning.forecast import note_forecast
from planner.plans.replanning.requests import list_waiting
from planner.plans.replanning.retention import prune as prune_requests
from planner.plans.spreads import list_without_spread, reckon_spread
from planner.serving.models import Turn
from planner.serving.turns import Taken, arrange, end_badly, end_well, note_tick, take_due
from planner.solver.apart.solving import solve_apart
from planner.solver.parameters import GreedyOnly, Parameters, Repeatable
from planner.watch.due import list_due, list_unread_branches
from planner.watch.retention import prune as prune_watch
from planner.watch.services import judge_branch
from planner.watch.telling import escalate

log = logging.getLogger(__name__)
# Two requests a second to any one service: what is left of the turns waits for the next tick.
TURNS_A_SECOND = 2
HOURLY = timedelta(hours=1)
DAILY = timedelta(days=1)
# One second of counted work takes two to four on the clock. With the greatest effort the search still ends well before
# the limits of its task.
CLOCK_S_PER_EFFORT = 10.0
# For so long a spread may keep a worker at a time, the reading of the branch and a weather begun apart.
SPREAD_TURN_S = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """What is to be queued now."""

    turns: tuple[Taken, ...]
    to_plan: tuple[int, ...]
    to_judge: tuple[int, ...]
    to_send: bool


def look(*, now: datetime, running: datetime, passing: datetime, lease: timedelta) -> Due:
    """Look for everything that is due, and take the turns of it.

    Parameters
    ----------
    now : datetime
        The present of plans and weather.
    running : datetime
        The real present, by which turns wait.
    passing : datetime
        The present of messages.
    lease : timedelta
        How long a taken turn waits for its end.
    """
    note_tick(now=running)
    cells = cells_at_work()
    told = [key for key, cell in cells.items() if cell.has_warnings]
    branches = [str(pk) for pk in Branch.objects.order_by("pk").values_list("pk", flat=True)]
    arrange(kind=Turn.Kind.FORECAST, keys=cells.keys(), now=running)
    arrange(kind=Turn.Kind.WARNINGS, keys=told, now=running)
    arrange(kind=Turn.Kind.MEASURED, keys=told, now=running)
    arrange(kind=Turn.Kind.HOURLY, keys=branches, now=running)
    arrange(kind=Turn.Kind.UPKEEP, keys=[""], now=running)
    arrange(kind=Turn.Kind.SPREAD, keys=[str(pk) for pk in list_without_spread(now=now)], now=running)
    return Due(
        turns=take_due(now=running, lease=lease, limit=TURNS_A_SECOND * settings.PLANNER_TICK_SECONDS),
        to_plan=list_waiting(now),
        to_judge=tuple(sorted({*list_due(now), *list_unread_branches(now)})),
        to_send=_message_due(passing),
    )


def _message_due(now: datetime) -> bool:
    waiting = Q(state=Message.State.WAITING, next_try_at__lte=now)
    abandoned = Q(state=Message.State.SENDING, lease_until__lte=now)
    return Message.objects.filter(waiting | abandoned).exists()


def search_parameters() -> Parameters:
    """How hard the service searches for a plan, by ``PLANNER_SEARCH_EFFORT``; the same inputs give the same plan."""
    effort = float(settings.PLANNER_SEARCH_EFFORT)
    if effort == 0:
        return GreedyOnly()
    outer_s = max(settings.SEARCH_LEAST_CLOCK_S, effort * CLOCK_S_PER_EFFORT)
    return Repeatable(deterministic_seconds=effort, outer_seconds=outer_s)


def claim_lease(parameters: Parameters) -> timedelta:
    """How long a branch stays claimed by a worker that has died."""
    searching_s = parameters.outer_seconds if isinstance(parameters, Repeatable) else 0.0
    margin: timedelta = settings.CLAIM_MARGIN
    return timedelta(seconds=searching_s) + margin


def read_new_forecast(*, branch_id: int, now: datetime, running: datetime) -> bool:
    """Compare the plan of a branch with what is new in the sky over it; whether there was anything to read."""
    turn = Turn.objects.filter(kind=Turn.Kind.READING, key=str(branch_id), next_due_at__isnull=False).first()
    branch = Branch.objects.filter(pk=branch_id).first()
    if turn is None or branch is None:
        return False
    try:
        note_forecast(branch=branch, now=now)
    except DryWindowError as failure:
        log.warning("%s cannot be read: %s", turn, failure)
        end_badly(turn=turn, now=running, problem=str(failure), longest=HOURLY)
        return False
    end_well(turn=turn, now=running, after=None)
    return True


def plan_again(*, branch_id: int, now: datetime) -> Drained | None:
    """Answer the open requests of a branch with one plan; none where nothing is open."""
    branch = Branch.objects.filter(pk=branch_id).first()
    if branch is None:
        return None
    parameters = search_parameters()
    return drain(branch=branch, now=now, parameters=parameters, lease=claim_lease(parameters), search=solve_apart)


def judge_again(*, branch_id: int, now: datetime) -> None:
    """Judge what the sky means for a branch, warn, and tell the owner what nobody has read in time."""
    branch = Branch.objects.filter(pk=branch_id).first()
    if branch is not None:
        judge_branch(branch=branch, now=now)
        escalate(branch=branch, now=now)


def hourly_round(*, turn_id: int, now: datetime, running: datetime) -> None:
    """What time alone makes due in a branch: unreported work, late deliveries, calls to make, tomorrow's day plans."""
    for turn in Turn.objects.filter(pk=turn_id):
        branch = Branch.objects.filter(pk=int(turn.key)).first()
        if branch is None:
            continue
        problems = []
        # What keeps one of them from its end must not keep the others.
        for step in (note_days, remind, send_due_day_plans):
            try:
                step(branch=branch, now=now)
            except DryWindowError as failure:
                problems.append(str(failure))
        if problems:
            log.warning("%s: %s", turn, " ".join(problems))
            end_badly(turn=turn, now=running, problem="\n".join(problems), longest=HOURLY)
        else:
            end_well(turn=turn, now=running, after=HOURLY)


def spread_again(*, turn_id: int, now: datetime, running: datetime, lasts_s: float = SPREAD_TURN_S) -> None:
    """Reckon for a while when the plan in force of a branch hands its pools over in many weathers.

    What is left waits for the next turn, which comes after everything else that is due by then.
    """

    def begin() -> Callable[[], bool]:
        until = monotonic() + lasts_s
        return lambda: monotonic() > until

    for turn in Turn.objects.filter(pk=turn_id):
        branch = Branch.objects.filter(pk=int(turn.key)).first()
        more = False
        try:
            # A message that waited while another one was worked on has nothing left to do.
            if branch is not None and branch.pk in list_without_spread(now=now):
                more = reckon_spread(branch=branch, now=now, turn=begin) == "more"
        except DryWindowError as failure:
            log.warning("%s: %s", turn, failure)
            end_badly(turn=turn, now=running, problem=str(failure), longest=HOURLY)
        else:
            end_well(turn=turn, now=running, after=timedelta(0) if more else None)


def put_off(*, turn_id: int, running: datetime, took: timedelta) -> None:
    """Let a turn that took too long come round later, and say so."""
    for turn in Turn.objects.filter(pk=turn_id):
        slow = OutsideFailure("serve.took_too_long", minutes=round(took / timedelta(minutes=1)))
        log.warning("%s: %s", turn, slow)
        end_badly(turn=turn, now=running, problem=str(slow), longest=HOURLY)


def daily_upkeep(*, turn_id: int, now: datetime, running: datetime) -> None:
    """Verify what was forecast, and let go of what nobody can ask about any more."""
    for turn in Turn.objects.filter(pk=turn_id):
        try:
            verify_every_branch(now=now)
        except DryWindowError as failure:
            log.warning("%s: %s", turn, failure)
            end_badly(turn=turn, now=running, problem=str(failure), longest=DAILY)
            continue
        finally:
            for forget in (prune_watch, prune_windows, prune, prune_requests, prune_messages):
                forget(now=now)
        end_well(turn=turn, now=running, after=DAILY)
