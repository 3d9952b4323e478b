"""Takes all that asks for another plan of a branch and plans once: a proposal, a plan in force, or nothing."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from django.db import IntegrityError, transaction
from django.db.models import F

from jobs.domain.errors import CannotDo
from jobs.models import Branch
from jobs.words import sentence_for
from planner.plans.domain.changes import ChangeSet, compare
from planner.plans.domain.triggers.booking_moves import booking_moves
from planner.plans.domain.triggers.policy import Policy, Ruling, Touched, rule
from planner.plans.domain.triggers.repair import Search, here
from planner.plans.domain.world import Stay
from planner.plans.models import BranchReplanning, ReplanRequest
from planner.plans.proposals import drop_needless, drop_older
from planner.plans.replanning.claims import claim, kept_alive, lease_for, release, renew
from planner.plans.replanning.told import later_owners, told_days
from planner.plans.services import DraftPlan, draft_plan, put_in_force, store_plan
from planner.solver.parameters import Parameters
from planner.solver.solve import Progress

State = ReplanRequest.State
# A request that broke off planning so often (a kill, a bug) is closed with a word to the office instead of for ever.
MOST_TRIES = 5
# Inputs that keep moving under the planner: after so many drafts one is shown, stale or not.
MOST_DRAFTS = 3

Outcome = Literal["nothing", "waits", "in_force", "refused", "again"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drained:
    """What became of the requests of a branch.

    Attributes
    ----------
    outcome : ``nothing`` (nothing worth moving), ``waits`` (a proposal waits for the office), ``in_force``,
        ``refused`` (no plan possible), ``again`` (inputs moved while it planned, or the claim was lost: still open).
    requests : how many were taken.
    number : of the plan that came of it, 0 where none did.
    says : one sentence.
    """

    outcome: Outcome
    requests: int
    number: int
    says: str


class _LostClaimError(Exception):
    """Another worker holds the branch by now: this one stores nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """A branch under this worker's claim, with the requests it took."""

    branch: Branch
    mark: str
    lease: timedelta
    rows: tuple[ReplanRequest, ...]
    now: datetime

    @property
    def ids(self) -> list[int]:
        return [row.pk for row in self.rows]

    def keep(self) -> None:
        """Hold on for another lease; inside a transaction the row stays locked until it ends."""
        if not renew(branch=self.branch, mark=self.mark, lease=self.lease):
            raise _LostClaimError


def drain(
    *,
    branch: Branch,
    now: datetime,
    parameters: Parameters,
    lease: timedelta | None = None,
    search: Search = here,
) -> Drained | None:
    """Answer every open request of a branch with one plan; ``None`` where nothing is open or another worker is at it.

    The search runs outside any transaction. What comes of it is written in one: the proposal, the answers to the
    requests and the end of older proposals stand together or not at all. A worker that dies leaves its requests to the
    next one, once its claim has run out.

    Parameters
    ----------
    now : datetime
        The office's moment, aware.
    lease : timedelta, optional
        How long the claim lasts without being renewed; by default a little more than the longest search.
    search : callable
        Who searches; the service lets a process of its own do it, which can be ended.
    """
    lasts = lease if lease is not None else lease_for(parameters)
    if not ReplanRequest.objects.filter(branch=branch, state__in=(State.OPEN, State.TAKEN)).exists():
        return None
    mark = claim(branch=branch, lease=lasts)
    if not mark:
        return None
    try:
        rows = _take(branch, now)
        if not rows:
            return None
        # Read after the requests are taken: a fact is either in what is planned, or has a request of its own.
        fresh = Branch.objects.get(pk=branch.pk)
        with kept_alive(branch=branch, mark=mark, lease=lasts):
            return _plan(_Held(branch=fresh, mark=mark, lease=lasts, rows=rows, now=now), parameters, search)
    except _LostClaimError:
        return Drained(outcome="again", requests=0, number=0, says=sentence_for("replan.lost_claim", {})[0])
    finally:
        release(branch=branch, mark=mark)


