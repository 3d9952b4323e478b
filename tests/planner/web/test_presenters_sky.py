"""The day's sky: shade falls as far as the chance, an unknown hour is never an empty one."""

from dataclasses import replace
from datetime import timedelta

import pytest

from planner.dayplans.facts import SkyHour
from planner.web.presenters.skies.sky import SKY_HEIGHT, SkyMark, draw_hours
from tests.planner.dayplans.samples import ZONE, at, sky
from tests.planner.web.svg import draw, words_of


def test_shade_falls_as_far_as_the_chance() -> None:
    drawn = draw_hours(sky(), zone=ZONE)
    assert drawn is not None
    shown = [(one.curtain, hour.rain_chance) for one, hour in zip(drawn.columns, sky(), strict=True)]
    for curtain, chance in shown:
        assert curtain == pytest.approx(SKY_HEIGHT * (chance or 0.0), abs=0.06)


def test_an_unknown_hour_is_dots_and_a_question() -> None:
    drawn = draw_hours(sky(), zone=ZONE)
    assert drawn is not None
    last = drawn.columns[-1]
    assert (last.unknown, last.chance, last.temp, last.rain, last.wind, last.gust) == (True, "?", "?", "?", "?", "?")
    root = draw("hour_sky.html", sky=drawn)
    assert sum(node.get("fill") == "url(#hatch-unknown)" for node in root.iter()) == 1
    assert "Hours not known: 1." in (root.get("aria-label") or "")


def test_every_number_of_the_hours_is_written() -> None:
    drawn = draw_hours(sky(), zone=ZONE)
    words = words_of(draw("hour_sky.html", sky=drawn))
    assert words[:6] == ["5", "6a", "64", "0", "4", "8"]
    # Five in the afternoon: 80 percent; 4.1 mm is 0.16 inches (25.4 mm an inch, exact).
    five = words.index("5p")
    assert words[five - 1] == "80"
    assert words[five + 2] == ".16"


def test_a_trace_is_not_zero() -> None:
    drawn = draw_hours(sky(), zone=ZONE)
    assert drawn is not None
    assert [one.rain for one in drawn.columns][8:11] == ["0", "tr", ".05"]


def test_nothing_known_is_said_and_no_hours_draw_nothing() -> None:
    blank = draw_hours((SkyHour(starts_at=at(6)), SkyHour(starts_at=at(7))), zone=ZONE)
    assert blank is not None
    assert blank.summary == "Nothing is known of the rain in these hours."
    assert draw_hours((), zone=ZONE) is None


def test_hours_that_jump_are_refused() -> None:
    first, second = sky()[:2]
    with pytest.raises(ValueError, match="follow one another"):
        draw_hours((first, replace(second, starts_at=second.starts_at + timedelta(hours=1))), zone=ZONE)


def test_work_lies_under_its_hours_with_its_tail() -> None:
    pour = SkyMark(title="Pour", trade="concrete_forms", from_at=at(7), until_at=at(13, 30), safe_at=at(19, 15))
    drawn = draw_hours(sky(), zone=ZONE, marks=(pour,))
    assert drawn is not None
    (mark,) = drawn.marks
    seven = next(one for one in drawn.columns if one.hour == "7a")
    assert mark.x == seven.x
    assert mark.width == pytest.approx(6.5 * seven.width)
    assert (mark.tail_x, mark.tail_width) == (pytest.approx(mark.x + mark.width), pytest.approx(5.75 * seven.width))


def test_work_outside_the_hours_is_not_drawn_and_words_stay_inside() -> None:
    late = SkyMark(title="Yard", trade="clock", from_at=at(22), until_at=at(23))
    long = SkyMark(title="W" * 200, trade="liner", from_at=at(19), until_at=at(20))
    drawn = draw_hours(sky(), zone=ZONE, marks=(late, long))
    assert drawn is not None
    (mark,) = drawn.marks
    assert mark.label.endswith("…")
    assert mark.label_x >= drawn.left
