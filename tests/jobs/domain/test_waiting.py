"""What must pass between two tasks: the worked example's waits, and what holds for every wait."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from jobs.domain.method import LinkRule
from jobs.domain.waiting import (
    ClockWait,
    FixedDryingWait,
    FixedLevelWait,
    FixedStrengthWait,
    NoticeWait,
    PlainWait,
    latest_after,
    waiting_for,
)
from jobs.methods.loader import load_method

ZONE = ZoneInfo("America/New_York")
LINKS = load_method("insulated_form_liner").links


class MondayToFriday:
    """07:00 on five days of the week; no holiday."""

    def add_working_days(self, on: date, days: int, /) -> date:
        while days:
            on += timedelta(days=1)
            days -= on.weekday() < 5
        return on

    def opening(self, on: date, /) -> datetime:
        return datetime.combine(on, time(7), tzinfo=ZONE)


WEEK = MondayToFriday()
NEW_YEAR = datetime(2026, 1, 1, tzinfo=UTC)
MOMENTS = st.timedeltas(timedelta(0), timedelta(days=365)).map(lambda into: NEW_YEAR + into)


def link(before: str, after: str, kind: str = "") -> LinkRule:
    found = [one for one in LINKS if (one.before, one.after) == (before, after) and kind in ("", one.kind)]
    assert len(found) == 1
    return found[0]


def at(day: int, hour: int, minute: int = 0, month: int = 6) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=ZONE)


def ready(before: str, after: str, end: datetime, kind: str = "") -> datetime:
    return waiting_for(link(before, after, kind), calendar=WEEK, zone=ZONE).ready_at(end)


@pytest.mark.parametrize(
    ("before", "after", "end", "expected"),
    [
        # Ends and visits as in the project's own worked example, by hand.
        ("stake_out", "mark_utilities", at(1, 8, 30), at(4, 7)),
        ("bond_floor", "inspect_floor", at(10, 10, 45), at(11, 7)),
        ("brace_and_square", "inspect_walls", at(16, 15), at(17, 7)),
        ("power_and_bond", "inspect_bond", at(29, 12, 45), at(30, 7)),
        ("inspect_bond", "pour_deck", at(30, 11), at(1, 7, month=7)),
        ("start_up", "final_inspect", at(14, 12, 45, month=7), at(15, 7, month=7)),
        # A Friday's notice is over on Monday.
        ("fence", "inspect_barrier", at(3, 9, month=7), at(6, 7, month=7)),
        ("measure_liner", "drop_liner", at(22, 11, 30), at(6, 11, 30, month=7)),
        ("start_up", "add_salt", at(14, 12, 45, month=7), at(15, 12, 45, month=7)),
        ("pour_deck", "clean_and_patch", at(1, 13, month=7), at(2, 13, month=7)),
        ("dig", "shape_floor", at(8, 10, 30), at(8, 10, 30)),
        ("fill_1", "cut_drain", at(9, 13, 15, month=7), at(9, 13, 15, month=7)),
        # Cautious stand-ins: common practice, no source.
        ("pour_floor", "stack_forms", at(12, 13, 15), at(13, 13, 15)),
        ("pour_floor", "brace_and_square", at(12, 13, 15), at(14, 13, 15)),
        ("clean_and_patch", "wall_sheet", at(3, 10, 30, month=7), at(4, 2, 30, month=7)),
        ("clean_and_patch", "floor_foam", at(3, 10, 30, month=7), at(4, 10, 30, month=7)),
    ],
)
def test_when_the_next_task_may_start(before, after, end, expected):
    assert ready(before, after, end) == expected


def test_backfill_waits_seven_days_in_place_of_three_quarters_strength():
    # Seven days before backfill is the figure of a form maker and a concrete magazine (published, commercial page).
    assert ready("pour_walls", "backfill", at(18, 13, 30), "strength") == at(25, 13, 30)


@pytest.mark.parametrize(
    ("before", "after", "kind", "wait"),
    [
        ("dig", "shape_floor", "plain", PlainWait),
        ("start_up", "add_salt", "clock", ClockWait),
        ("pour_walls", "backfill", "strength", FixedStrengthWait),
        ("clean_and_patch", "floor_foam", "dryness", FixedDryingWait),
        ("fill_2", "cut_stair_light", "level", FixedLevelWait),
        ("fence", "inspect_barrier", "notice", NoticeWait),
        ("inspect_bond", "pour_deck", "plain", NoticeWait),
    ],
)
def test_each_kind_of_link_has_its_wait(before, after, kind, wait):
    assert type(waiting_for(link(before, after, kind), calendar=WEEK, zone=ZONE)) is wait


@pytest.mark.parametrize("one", LINKS, ids=lambda one: f"{one.before}-{one.after}-{one.kind}")
def test_every_link_of_the_method_gives_a_reason_and_no_answer_before_the_end(one):
    wait = waiting_for(one, calendar=WEEK, zone=ZONE)
    assert wait.reason.endswith(".")
    assert one.why in wait.reason
    assert wait.ready_at(at(12, 13, 15)) >= at(12, 13, 15)


@given(
    st.sampled_from(LINKS),
    MOMENTS,
    st.timedeltas(timedelta(0), timedelta(days=20)),
)
def test_a_later_end_is_never_ready_sooner(one, first, later):
    wait = waiting_for(one, calendar=WEEK, zone=ZONE)
    assert first <= wait.ready_at(first) <= wait.ready_at(first + later)
    if (limit := latest_after(one, first, calendar=WEEK, zone=ZONE)) is not None:
        further = latest_after(one, first + later, calendar=WEEK, zone=ZONE)
        assert further is not None
        assert first < limit <= further


@given(MOMENTS)
def test_the_zone_a_moment_is_given_in_makes_no_difference(here):
    for one in LINKS:
        wait = waiting_for(one, calendar=WEEK, zone=ZONE)
        assert wait.ready_at(here) == wait.ready_at(here.astimezone(ZONE)).astimezone(UTC)


def test_maxima_of_hours_and_of_working_days():
    assert latest_after(link("pour_deck", "saw_joints"), at(1, 13, month=7), calendar=WEEK, zone=ZONE) == at(
        2, 1, month=7
    )
    # Marked Thursday 4 June; the tenth working day after is Thursday 18 June.
    assert latest_after(link("mark_utilities", "dig"), at(4, 15), calendar=WEEK, zone=ZONE) == at(19, 0)
    assert latest_after(link("saw_joints", "clean_and_patch"), at(4, 15), calendar=WEEK, zone=ZONE) is None


def test_elapsed_hours_count_through_a_change_of_the_clocks():
    # US clocks go forward on 8 March 2026 at 02:00 and back on 1 November 2026 (15 USC 260a).
    wait = ClockWait(hours=24, reason="It cures.")
    assert wait.ready_at(at(7, 12, month=3)) == at(8, 13, month=3)
    assert wait.ready_at(at(31, 12, month=10)) == at(1, 11, month=11)


def test_an_evening_moment_in_utc_belongs_to_the_local_day():
    wait = NoticeWait(days=1, calendar=WEEK, zone=ZONE, reason="Notice.")
    tuesday_evening = datetime(2026, 6, 10, 1, 0, tzinfo=UTC)
    assert wait.ready_at(tuesday_evening) == at(10, 7)


def test_the_strength_floor_outlasts_a_shorter_stand_in():
    wait = FixedStrengthWait(fraction=0.35, fixed_hours=6, floor_hours=12, reason="It hardens.")
    assert wait.ready_at(at(12, 13)) == at(13, 1)


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(CannotDo, match="zone"):
        PlainWait().ready_at(datetime(2026, 6, 1, 7))  # noqa: DTZ001