def _take(branch: Branch, now: datetime) -> tuple[ReplanRequest, ...]:
    """Take what is open, and what a dead worker had taken; a request that broke off too often is closed."""
    mine = ReplanRequest.objects.filter(branch=branch, state__in=(State.OPEN, State.TAKEN))
    with transaction.atomic():
        mine.filter(tries__gte=MOST_TRIES).update(
            state=State.REFUSED, closed_at=now, answer=sentence_for("replan.broke_off", {"tries": MOST_TRIES})[0]
        )
        mine.update(state=State.TAKEN, tries=F("tries") + 1)
    return tuple(ReplanRequest.objects.filter(branch=branch, state=State.TAKEN))


def _plan(held: _Held, parameters: Parameters, search: Search) -> Drained:
    def still_mine(_: Progress) -> None:
        held.keep()

    try:
        draft = draft_plan(
            branch=held.branch, as_of=held.now, parameters=parameters, on_progress=still_mine, search=search
        )
    except CannotDo as refused:
        with transaction.atomic():
            held.keep()
            _close(held, State.REFUSED, 0, str(refused))
        return Drained(outcome="refused", requests=len(held.rows), number=0, says=str(refused))
    held.keep()
    before = {stay.task: stay for stay in draft.world.told}
    changes = compare(draft.assembled, draft.world.told, draft.result.assignments)
    ruling = _ruling(held, draft, changes, before)
    try:
        with transaction.atomic():
            return _settle(held, draft, ruling)
    except IntegrityError:
        # Somebody stored a plan under the same number at the same moment.
        return _again(held)
    except CannotDo:
        # A fact came between: what was planned may not come into force any more.
        return _again(held)


def _ruling(held: _Held, draft: DraftPlan, changes: ChangeSet, before: dict[int, Stay]) -> Ruling:
    world, line = draft.world, draft.assembled.line
    after = {
        draft.assembled.tasks[one.task][1].id: Stay(
            task=draft.assembled.tasks[one.task][1].id,
            start_at=line.at(one.start),
            end_at=line.at(one.end),
            crews=one.crews,
        )
        for one in draft.result.assignments
    }
    zone = ZoneInfo(world.branch.zone)
    touched = Touched(
        bookings=booking_moves(world, changes.changes, after),
        told_days=told_days(branch=held.branch, from_on=held.now.astimezone(zone).date()),
        later_owners=later_owners(world, before, after),
    )
    row = BranchReplanning.objects.get(branch=held.branch)
    return rule(
        changes,
        touched,
        reasons=[row.reason for row in held.rows],
        policy=Policy(takes_itself=row.takes_itself),
        zone=zone,
        now=held.now,
    )


def _settle(held: _Held, draft: DraftPlan, ruling: Ruling) -> Drained:
    """Write what comes of a draft; the claim is locked first, so that a worker that lost it writes nothing."""
    held.keep()
    branch, count = held.branch, len(held.rows)
    says = " ".join(sentence_for(f"replan.{code}", {})[0] for code in ruling.because)
    if ruling.verdict == "nothing":
        _close(held, State.DONE, 0, says)
        drop_needless(branch=branch, because=sentence_for("replan.not_needed", {})[0])
        return Drained(outcome="nothing", requests=count, number=0, says=says)
    moved = not Branch.objects.filter(
        pk=branch.pk, plan_number=branch.plan_number, input_revision=branch.input_revision
    ).exists()
    if moved and max(row.tries for row in held.rows) < MOST_DRAFTS:
        return _again(held)
    plan = store_plan(branch=branch, draft=draft)
    drop_older(branch=branch, because=sentence_for("replan.superseded", {"number": plan.number})[0], but=plan.number)
    _close(held, State.DONE, plan.number, says)
    if ruling.verdict == "takes_itself":
        put_in_force(branch=branch, plan=plan, now=held.now)
        return Drained(outcome="in_force", requests=count, number=plan.number, says=says)
    return Drained(outcome="waits", requests=count, number=plan.number, says=says)


def _again(held: _Held) -> Drained:
    """The requests stay taken, and so wait for whoever claims the branch next."""
    says = sentence_for("replan.inputs_moved", {})[0]
    return Drained(outcome="again", requests=len(held.rows), number=0, says=says)


def _close(held: _Held, state: str, number: int, answer: str) -> None:
    rows = ReplanRequest.objects.filter(pk__in=held.ids, state=State.TAKEN)
    rows.update(state=state, closed_at=held.now, outcome=number, answer=answer[:600])
