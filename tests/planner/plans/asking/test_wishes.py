"""What is filled in to try survives its storage, is refused before any search, and makes the world it says."""

from datetime import date

import pytest

from jobs.domain.errors import CannotDo
from planner.plans.asking.wishes import Wish, another_like, as_plain, change_of, from_plain
from planner.plans.asking.worlds import plan_world
from planner.plans.domain.world import World
from planner.solver.parameters import GreedyOnly
from tests.planner.dayplans.domain.worlds import at, job, series, sky, task, world

LOOK, POUR = task("inspect_walls", 2, bookings=()), task("pour_walls", 3, bookings=())
DIG = task("dig", 1, bookings=(), started_at=at(8, day=15))
POOL = job(DIG, LOOK, POUR)
TUESDAY, THURSDAY = date(2026, 6, 16), date(2026, 6, 18)


def tuesday_world() -> World:
    return world(POOL, skies={1: sky(series(hours=96))})


def test_wishes_come_back_as_they_were_kept() -> None:
    wishes = (Wish(kind="crew_away", subject="dig", from_on=TUESDAY, until_on=THURSDAY), Wish(kind="extra_crew"))
    assert from_plain(as_plain(wishes)) == wishes


def test_the_lines_of_a_trial_happen_together() -> None:
    wishes = (
        Wish(kind="crew_away", subject="dig", from_on=TUESDAY, until_on=THURSDAY),
        Wish(kind="extra_crew", subject="forms"),
    )
    changed = change_of(tuesday_world(), wishes, title="A")
    after = changed.made(tuesday_world())
    dig = next(crew for crew in after.crews.crews if crew.key == "dig")
    assert changed.title == "A"
    assert not any(dig.calendar.is_working_day(date(2026, 6, day)) for day in (16, 17, 18))
    assert "forms-extra" in {crew.key for crew in after.crews.crews}


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        (Wish(kind="crew_away", subject="nobody", from_on=TUESDAY), "no crew 'nobody'"),
        (Wish(kind="crew_away", subject="dig", from_on=THURSDAY, until_on=TUESDAY), "are no days"),
        (Wish(kind="rain", from_on=TUESDAY, until_on=date(2027, 6, 16)), "more than 60"),
        (Wish(kind="rain", from_on=date(2026, 6, 1)), "is over"),
        (Wish(kind="promise", subject="99", from_on=THURSDAY), "pool is not open"),
        (Wish(kind="visit_fails", subject="1"), "opens no hold"),
        (Wish(kind="gear_lost", subject="crane"), "no gear 'crane'"),
    ],
)
def test_what_the_branch_does_not_have_is_refused_with_its_line(wish: Wish, says: str) -> None:
    with pytest.raises(CannotDo, match=says) as refused:
        change_of(tuesday_world(), (wish,), title="A")
    assert refused.value.field == wish.kind
    assert refused.value.remedy


def test_another_pool_like_one_begins_from_nothing_and_is_planned_beside_it() -> None:
    second = another_like(POOL, THURSDAY)
    assert all(one.started_at is None and one.is_open for one in second.tasks)
    assert {link.before for link in second.links} <= {one.id for one in second.tasks}
    assert second.promised_on is None
    after = change_of(tuesday_world(), (Wish(kind="like_pool", subject="1", from_on=THURSDAY),), title="A")
    assembled, done = plan_world(after.made(tuesday_world()), GreedyOnly())
    starts = {one.task: assembled.line.at(one.start) for one in done.result.assignments}
    assert {"1.pour_walls", "-1.dig", "-1.pour_walls"} <= set(starts)
    assert min(starts[f"-1.{one.key}"] for one in second.tasks) >= at(0, day=18)
