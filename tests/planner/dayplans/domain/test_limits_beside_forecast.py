"""What would stop the work, with the forecast's worst value beside it; unknown hours are never counted as calm."""

from dataclasses import replace

import pytest

from planner.dayplans.facts import StopLimit
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.text import day_plan_text
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.site_sky import SiteSky
from tests.planner.dayplans.domain.worlds import at, dry_days, job, only_task, plan, series, sky, stay, task, world

POUR = task("pour_floor", 1)


def limit(words: str, over: SiteSky | None = None) -> StopLimit:
    one = world(job(POUR), skies={1: over or sky()})
    [found] = [
        one for one in only_task(plan(one, stay(POUR, at(7), at(14), "forms"))).limits if one.words.startswith(words)
    ]
    return found


def test_a_gust_limit_stands_beside_the_worst_hour() -> None:
    found = limit("Gusts above", sky(series(spells={"gust_m_s": (at(11), at(12), 12.0)})))
    assert (found.limit, found.forecast) == pytest.approx((13.0, 12.0))
    assert (found.worst_at, found.unit) == (at(11), "m_s")
    assert found.reached is False
    assert limit("Gusts above", sky(series(spells={"gust_m_s": (at(11), at(12), 13.5)}))).reached is True


def test_an_unknown_hour_leaves_a_limit_unknown_unless_a_known_one_reaches_it() -> None:
    gap = {"gust_m_s": (at(11), at(12), None)}
    assert limit("Gusts above", sky(series(spells=gap))).reached is None
    assert limit("Gusts above", sky(series({"gust_m_s": 14.0}, spells=gap))).reached is True


def test_cold_is_reached_from_below() -> None:
    assert limit("Air colder than", sky(series({"air_temp_c": 4.0}))).reached is True
    assert limit("Air hotter than", sky(series({"air_temp_c": 4.0}))).reached is False


def test_rain_of_three_stretches_is_summed_apart() -> None:
    """Measured 2 mm the evening before, forecast 1 mm an hour from 6 to 8 am and from 4 to 6 pm."""
    evening = tuple(2.0 if step == 239 else 0.0 for step in range(240))
    forecast = series(spells={"rain_mm": (at(6), at(8), 1.0)})
    later = series(spells={"rain_mm": (at(16), at(18), 1.0)})
    wet = replace(
        forecast, rain_mm=tuple(max(a or 0, b or 0) for a, b in zip(forecast.rain_mm, later.rain_mm, strict=True))
    )
    over = sky(wet, observed=replace(dry_days(), rain_mm=evening))
    assert limit("Rain of the 12 hours before", over).forecast == pytest.approx(1.0), "7 pm to 7 am, and no more"
    assert limit("Rain during the work", over).forecast == pytest.approx(1.0)
    assert limit("Rain after the end", over).forecast == pytest.approx(2.0)
    assert limit("Rain at a rate", over).worst_at == at(7)


def test_without_any_sky_every_limit_is_unknown() -> None:
    for found in only_task(plan(world(job(POUR), skies={}), stay(POUR, at(7), at(14), "forms"))).limits:
        assert found.forecast is None
        assert found.reached is None


def test_a_stale_forecast_is_not_shown_as_a_value() -> None:
    found = limit("Gusts above", sky(freshness=Freshness.STALE))
    assert (found.forecast, found.reached) == (None, None)


def test_thunder_shows_its_chance_and_is_reached_from_half() -> None:
    storm = series(spells={"thunder_chance": (at(13), at(14), 0.5)})
    found = limit("Thunder heard", sky(storm))
    assert (found.limit, found.forecast, found.unit, found.reached) == (None, 0.5, "share", True)
    assert limit("Thunder heard").reached is False


def test_a_surface_limit_is_measured_on_site() -> None:
    found = limit("Surface colder")
    assert (found.limit, found.forecast, found.reached, found.on_site) == (1.0, None, None, True)


def test_work_that_stands_no_rain_is_stopped_by_what_a_gauge_measures() -> None:
    """0.254 mm (0.01 inch) is the least amount the US network reports; from memory."""
    sheet = task("wall_sheet", 1, trade="concrete_forms")
    found = only_task(plan(world(job(sheet)), stay(sheet, at(7), at(14), "forms"))).limits
    [during] = [one for one in found if one.words.startswith("Rain during")]
    assert (during.limit, during.reached) == (0.254, False)


def test_a_wind_limit_of_work_near_the_ground_is_said_at_both_heights() -> None:
    """Source: WMO no. 8: at 2 m among scattered obstacles (0.25 m rough) blows half the wind of 10 m in the open."""
    liner = task("drop_liner", 1, trade="concrete_forms")
    found = only_task(plan(world(job(liner)), stay(liner, at(7), at(12), "forms"))).limits
    [wind] = [one for one in found if one.words.startswith("Mean wind")]
    assert wind.limit == pytest.approx(4.0 / 0.496, rel=1e-3)
    assert wind.words == "Mean wind above 9 mph at the work; in a forecast, made for 33 feet up, that is"


def test_that_no_forecast_reaches_the_hours_is_said_once() -> None:
    found = plan(world(job(POUR), skies={1: sky(series(hours=4))}), stay(POUR, at(7), at(14), "forms"))
    [view] = present_day_plan(found).stops[0].tasks
    assert view.no_forecast == "No forecast says anything of these hours yet: ask the office."
    text = " ".join(day_plan_text(found).split())
    assert text.count(view.no_forecast) == 1
    assert "not known: ask the office" not in text.lower()
    assert "Gusts above 29 mph." in text
    assert "Surface colder than 34 °F. Measure it on site." in text
    known = plan(world(job(POUR), skies={1: sky()}), stay(POUR, at(7), at(14), "forms"))
    assert present_day_plan(known).stops[0].tasks[0].no_forecast == ""


def test_rain_below_the_last_decimal_is_a_trace_never_nothing() -> None:
    drizzle = sky(series(spells={"rain_mm": (at(9), at(10), 0.05)}))
    found = plan(world(job(POUR), skies={1: drizzle}), stay(POUR, at(7), at(14), "forms"))
    [view] = present_day_plan(found).stops[0].tasks
    [rate] = [one for one in view.limits if one.words.startswith("Rain at a rate")]
    assert rate.forecast == "a trace at 9:00 am"


def test_ground_that_is_dry_is_said_to_be() -> None:
    """25 mm on clay wait 48 hours: common practice, no source."""
    dig = task("dig", 1, site=replace(POUR.site, soil="clay"))
    rained = sky(observed=replace(series(hours=24, start_at=at(17, day=14)), rain_mm=(25.0,) + (0.0,) * 23))
    for over, forecast in ((sky(), "dry"), (rained, "hours still to dry")):
        found = plan(world(job(dig), skies={1: over}), stay(dig, at(7), at(14), "dig"), crew="dig")
        [view] = present_day_plan(found).stops[0].tasks
        [ground] = [one for one in view.limits if one.words.startswith("Ground")]
        assert ground.forecast.endswith(forecast)
        assert ground.state == ("clear" if over is not rained else "reached")
