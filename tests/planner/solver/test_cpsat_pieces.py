"""Pieces of a plan set free: what stays fixed stays, what is saved is saved by the checker's sum."""

from itertools import islice, pairwise
from random import Random
from threading import enumerate as enumerate_threads

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.solver.candidates import find_candidates
from planner.solver.check import check, cost_of
from planner.solver.cpsat.engine import run
from planner.solver.cpsat.excess import Excess
from planner.solver.cpsat.improve import Improving, Piece, improve
from planner.solver.cpsat.neighbourhoods import NOWHERE, Around, Drawn, Neighbourhoods
from planner.solver.cpsat.part import as_assignments, free_part
from planner.solver.cpsat.search import PIECE
from planner.solver.cpsat.starts import cover
from planner.solver.cpsat.together import improve_together
from planner.solver.laying.greedy import RULES, Greedy
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import laid_out
from planner.solver.masks import mask_of, meeting, runs_of
from planner.solver.problem import DailyLimit, Gear, GearHold, StartWeather
from planner.solver.result import Assignment
from tests.planner.solver import small
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.engine_cases import at

# A task of a piece may move so many positions.
FAR = 1000


def grounded(pools: int, number: int) -> Ground:
    problem = company_problem(pools, number)
    return Ground(problem=problem, candidates=find_candidates(problem))


@pytest.mark.parametrize(("pools", "number"), [(4, 3), (12, 1)])
def test_every_step_keeps_every_rule_and_never_costs_more(pools: int, number: int) -> None:
    ground = grounded(pools, number)
    plan = Greedy(ground).draft(RULES[0]).assignments
    dollars = cost_of(ground.problem, plan).total
    saved = 0
    for step in islice(improve(ground, plan, PIECE, 1, lambda _: False), 6):
        saved += step.saved
        assert check(ground.problem, step.assignments()) == ()
        assert cost_of(ground.problem, step.assignments()).total <= dollars - saved
    assert saved > 0


def test_pieces_solved_together_keep_every_rule_and_end_when_told() -> None:
    ground = grounded(12, 1)
    plan = Greedy(ground).draft(RULES[0]).assignments
    dollars = cost_of(ground.problem, plan).total
    for step in islice(improve_together(ground, plan, PIECE, 1, lambda _: False, hands=2), 8):
        dollars -= step.saved
        assert check(ground.problem, step.assignments()) == ()
        assert cost_of(ground.problem, step.assignments()).total == dollars
    assert dollars < cost_of(ground.problem, plan).total
    assert not any(thread.name.startswith("piece") for thread in enumerate_threads())


def test_of_two_pieces_that_want_one_day_the_second_is_given_up() -> None:
    # Both lie on a dear day; the one crew has one day free that costs nothing.
    dear = tuple(StartWeather(start=at(day), end=at(day + 1), forbidden=False, dollars=500) for day in (0, 1))
    tasks = tuple(small.work(key, 480, "a", weather=dear) for key in ("one", "two"))
    ground = Ground(problem=(problem := small.problem(3, tasks)), candidates=find_candidates(problem))
    plan = tuple(
        Assignment(task=key, start=at(day), end=at(day, 480), crews=("a",)) for day, key in enumerate(("one", "two"))
    )
    improving = Improving(ground, plan, 1, NOWHERE)
    pieces = [piece_of(improving, ground, key) for key in ("one", "two")]
    found = [run(piece.part, PIECE, first=piece.before) for piece in pieces]
    assert [{one.start for one in each.assignments} for each in found] == [{at(2)}, {at(2)}]
    steps = [improving.settle(piece, each) for piece, each in zip(pieces, found, strict=True)]
    assert [step.saved for step in steps] == [500, 0]
    assert [one.start for one in steps[-1].assignments()] == [at(2), at(1)]


def piece_of(improving: Improving, ground: Ground, key: str) -> Piece:
    old = {key: improving.ledger.lift(key)}
    part = free_part(improving.ledger, old, Random(1), FAR)
    improving.ledger.place(key, old[key].of, old[key].position)
    drawn = Drawn(kind="near", tasks=(key,))
    return Piece(old=old, part=part, before=as_assignments(old, part), drawn=drawn, extent=1.0, reach=4)


def test_where_the_free_tasks_lay_is_among_what_their_part_allows() -> None:
    ground = grounded(4, 3)
    ledger = laid_out(ground, Greedy(ground).draft(RULES[0]).assignments, holds_on=False)
    neighbourhoods = Neighbourhoods(ground, Random(5))
    for _ in range(12):
        keys = neighbourhoods.draw(ledger, 30).tasks
        assert keys
        old = {key: ledger.lift(key) for key in keys}
        part = free_part(ledger, old, Random(3), FAR)
        laid = laid_out(part, as_assignments(old, part), holds_on=False)
        assert all(laid.placed[key].position == made.position for key, made in old.items())
        for key, made in old.items():
            ledger.place(key, made.of, made.position)


