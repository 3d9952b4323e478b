"""A change set says who is told, which bookings move, by when to call, and what that costs."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from crews.models import Booking, Supplier
from jobs.models import Branch
from planner.plans.domain.changes import ChangeSet, compare
from planner.plans.domain.people import MOVE_DAY_DOLLARS, MOVE_DOLLARS, REBOOK_DOLLARS
from planner.plans.domain.triggers.booking_moves import BookingMove, booking_moves
from planner.plans.domain.triggers.lines import change_lines
from planner.plans.domain.world import World
from planner.plans.services import assembled_for, world_of
from planner.solver.result import Assignment
from tests.planner.plans.replanning.yard import DAY, HOUR, NOW, WEEK, ZONE, build_yard, in_force, task

pytestmark = pytest.mark.django_db
WEDNESDAY, THURSDAY = date(2026, 6, 10), date(2026, 6, 11)
FEE = 300


@pytest.fixture
def branch() -> Branch:
    """The pour is on Wednesday at seven with a pump, free to call off until a day before it opens."""
    branch = build_yard(pour_in_days=2)
    pump = Supplier.objects.create(
        branch=branch,
        role="supplier",
        kind="pump",
        name="Pump hire",
        phone="+1 555 0100",
        notice_working_days=1,
        free_cancel_hours=24,
        fee_cents=FEE * 100,
        week=WEEK,
    )
    Booking.objects.create(
        supplier=pump, task=task(branch), kind="pump", state="confirmed", on=WEDNESDAY, asked_at=NOW, confirmed_at=NOW
    )
    return branch


def moved_to_thursday(branch: Branch, now: datetime) -> tuple[World, ChangeSet, tuple[BookingMove, ...]]:
    """The pour a day later, everything else where it is."""
    world = world_of(branch=branch, as_of=now)
    assembled = assembled_for(world, in_force(branch))
    keys = {facts.id: key for key, (_, facts) in assembled.tasks.items()}
    pour, line = task(branch).pk, assembled.line
    after = {
        stay.task: replace(stay, start_at=stay.start_at + DAY, end_at=stay.end_at + DAY) if stay.task == pour else stay
        for stay in world.told
    }
    assignments = tuple(
        Assignment(
            task=keys[stay.task], start=line.minute(stay.start_at), end=line.minute(stay.end_at), crews=stay.crews
        )
        for stay in after.values()
    )
    changes = compare(assembled, world.told, assignments)
    return world, changes, booking_moves(world, changes.changes, after)


def test_a_booking_is_called_off_free_until_its_hours_begin(branch: Branch) -> None:
    _, changes, (move,) = moved_to_thursday(branch, NOW)
    opens = datetime(2026, 6, 10, 7, tzinfo=ZONE)
    assert (move.booked_on, move.wanted_on) == (WEDNESDAY, THURSDAY)
    assert (move.free_until, move.fee_dollars, move.lost) == (opens - timedelta(hours=24), FEE, False)
    assert move.call_by == opens - timedelta(hours=24), "free, and before the notice for Thursday ends"
    (change,) = changes.changes
    assert change.told
    assert change.dollars == MOVE_DOLLARS + MOVE_DAY_DOLLARS + REBOOK_DOLLARS


def test_inside_them_the_fee_is_due_and_only_the_notice_presses(branch: Branch) -> None:
    now = datetime(2026, 6, 9, 7, tzinfo=ZONE)
    _, changes, (move,) = moved_to_thursday(branch, now)
    assert move.lost
    assert move.call_by == datetime(2026, 6, 10, 15, 30, tzinfo=ZONE)
    (change,) = changes.changes
    assert change.dollars == MOVE_DOLLARS + MOVE_DAY_DOLLARS + REBOOK_DOLLARS + FEE


def test_goods_that_have_come_stay(branch: Branch) -> None:
    Booking.objects.update(state="arrived")
    _, changes, moves = moved_to_thursday(branch, NOW + 26 * HOUR)
    assert moves == ()
    (change,) = changes.changes
    assert change.dollars == MOVE_DOLLARS + MOVE_DAY_DOLLARS


def test_it_is_told_in_lines(branch: Branch) -> None:
    world, changes, moves = moved_to_thursday(branch, NOW)
    said = "\n".join(change_lines(world, changes, moves, ("It will rain.",)))
    assert "What asked for it\n  It will rain." in said
    assert "North, Pour (forms): from Wed 10 June 07:00 to Thu 11 June 07:00." in said
    assert "Who must be told\n  Forms crew: 1 start" in said
    assert (
        "Pump hire +1 555 0100, North, Pour: from Wed 10 June to Thu 11 June; call by Tue 9 June 07:00; "
        "free until Tue 9 June 07:00, then $300"
    ) in said


def test_nothing_moved_is_said_too(branch: Branch) -> None:
    world = world_of(branch=branch, as_of=NOW)
    empty = ChangeSet(changes=(), dollars_before=0, dollars_after=0, broken_before=())
    assert change_lines(world, empty, ()) == ["What moves", "  Every start stays where it is."]
