"""Greedy plans: whole and valid where they say so, the same each time, and honest about where they broke off."""

import pytest

from planner.solver.candidates import find_candidates
from planner.solver.check import check, cost_of
from planner.solver.laying.blocks import find_blocks
from planner.solver.laying.greedy import RULES, Draft, Greedy, Rule, stuck_clash
from planner.solver.laying.ground import Ground
from planner.solver.problem import Gear, GearHold, Link, Pin, Problem, Promise, StartWeather
from tests.planner.solver import small
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.engine_cases import at
from tests.planner.solver.tiny_problems import tiny_problem

SOON = Rule(first="promise", patience=None)


def grounded(problem: Problem) -> Ground:
    return Ground(problem=problem, candidates=find_candidates(problem))


def draft_of(problem: Problem, rule: Rule = SOON) -> Draft:
    draft = Greedy(grounded(problem)).draft(rule)
    if draft.is_whole:
        assert check(problem, draft.assignments) == ()
    return draft


@pytest.mark.parametrize("number", range(3))
def test_every_rule_plans_a_branch_of_six(number: int) -> None:
    problem = company_problem(6, number)
    drafts = list(Greedy(grounded(problem)).drafts())
    assert [draft.is_whole for draft in drafts] == [True] * len(RULES)
    assert not any(check(problem, draft.assignments) for draft in drafts)


def test_a_whole_draft_of_any_tiny_problem_keeps_every_rule() -> None:
    whole = 0
    for number in range(100):
        problem = tiny_problem(number)
        ground = grounded(problem)
        if ground.candidates.clashes or any(task.pin is not None for task in problem.tasks):
            continue
        for draft in Greedy(ground).drafts():
            if draft.is_whole:
                whole += 1
                assert check(problem, draft.assignments) == ()
    assert whole > 100


def test_the_same_problem_gives_the_same_drafts() -> None:
    problem = company_problem(4, 1)
    assert list(Greedy(grounded(problem)).drafts()) == list(Greedy(grounded(problem)).drafts())


def test_the_head_of_a_chain_waits_until_its_tail_fits() -> None:
    # The liner may not lie dry for two hours, and the hose is free on Wednesday only.
    tasks = (small.work("liner", 120, "a"), small.work("water", 60, "b", earliest=at(2, 240)))
    links = (Link(before="liner", after="water", kind="soon", max_minutes=120),)
    draft = draft_of(small.problem(5, tasks, crews=2, links=links))
    assert draft.is_whole
    assert draft.assignments[0].end >= draft.assignments[1].start - 120


def test_one_brace_set_goes_from_wall_to_wall() -> None:
    keys = ("one", "two", "three")
    tasks = tuple(small.work(f"{kind} {key}", 60, "a", job=key) for key in keys for kind in ("brace", "strip"))
    links = tuple(Link(before=f"brace {key}", after=f"strip {key}", kind="cure", min_minutes=1440) for key in keys)
    holds = tuple(GearHold(gear="set", from_task=f"brace {key}", until_task=f"strip {key}") for key in keys)
    gear = (Gear(key="set", name="Brace set", count=1),)
    assert draft_of(small.problem(12, tasks, links=links, gear=gear, holds_of_gear=holds)).is_whole


def test_blocks_hold_what_lies_between_the_ends_of_a_longest_wait() -> None:
    tasks = tuple(small.work(key, 60, "a") for key in ("dig", "brace", "pour", "strip", "deck"))
    pairs = (("dig", "brace"), ("brace", "pour"), ("pour", "strip"), ("strip", "deck"))
    links = tuple(Link(before=before, after=after, kind="after") for before, after in pairs)
    longest = Link(before="brace", after="strip", kind="rent", max_minutes=9000)
    blocks = find_blocks(grounded(small.problem(9, tasks, links=(*links, longest))))
    assert [block.tasks for block in blocks] == [("dig",), ("brace", "pour", "strip"), ("deck",)]
    assert [block.waits_for for block in blocks] == [(), (0,), (1,)]


def test_a_rule_with_patience_waits_a_day_for_a_dry_sky() -> None:
    weather = (StartWeather(start=0, end=at(1), forbidden=False, dollars=500),)
    tasks = (small.work("pour", 60, "a", weather=weather),)
    promises = (Promise(job="one", task="pour", due=at(3), dollars_per_day=200),)
    problem = small.problem(5, tasks, promises=promises)
    assert draft_of(problem).assignments[0].start == at(0)
    patient = draft_of(problem, Rule(first="promise", patience=10))
    assert cost_of(problem, patient.assignments).total == 0


def test_pinned_work_is_planned_around() -> None:
    pinned = small.work("dig", 120, "a", pin=Pin(start=at(0, 120), end=at(0, 240), crews=("a",)))
    draft = draft_of(small.problem(1, (pinned, small.work("long", 240, "a"), small.work("short", 120, "a"))))
    assert draft.is_whole


def test_where_it_broke_off_is_named_with_a_remedy() -> None:
    tasks = (small.work("liner", 120, "a", latest_start=at(0)), small.work("water", 60, "b", earliest=at(3)))
    links = (Link(before="liner", after="water", kind="soon", max_minutes=120),)
    problem = small.problem(5, tasks, crews=2, links=links)
    ground = grounded(problem)
    draft = Greedy(ground).draft(SOON)
    assert draft.stuck == "water"
    clash = stuck_clash(ground, draft)
    assert clash.task == "water"
    assert "Water" in clash.says
    assert "longest waits" in clash.says
