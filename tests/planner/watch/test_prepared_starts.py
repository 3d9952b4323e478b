"""The watch judges the work a plan prepares for, at its own hours and with what was bought for it."""

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.triggers.starts import readings
from planner.plans.domain.world import Judges, Prepared, World
from planner.watch.domain.report import StartWatch, Verdict
from planner.watch.domain.starts import Previous, watch_start
from planner.watch.presenters.text import bought_words
from planner.web.presenters.pages.pours import _because
from planner.web.presenters.pools.reader import Reader
from tests.planner.dayplans.domain.worlds import AS_OF, ZONE, at, job, series, sky, stay, task, world

POUR = task("pour_floor", 1)
SHEET = Prepared(titles=("Frames + sheet",), dollars=180, minutes=90)
BLANKETS = Prepared(titles=("Blankets",), dollars=250, minutes=120)
COLD = sky(series({"air_temp_c": 2.0}, hours=240))


def watched(over: SiteSky, prepared: Prepared | None, *, previous: Verdict | None = None) -> StartWatch:
    one, stays = pool(over, prepared)
    before = Previous(task=1, start_at=at(7), verdict=previous) if previous is not None else None
    return watch_start(
        one, Judges(one), job=one.jobs[0], task=POUR, stay=stays, stays={1: stays}, now=AS_OF, previous=before
    )


def reader_of(prepared: Prepared | None) -> Reader:
    one, stays = pool(COLD, prepared)
    return Reader(one, (stays,))


def pool(over: SiteSky, prepared: Prepared | None):
    one: World = world(job(POUR), skies={1: over})
    return one, replace(stay(POUR, at(7), at(14.5), "forms"), prepared=prepared)


@pytest.mark.parametrize(("hour", "verdict"), [(7, Verdict.NO_LIMIT), (10, Verdict.MOVE)])
def test_a_squall_while_people_prepare_hits_no_pour(hour: int, verdict: Verdict) -> None:
    squall = sky(series(spells={"gust_m_s": (at(hour), at(hour + 1), 20.0)}))
    found = watched(squall, SHEET)
    assert (found.start_at, found.work_at, found.verdict) == (at(7), at(8.5), verdict)
    assert watched(squall, None).verdict is Verdict.MOVE


def test_a_cold_start_goes_with_the_blankets_that_were_bought_for_it() -> None:
    bare, covered = watched(COLD, None), watched(COLD, BLANKETS)
    assert (bare.verdict, bare.forbidden, bare.lifted) == (Verdict.PREPARE, True, True)
    assert (covered.verdict, covered.forbidden, covered.lifted) == (Verdict.PREPARE, False, False)
    assert "Blankets" in [one.title for one in covered.measures]
    # A verdict that stood eases no slower for a limit that is answered.
    assert watched(COLD, BLANKETS, previous=Verdict.MOVE).verdict is Verdict.PREPARE
    assert watched(COLD, SHEET).forbidden


def test_what_lifts_a_ban_is_said_first_with_its_price() -> None:
    """Blankets cost $250 and lift the cold; a sheet, which answers rain alone, lifts nothing."""
    for bought in (None, SHEET):
        found = watched(COLD, bought)
        assert (found.verdict, found.lifted) == (Verdict.PREPARE, True)
        assert [(one.title, one.dollars) for one in found.measures] == [("Blankets", 250)]
        assert found.going_dollars >= 250
        assert _because(reader_of(bought), found).startswith(
            "The forecast forbids it as it is; prepared for $250, it may go."
        )


def test_a_ban_nothing_lifts_moves_the_start() -> None:
    gusts = sky(series(spells={"gust_m_s": (at(10), at(11), 20.0)}))
    found = watched(gusts, None)
    assert (found.verdict, found.forbidden, found.lifted) == (Verdict.MOVE, True, False)
    # Cold and a gale on one day: blankets do not hold the wind off.
    both = sky(series({"air_temp_c": 2.0}, spells={"gust_m_s": (at(10), at(11), 20.0)}, hours=240))
    assert watched(both, None).verdict is Verdict.MOVE


def test_where_moving_costs_less_than_preparing_it_moves_and_says_so() -> None:
    """One cold morning, mild days after it: the day after costs nothing."""
    cold_once = sky(series({"air_temp_c": 15.0}, spells={"air_temp_c": (at(0), at(23), 2.0)}, hours=240))
    found = watched(cold_once, None)
    assert (found.verdict, found.lifted) == (Verdict.MOVE, True)
    assert found.moving_dollars < found.going_dollars
    said = _because(reader_of(None), found)
    assert said.startswith("The forecast forbids it as it is, and preparing for it costs more than moving.")


def test_no_other_plan_is_asked_for_because_of_a_cold_that_was_prepared_for() -> None:
    def forbidden(prepared: Prepared | None) -> bool:
        one, planned = pool(COLD, prepared)
        [found] = readings(one, (planned,), is_free=lambda task, start_at: False)
        return found.reading.forbidden

    assert forbidden(None)
    assert not forbidden(BLANKETS)


def test_the_watch_says_what_was_bought_and_when_the_work_itself_begins() -> None:
    def said(prepared: Prepared | None) -> str:
        return bought_words(watched(COLD, prepared), lambda moment: f"{moment.astimezone(ZoneInfo(ZONE)):%H:%M}")

    assert said(BLANKETS) == "The plan bought Blankets, $250. That is prepared first; the work itself begins 09:00."
    assert said(replace(BLANKETS, minutes=0)) == "The plan bought Blankets, $250."
    assert said(None) == ""
