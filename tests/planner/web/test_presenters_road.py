"""A crew's road: solid at stops, a gap where it drives, bare where it is free."""

import pytest

from planner.web.presenters.canvas import words_width
from planner.web.presenters.road import SIZE, Road, RoadStop, draw_road
from tests.planner.web.samples import at, scale, sky
from tests.planner.web.svg import draw, rows_of, words_of

SCALE = scale(5, 165.0)
WINDOWS = tuple((at(day, 7), at(day, 16, 30)) for day in range(5))


def stop(site: str, title: str, day: int, start: int, end: int, travel: int = 0) -> RoadStop:
    return RoadStop(
        site=site,
        title=title,
        trade="concrete_forms",
        trade_title="concrete and forms",
        from_at=at(day, start),
        until_at=at(day, end),
        state="waiting",
        travel_minutes=travel,
        travel_m=travel * 800.0,
        with_crews=("Pump crew",) if travel else (),
    )


STOPS = (
    stop("Heron Lane pool", "Pour walls", 0, 7, 13, 25),
    stop("Mill Pond pool", "Take off bracing", 0, 14, 16, 30),
    stop("Otter Run pool", "Stack forms", 1, 7, 12, 35),
    stop("Otter Run pool", "Openings", 1, 12, 16),
)


def road() -> Road:
    return draw_road("Shell crew one", STOPS, scale=SCALE, windows=WINDOWS, sky=sky(), now=at(1, 10))


def test_travel_ends_where_the_stop_begins() -> None:
    drawn = road()
    assert len(drawn.travel) == 3
    assert drawn.travel[1].x + drawn.travel[1].width == pytest.approx(drawn.stops[1].x, abs=0.11)
    assert drawn.travel[1].x >= drawn.stops[0].x + drawn.stops[0].width


def test_free_hours_show_as_bare_road() -> None:
    assert len(road().bare) == 5
    assert draw_road("x", (), scale=SCALE).bare == ()


def test_one_site_is_named_once_a_day() -> None:
    assert [one.site for one in road().stops][2:] == ["Otter Run pool", ""]


def test_words_run_no_further_than_the_next_stop() -> None:
    drawn = road()
    first, second = drawn.stops[:2]
    assert first.x + words_width(first.title, SIZE - 1) <= second.x
    assert first.x + words_width(first.site, SIZE) <= second.x


def test_the_table_has_the_same_stops() -> None:
    rows = rows_of("road_table.html", road=road())
    assert rows[1][:7] == [
        "Mon Jun 15",
        "7:00 am to 1:00 pm",
        "Heron Lane pool",
        "Pour walls",
        # 25 minutes; 20 km are 12.4 miles (1609.344 m a mile, exact).
        "25 min, 12 miles",
        "Pump crew",
        "waiting",
    ]
    assert len(rows) == 1 + len(STOPS)


def test_the_drawing_is_well_formed_and_says_itself() -> None:
    root = draw("road.html", road=road())
    assert root.get("aria-label") == "Shell crew one: 4 stops at 3 sites in 5 days, 1 h 30 min on the road."
    assert "Otter Run pool" in words_of(root)
