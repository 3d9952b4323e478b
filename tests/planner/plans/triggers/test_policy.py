"""What becomes of a plan made in the background: nothing, a proposal, or a plan in force."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.plans.domain.changes import Change, ChangeSet
from planner.plans.domain.triggers.booking_moves import BookingMove
from planner.plans.domain.triggers.policy import GAIN_DOLLARS, NEAR, Policy, Ruling, Touched, rule, worth_showing

ZONE = ZoneInfo("America/New_York")
NOW = datetime(2026, 6, 8, 10, tzinfo=UTC)
FAR = NOW + timedelta(days=14)
CHANGE = Change(
    task=1,
    key="1.pour",
    from_at=FAR,
    to_at=FAR + timedelta(days=1),
    from_crews=("forms",),
    to_crews=("forms",),
    reason="",
    dollars=0,
    told=False,
)
SET = ChangeSet(changes=(CHANGE,), dollars_before=1_000, dollars_after=1_000 - GAIN_DOLLARS, broken_before=())
PUMP = BookingMove(
    task=1,
    kind="pump",
    supplier="Pump hire",
    phone="",
    booked_on=date(2026, 6, 22),
    wanted_on=date(2026, 6, 23),
    free_until=FAR,
    fee_dollars=300,
    lost=False,
    call_by=FAR,
)


def ruling(
    changes: ChangeSet = SET, touched: Touched | None = None, policy: Policy | None = None, reason: str = "report_late"
) -> Ruling:
    return rule(changes, touched or Touched(), reasons=[reason], policy=policy or Policy(), zone=ZONE, now=NOW)


def test_what_touches_nobody_takes_itself() -> None:
    assert ruling() == Ruling(verdict="takes_itself", because=("touches_nobody",))


@pytest.mark.parametrize(
    ("why", "found"),
    [
        ("told", ruling(replace(SET, changes=(replace(CHANGE, told=True),)))),
        ("told", ruling(touched=Touched(told_days=frozenset({("forms", date(2026, 6, 23))})))),
        ("booking", ruling(touched=Touched(bookings=(PUMP,)))),
        ("owner", ruling(touched=Touched(later_owners=("A pool",)))),
        ("near", ruling(replace(SET, changes=(replace(CHANGE, to_at=NOW + NEAR / 2),)))),
        ("near", ruling(replace(SET, changes=(replace(CHANGE, from_at=None, to_at=NOW),)))),
        ("switched_off", ruling(policy=Policy(takes_itself=False))),
        ("asked_by_hand", ruling(reason="by_hand")),
    ],
)
def test_one_thing_touched_makes_it_wait(why: str, found: Ruling) -> None:
    assert (found.verdict, found.because) == ("waits", (why,))


def test_clock_time_nobody_works_counts_as_told_to_nobody() -> None:
    cure = replace(CHANGE, told=True, from_crews=(), to_crews=())
    assert ruling(replace(SET, changes=(cure,))).verdict == "takes_itself"


def test_nothing_moves_or_little_saved_is_shown_to_nobody() -> None:
    assert ruling(replace(SET, changes=())) == Ruling(verdict="nothing", because=("nothing_moves",))
    little = replace(SET, dollars_after=SET.dollars_after + 1)
    assert ruling(little) == Ruling(verdict="nothing", because=("saves_little",))


@pytest.mark.parametrize(
    "changes",
    [
        replace(SET, dollars_after=5_000, broken_before=("The sky forbids it.",)),
        replace(SET, dollars_after=5_000, dollars_before=None),
    ],
)
def test_a_plan_that_breaks_a_rule_or_leaves_work_out_is_answered_at_any_price(changes: ChangeSet) -> None:
    assert worth_showing(changes, ["report_late"])


def test_somebody_who_asked_sees_it_whatever_it_saves() -> None:
    little = replace(SET, dollars_after=SET.dollars_after + 1)
    assert worth_showing(little, ["report_late", "by_hand"])
    assert not worth_showing(replace(little, changes=()), ["by_hand"])


@given(
    st.integers(0, 3_000),
    st.booleans(),
    st.booleans(),
    st.integers(min_value=-10, max_value=30),
    st.sampled_from([(), (PUMP,)]),
)
def test_touching_more_never_lets_it_take_itself(
    after: int, told: bool, more_told: bool, days: int, bookings: tuple[BookingMove, ...]
) -> None:
    change = replace(CHANGE, told=told, to_at=NOW + timedelta(days=days))
    changes = replace(SET, dollars_after=after, changes=(change,))
    other = replace(CHANGE, task=2, told=more_told)
    if ruling(changes).verdict == "waits":
        assert ruling(replace(changes, changes=(change, other))).verdict == "waits"
        assert ruling(changes, Touched(bookings=bookings)).verdict == "waits"
