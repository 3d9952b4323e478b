"""Pictures of the film: on one ground line, hatched where work is, the sky and the cure to scale."""

from datetime import timedelta
from typing import get_args

import pytest

from planner.web.presenters.long_section import Built, ground_m, sheet_of
from planner.web.presenters.pools.frames import SKY, TAIL, WORK_WIDTH, Cure, Easel, Work
from planner.web.presenters.pools.places import THICK_PX, Place, areas_of
from planner.web.presenters.profile import PoolShape
from planner.web.presenters.skies.half_sky import HalfDay
from tests.planner.web.samples import at, sky
from tests.planner.web.svg import SVG, draw

SHAPE = PoolShape(stations=((0.0, 1.0), (4.0, 1.0), (7.0, 2.4), (9.0, 2.4), (10.0, 1.6)))
SHEET = sheet_of(SHAPE, WORK_WIDTH / ground_m(SHAPE))
EASEL = Easel(SHEET)


def days(first: int, last: int) -> list[HalfDay]:
    return [half for half in sky() if at(first, 6) <= half.from_at < at(last + 1, 6)]


def corners(points: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in (pair.split(",") for pair in points.split())]


def area(of: tuple[tuple[float, float], ...]) -> float:
    """The shoelace formula (any textbook of plane geometry)."""
    return abs(sum(x * b - a * y for (x, y), (a, b) in zip(of, (*of[1:], of[0]), strict=True))) / 2


@pytest.mark.parametrize("place", get_args(Place))
def test_every_place_is_drawn_inside_the_picture_and_thick_enough_for_a_hatch(place: Place) -> None:
    picture = EASEL.work(
        Built(dig=True), [Work(place=place, hatch="liner", from_m=0.5, until_m=1.2)], days(0, 0), (), "x"
    )
    assert picture.patches
    for patch in picture.patches:
        xs, ys = zip(*corners(patch.points), strict=True)
        assert -0.2 <= min(xs) < max(xs) <= picture.width + 0.2
        assert 0 <= picture.lift + min(ys) < picture.lift + max(ys) <= picture.height
        assert max(max(xs) - min(xs), max(ys) - min(ys)) >= THICK_PX - 0.2


def test_water_between_two_levels_is_what_one_level_holds_more_than_the_other() -> None:
    levels = (0.6, 1.1)
    (risen,) = areas_of(SHEET, "water", from_m=levels[0], until_m=levels[1])
    low, high = (area(SHAPE.water(level)) for level in levels)
    assert area(risen) == pytest.approx(high - low)
    assert areas_of(SHEET, "water", from_m=1.1, until_m=1.1) == ()


def test_all_pictures_stand_on_one_ground_line() -> None:
    pictures = [
        EASEL.work(Built(), [], days(0, 0), (), "a"),
        EASEL.still(days(1, 3), (), "b"),
        EASEL.gate(passed=False, failed=False, halves=days(4, 4), cures=(), said="c"),
    ]
    assert len({(one.ground, one.height) for one in pictures}) == 1
    assert pictures[0].section is not None
    ground_y = corners(pictures[0].section.ground)[0][1]
    assert ground_y + pictures[0].lift == pytest.approx(pictures[0].ground, abs=0.11)


def test_the_shade_falls_as_far_as_the_chance_of_rain() -> None:
    picture = EASEL.still(days(0, 2), (), "x")
    # Chances of the three daylight halves: 5, 10 and 80 percent (samples.sky).
    shares = [one.curtain / picture.ground for one in picture.sky]
    assert shares == pytest.approx([0.05, 0.1, 0.8], abs=0.01)
    assert sum(one.width for one in picture.sky) == pytest.approx(picture.width, abs=0.3)
    assert picture.ground > SKY


def test_a_cure_thins_out_from_picture_to_picture_and_ends_where_it_is_strong() -> None:
    cure = Cure(from_at=at(0, 14), until_at=at(2, 14))
    first, second, third = (corners(EASEL.work(Built(), [], days(on, on), (cure,), "x").tail) for on in (0, 1, 2))
    thick = [
        [low[1] - high[1] for high, low in zip(one[:2], reversed(one[2:]), strict=True)]
        for one in (first, second, third)
    ]
    assert thick[0][0] == pytest.approx(TAIL, abs=0.11)
    assert thick[0][1] == pytest.approx(thick[1][0], abs=0.11)
    assert thick[1][1] == pytest.approx(thick[2][0], abs=0.11)
    assert thick[2][1] == pytest.approx(0, abs=0.11)
    # It begins at 14:00 of a day that runs from 6:00 to 6:00, and ends there two days on.
    assert first[0][0] == third[1][0] == pytest.approx(WORK_WIDTH * 8 / 24, abs=0.06)
    assert EASEL.still(days(3, 4), (cure,), "x").tail == ""


def test_a_shut_gate_has_bars_across_and_an_open_one_none() -> None:
    shut = EASEL.gate(passed=False, failed=False, halves=days(0, 0), cures=(), said="x")
    failed = EASEL.gate(passed=False, failed=True, halves=days(0, 0), cures=(), said="x")
    opened = EASEL.gate(passed=True, failed=False, halves=days(0, 0), cures=(), said="x")
    assert shut.bars.count("H") >= 3
    assert failed.bars.count("L") == shut.bars.count("L") + 1
    assert "H" not in opened.bars


def test_without_a_design_there_is_ground_and_sky_and_no_section() -> None:
    picture = Easel(None).work(None, [Work(place="dig", hatch="excavation")], days(0, 0), (), "x")
    assert (picture.section, picture.patches) == (None, ())
    assert picture.ground == SKY


def test_a_picture_is_well_formed_and_says_itself() -> None:
    picture = EASEL.work(Built(dig=True), [Work(place="floor", hatch="liner")], days(0, 1), (), "Mon: pour & finish")
    root = draw("frame.html", picture=picture)
    assert root.get("aria-label") == "Mon: pour & finish"
    assert len([one for one in root.iter(f"{SVG}polygon") if "fresh" in (one.get("class") or "")]) == 2


def test_dry_days_and_unknown_days_do_not_look_alike() -> None:
    unknown = HalfDay(from_at=at(0, 6), until_at=at(0, 18))
    dry = HalfDay(from_at=at(0, 6), until_at=at(0, 18), rain_chance=0.0)
    assert EASEL.still([unknown], (), "x").sky[0].reach == "unknown"
    assert EASEL.still([dry], (), "x").sky[0].reach == "forecast"
    assert at(0, 18) - at(0, 6) == timedelta(hours=12)
