"""What changed since the crew was last told, and the next working days."""

from dataclasses import replace
from datetime import date

import pytest

from planner.dayplans.presenters.told import lines_of
from planner.plans.domain.world import Prepared, Stay
from tests.planner.dayplans.domain.worlds import FORMS, at, calendar, job, plan, stay, task, world

STACK, FIT = task("stack_forms", 1), task("fit_openings", 2)
POOL = job(STACK, FIT)
NOW = stay(STACK, at(7), at(12), "forms")

SHEET, TENT = (Prepared(titles=(title,), dollars=60) for title in ("Sheet", "Tent"))


def changes(now: tuple[Stay, ...], told: tuple[Stay, ...], pool=POOL) -> tuple[str, ...]:
    return plan(world(pool), *now, told=told, told_number=3).changed


@pytest.mark.parametrize(
    ("now", "told", "words"),
    [
        (NOW, replace(NOW, start_at=at(9)), "starts 7:00 am, not 9:00 am."),
        (NOW, replace(NOW, start_at=at(7, day=15)), "starts 7:00 am, not 7:00 am Monday, June 15."),
        (NOW, replace(NOW, end_at=at(14)), "ends noon, not 2:00 pm."),
        (NOW, None, "new for you, 7:00 am to noon."),
        (NOW, replace(NOW, crews=("dig",)), "new for you, 7:00 am to noon."),
        (replace(NOW, crews=("dig",)), NOW, "not yours any more; Dig crew does it from 7:00 am."),
        (None, NOW, "no longer planned."),
        (replace(NOW, crews=("forms", "dig")), NOW, "now together with Dig crew."),
        (NOW, replace(NOW, crews=("forms", "dig")), "now by your crew alone."),
        (replace(NOW, prepared=SHEET), NOW, "prepare Sheet."),
        (replace(NOW, prepared=SHEET), replace(NOW, prepared=TENT), "prepare Sheet, not Tent."),
        (NOW, replace(NOW, prepared=SHEET), "not needed any more: Sheet."),
    ],
)
def test_each_kind_of_change_in_words(now: Stay | None, told: Stay | None, words: str) -> None:
    given = [(one,) if one is not None else () for one in (now, told)]
    assert changes(given[0], given[1]) == (f"Heron Lane, {STACK.title}: {words}",)


def test_nothing_changed_is_silence() -> None:
    assert changes((NOW,), (NOW,)) == ()
    prepared = replace(NOW, prepared=SHEET)
    assert changes((prepared,), (prepared,)) == ()


def test_a_crew_is_told_again_of_what_it_has_to_prepare_and_of_nothing_else() -> None:
    facts = [plan(world(POOL), replace(NOW, prepared=prepared)) for prepared in (None, SHEET, SHEET, TENT)]
    bare, sheet, again, tent = (lines_of(one) for one in facts)
    assert sheet == again
    assert len({bare, sheet, tent}) == 3


def test_finished_work_and_far_days_are_no_change() -> None:
    done = job(replace(STACK, finished_at=at(16, day=15)), FIT)
    assert changes((), (NOW,), done) == ()
    far, moved = stay(FIT, at(7, day=29), at(9, day=29), "forms"), stay(FIT, at(7, day=30), at(9, day=30), "forms")
    assert changes((far,), (moved,)) == ()
    assert len(changes((replace(far, start_at=at(7, day=23), end_at=at(9, day=23)),), (far,))) == 1


def test_a_crew_that_was_never_told_has_no_changes() -> None:
    facts = plan(world(POOL), NOW, told=(replace(NOW, start_at=at(9)),))
    assert (facts.changed, facts.told_plan_number) == ((), None)


def test_five_working_days_follow_over_the_weekend_one_line_each() -> None:
    later = stay(FIT, at(8, day=18), at(11, day=18), "forms")
    found = plan(world(POOL), NOW, later).coming
    assert [one.on.day for one in found] == [17, 18, 19, 22, 23]
    assert [one.line for one in found] == [
        "No work planned.",
        f"Heron Lane, {FIT.title} 8:00 am to 11:00 am.",
        *["No work planned."] * 3,
    ]


def test_days_off_are_no_working_days() -> None:
    away = replace(FORMS, calendar=calendar("Forms crew", days_off=frozenset({date(2026, 6, 17)})))
    found = plan(world(POOL, crews=(away,)), NOW).coming
    assert [one.on.day for one in found] == [18, 19, 22, 23, 24]
