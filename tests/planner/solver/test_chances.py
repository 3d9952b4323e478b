"""Ways are drawn by what they saved for their work; none is given up, and what lies far back is forgotten."""

from collections import Counter
from random import Random

from planner.solver.cpsat.chances import LEAST, Chances


def shares(chances: Chances[str], draws: int = 4000) -> dict[str, float]:
    counts = Counter(chances.draw() for _ in range(draws))
    return {way: count / draws for way, count in counts.items()}


def test_ways_nobody_has_tried_are_drawn_alike() -> None:
    found = shares(Chances("abcd", Random(1)))
    assert set(found) == set("abcd")
    assert all(abs(share - 0.25) < 0.05 for share in found.values())


def test_a_way_that_saves_twice_as_much_for_its_work_is_drawn_about_twice_as_often() -> None:
    chances = Chances("ab", Random(1))
    for _ in range(200):
        chances.learn("a", 20.0, 1.0)
        chances.learn("b", 30.0, 3.0)
    assert 1.6 < shares(chances)["a"] / shares(chances)["b"] < 2.4


def test_a_way_that_saves_nothing_is_still_drawn_now_and_then() -> None:
    chances = Chances("ab", Random(1))
    for _ in range(200):
        chances.learn("a", 20.0, 1.0)
        chances.learn("b", -5.0, 1.0)
    assert LEAST / 2 < shares(chances)["b"] < 2 * LEAST


def test_what_a_way_saved_long_ago_is_forgotten() -> None:
    chances = Chances("ab", Random(1))
    for _ in range(50):
        chances.learn("a", 100.0, 1.0)
    for _ in range(300):
        chances.learn("a", 0.0, 1.0)
        chances.learn("b", 10.0, 1.0)
    a, b = chances.rates()
    assert a < b


def test_the_same_seed_draws_the_same_ways() -> None:
    one, other = Chances("abc", Random(7)), Chances("abc", Random(7))
    for number in range(40):
        way = one.draw()
        assert other.draw() == way
        one.learn(way, number % 5, 1.0)
        other.learn(way, number % 5, 1.0)
