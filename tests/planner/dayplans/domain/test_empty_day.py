"""A crew without work gets an honest plan; bad input gets a plain error."""

from datetime import date

import pytest

from jobs.domain.errors import CannotDo
from planner.dayplans.presenters.text import day_plan_text, free_crews_text
from tests.planner.dayplans.domain.worlds import BRANCH, at, job, plan, stay, task, world

STACK = task("stack_forms", 1)


def test_a_day_without_work_has_no_stops_but_sky_stand_by_and_closing() -> None:
    facts = plan(world(job(STACK)), crew="dig")
    assert facts.stops == ()
    assert facts.sky
    assert facts.forecast.source.endswith("for Heron Lane"), "the sky of a site of the branch, named"
    assert facts.stand_by
    assert facts.deferring == "Follow local code, the engineer, the maker and licensed people."
    assert "does not say that anything is safe" in facts.closing
    assert facts.banner == BRANCH.banner
    assert "No stop is planned for this crew on this day." in day_plan_text(facts)


def test_crews_without_a_stop_share_one_list_with_their_next_stop() -> None:
    later = stay(STACK, at(7, day=18), at(12, day=18), "forms")
    built = world(job(STACK))
    plans = [plan(built, later, crew=key) for key in ("dig", "forms")]
    said = free_crews_text(plans)
    assert said.splitlines()[0].startswith("NO STOP ON ")
    assert [line.strip()[:5] for line in said.splitlines()[1:] if line.strip().startswith("-")] == ["- Dig", "- For"]
    assert "none in the days after either" in said
    assert "June 18" in said
    assert max(map(len, said.splitlines())) <= 92
    busy = plan(built, stay(STACK, at(7), at(12), "forms"), crew="forms")
    assert free_crews_text([busy]) == ""


def test_a_branch_without_any_job_or_forecast_still_has_a_day_plan() -> None:
    facts = plan(world(skies={}))
    assert (facts.stops, facts.sky, facts.sunrise_at, facts.heat) == ((), (), None, None)
    assert facts.forecast.source == "no forecast"
    assert "No forecast is known for this day." in day_plan_text(facts)


def test_a_sunday_says_that_nobody_comes() -> None:
    facts = plan(world(job(STACK)), on=date(2026, 6, 21))
    assert (facts.head_count, facts.stops, facts.stand_by) == (0, (), ())
    assert facts.coming[0].on == date(2026, 6, 22)


def test_an_unknown_crew_is_refused_with_the_crews_there_are() -> None:
    with pytest.raises(CannotDo) as refused:
        plan(world(job(STACK)), crew="nobody")
    assert (refused.value.code, refused.value.field) == ("dayplans.unknown_crew", "crew")
    assert "dig, forms, power" in str(refused.value)


def test_a_branch_without_crews_says_so() -> None:
    with pytest.raises(CannotDo, match="none is entered yet"):
        plan(world(job(STACK), crews=()))


def test_a_stay_of_no_length_is_no_piece_of_work() -> None:
    assert plan(world(job(STACK)), stay(STACK, at(7), at(7), "forms")).stops == ()


def test_the_whole_plan_can_be_read_aloud_in_text() -> None:
    pour = task("pour_floor", 1, quantity=11.5, unit="m3")
    text = day_plan_text(plan(world(job(pour)), stay(pour, at(7), at(14), "forms")))
    assert max(map(len, text.splitlines())) <= 92
    for words in ("None", "nan", "{", "  Floor: "):
        assert words not in text.replace("None is recorded", "")