@pytest.mark.parametrize(("count", "beside"), [(2, 3), (5, 0)])
def test_a_piece_sees_the_fixed_tasks_of_a_limit_only_on_days_it_could_fill(count: int, beside: int) -> None:
    tasks = tuple(small.work(f"look{number}", 60, "abcdef"[number], earliest=number // 2 * 1440) for number in range(6))
    limits = (DailyLimit(key="looks", tasks=tuple(task.key for task in tasks), count=count),)
    problem = small.problem(5, tasks, crews=6, limits=limits)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    ledger = laid_out(ground, Greedy(ground).draft(RULES[0]).assignments, holds_on=False)
    old = {f"look{number}": ledger.lift(f"look{number}") for number in (1, 3, 5)}
    (limit,) = free_part(ledger, old, Random(1), FAR).problem.limits
    assert set(old) <= set(limit.tasks)
    assert len(limit.tasks) == len(old) + beside


@pytest.mark.parametrize(("count", "beside"), [(3, 3), (4, 0)])
def test_a_piece_sees_the_fixed_holds_of_gear_only_where_they_could_leave_too_little(count: int, beside: int) -> None:
    tasks = tuple(small.work(f"job{number}", 60, "abcdef"[number], earliest=number // 2 * 1440) for number in range(6))
    holds = tuple(GearHold(gear="brace", from_task=task.key, until_task=task.key) for task in tasks)
    gear = (Gear(key="brace", name="Brace set", count=count),)
    problem = small.problem(5, tasks, crews=6, gear=gear, holds_of_gear=holds)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    ledger = laid_out(ground, Greedy(ground).draft(RULES[0]).assignments, holds_on=False)
    old = {f"job{number}": ledger.lift(f"job{number}") for number in (1, 3, 5)}
    seen = [hold.until_task for hold in free_part(ledger, old, Random(1), FAR).problem.holds_of_gear]
    assert set(old) <= set(seen)
    assert len(seen) == len(old) + beside


def test_the_same_seed_draws_the_same_pieces() -> None:
    ground = grounded(4, 3)
    ledger = laid_out(ground, Greedy(ground).draft(RULES[0]).assignments)
    one, other = Neighbourhoods(ground, Random(7)), Neighbourhoods(ground, Random(7))
    assert [one.draw(ledger, 20) for _ in range(10)] == [other.draw(ledger, 20) for _ in range(10)]


@pytest.mark.parametrize("kind", ["pools", "stretch", "trade", "dear"])
def test_every_kind_draws_free_tasks_about_as_many_as_asked(kind: str) -> None:
    ground = grounded(6, 2)
    ledger = laid_out(ground, Greedy(ground).draft(RULES[0]).assignments)
    neighbourhoods = Neighbourhoods(ground, Random(3))
    free = [key for key, starts in ground.starts.items() if starts.task.pin is None]
    drawn = next(one for one in iter(lambda: neighbourhoods.draw(ledger, 60), None) if one.kind == kind)
    assert list(drawn.tasks) == [key for key in free if key in drawn.tasks]
    # A trade may have few tasks; a task may come with all those beside it.
    assert 30 <= len(drawn.tasks) <= 70


def test_what_is_around_a_change_is_drawn_as_often_as_asked() -> None:
    ground = grounded(4, 3)
    ledger = laid_out(ground, Greedy(ground).draft(RULES[0]).assignments)
    free = [key for key, starts in ground.starts.items() if starts.task.pin is None]
    around = Neighbourhoods(ground, Random(3), Around(tasks=(free[0],), share=1.0))
    assert all(one.kind == "near" and free[0] in one.tasks for one in (around.draw(ledger, 10) for _ in range(5)))


def test_a_dear_start_is_set_free_with_whoever_is_in_its_way_and_far_enough_to_better() -> None:
    # Beside four that pay nothing, one pays 700 on its first day; its crew has something else on every day until then.
    sky = (StartWeather(start=at(0), end=at(3), forbidden=False, dollars=700),)
    others = [small.work(f"other{day}", 480, "a", earliest=at(day)) for day in range(1, 5)]
    problem = small.problem(8, (small.work("dear", 480, "a", weather=sky), *others))
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    plan = tuple(
        Assignment(task=key, start=at(day), end=at(day, 480), crews=("a",))
        for day, key in enumerate(("dear", "other1", "other2", "other3", "other4"))
    )
    ledger = laid_out(ground, plan)
    excess = Excess(ground)
    assert [excess.of(key, ledger.placed[key]) for key in ledger.placed] == [700, 0, 0, 0, 0]
    neighbourhoods = Neighbourhoods(ground, Random(1))
    drawn = next(one for one in iter(lambda: neighbourhoods.draw(ledger, 3), None) if one.kind == "dear")
    assert {"dear", "other3"} <= set(drawn.tasks)
    assert drawn.reach >= 3 * ground.axis.units


POSITIONS = st.sets(st.integers(0, 60), min_size=1)


@given(POSITIONS, st.integers(1, 20))
def test_a_stay_meets_what_it_would_run_into(taken: set[int], length: int) -> None:
    met = meeting(mask_of((at, at) for at in taken), length)
    expected = {start for start in range(61) if taken & set(range(start, start + length))}
    assert {start for start in range(61) if met >> start & 1} == expected
    assert {at for first, last in runs_of(mask_of((at, at) for at in taken)) for at in range(first, last + 1)} == taken


@settings(max_examples=200)
@given(POSITIONS, POSITIONS)
def test_a_cover_holds_a_class_and_no_other_start(mine: set[int], others: set[int]) -> None:
    everywhere = runs_of(mask_of((at, at) for at in mine | others))
    covers = cover(runs_of(mask_of((at, at) for at in mine)), everywhere)
    held = {at for first, last in covers for at in range(first, last + 1)}
    assert mine <= held
    assert not held & (others - mine)
    assert all(set(range(left[1] + 1, right[0])) & (others - mine) for left, right in pairwise(covers))
