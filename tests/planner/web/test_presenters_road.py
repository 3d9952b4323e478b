"""A crew's road: a stone for every day, hatched at stops, a gap where it drives."""

from datetime import timedelta

import pytest

from planner.web.presenters.road import LAY_BY, STOP_LEAST, STOP_MOST, Road, RoadStop, days_of, draw_road
from tests.planner.web.samples import MONDAY, ZONE, at, sky
from tests.planner.web.svg import SVG, draw, rows_of, words_of

DATES = tuple(MONDAY + timedelta(days=day) for day in range(7))


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


def road(stops: tuple[RoadStop, ...] = STOPS) -> Road:
    days = days_of(
        DATES,
        due=lambda on: on.weekday() < 5,
        sky={half.from_at.date(): half for half in sky() if not half.night},
        where=lambda on: f"/crews/shell/{on}/",
    )
    return draw_road("Shell crew one", days, stops, zone=ZONE, today=DATES[1])


def test_every_day_has_its_stone_and_leads_to_its_day_plan() -> None:
    stones = [one for one in road().pieces if one.kind == "stone"]
    assert [one.where for one in stones] == [f"/crews/shell/{on}/" for on in DATES]
    assert [one.now for one in stones] == [False, True, False, False, False, False, False]
    assert [one.words for one in stones] == ["", "", *["nothing planned"] * 3, *["free day"] * 2]


def test_a_day_goes_whole_into_the_next_row() -> None:
    stretches = road().stretches
    assert [[one.kind for one in day].count("stone") for day in stretches] == [1] * 7
    assert [day[0].kind for day in stretches] == ["stone"] * 7
    assert tuple(one for day in stretches for one in day) == road().pieces


def test_a_drive_stands_before_the_stop_it_leads_to_and_none_where_the_crew_stays() -> None:
    kinds = [(one.kind, one.title) for one in road().pieces[:8]]
    assert kinds == [
        ("stone", "Mon Jun 15"),
        ("drive", ""),
        ("stop", "Heron Lane pool"),
        ("drive", ""),
        ("stop", "Mill Pond pool"),
        ("stone", "Today"),
        ("drive", ""),
        ("stop", "Otter Run pool"),
    ]
    assert road().pieces[8].kind == "stop"
    # 25 minutes; 20 km are 12.4 miles (1609.344 m a mile, exact).
    assert (road().pieces[1].words, road().pieces[1].more) == ("25 min", "12 miles")


def test_a_longer_stay_is_a_longer_stop_within_bounds() -> None:
    widths = [one.width for one in road().pieces if one.kind == "stop"]
    assert widths[0] > widths[1]
    assert all(STOP_LEAST <= width <= STOP_MOST for width in widths)


def test_pieces_meet_at_one_height() -> None:
    for one in road().pieces:
        start, end = one.line.split("C")[0], one.line.split()[-1]
        assert start == f"M0 {end}"
    assert all(one.line.endswith(f"{one.width:g} 70") for one in road().pieces)


def test_the_sky_falls_on_every_piece_of_its_day() -> None:
    by_day = [one for one in road().pieces if one.kind == "stone"]
    # Wednesday's daylight half has a rain chance of 80 percent (samples.sky), of 58 px of sky.
    assert by_day[2].chance == "80%"
    assert by_day[2].curtain == pytest.approx(0.8 * 58, abs=0.06)
    monday = road().pieces[:5]
    assert len({one.curtain for one in monday}) == 1
    days = days_of(DATES[:1], due=lambda _: True, sky={}, where=lambda _: "")
    assert {one.reach for one in draw_road("x", days, (), zone=ZONE).pieces} == {"unknown"}


def test_stops_of_other_days_are_left_out() -> None:
    assert road((stop("Far", "Later", 9, 7, 12),)).rows == ()


def test_the_table_has_the_same_stops() -> None:
    rows = rows_of("road_table.html", road=road())
    assert rows[1][:7] == [
        "Mon Jun 15",
        "7:00 am to 1:00 pm",
        "Heron Lane pool",
        "Pour walls",
        "25 min, 12 miles",
        "Pump crew",
        "waiting",
    ]
    assert len(rows) == 1 + len(STOPS) == 1 + sum(one.kind == "stop" for one in road().pieces)


def test_the_drawing_is_well_formed_and_says_itself() -> None:
    root = draw("road.html", road=road())
    assert "Mon" in words_of(root)
    assert root.find(f"{SVG}rect") is not None
    assert road().summary == "Shell crew one: 4 stops at 3 sites in 7 days, 1 h 30 min on the road."
    body = next(one.body for one in road().pieces if one.kind == "stop")
    assert f"{70 - LAY_BY:g}" in body
