"""What the weather asks before a start stands on the day plan: measures with their hours, or a call to the office."""

from planner.dayplans.facts import WeatherAdvice
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.text import day_plan_text
from planner.forecast.domain.site_sky import SiteSky
from tests.planner.dayplans.domain.worlds import at, job, only_task, plan, series, sky, stay, task, world

POUR = task("pour_floor", 1)


def facts(over: SiteSky | None, one=POUR, **more):
    skies = {1: over} if over is not None else {}
    return plan(world(job(one), skies=skies, **more), stay(one, at(7), at(14), "forms"))


def advice(over: SiteSky | None, **more) -> WeatherAdvice | None:
    return only_task(facts(over, **more)).advice


def test_a_calm_start_asks_for_nothing() -> None:
    assert advice(sky()) is None


def test_a_forbidden_start_is_called_in_first() -> None:
    found = advice(sky(series(spells={"gust_m_s": (at(9), at(12), 20.0)})))
    assert found == WeatherAdvice(verdict="move")


def test_an_unknown_sky_is_called_in_first() -> None:
    assert advice(None) == WeatherAdvice(verdict="unknown")


def test_a_value_near_its_limit_asks_to_prepare() -> None:
    """41 °F, the limit is 40 °F."""
    found = facts(sky(series(spells={"air_temp_c": (at(0), at(23), 5.0)})))
    assert only_task(found).advice == WeatherAdvice(verdict="prepare")
    [view] = [one for stop in present_day_plan(found).stops for one in stop.tasks]
    assert view.advice is not None
    assert "before you start" in view.advice.words
    assert view.advice.words in " ".join(day_plan_text(found).split())


def test_work_that_began_or_that_no_weather_hurts_asks_for_nothing() -> None:
    windy = sky(series(spells={"gust_m_s": (at(9), at(12), 20.0)}))
    begun = task("pour_floor", 1, started_at=at(7))
    assert advice(windy, one=begun, as_of=at(8)) is None
    inside = task("hand_over", 1, exposure="none", trade="concrete_forms")
    assert advice(windy, one=inside) is None


def test_a_list_of_cautions_defers_once_and_tells_the_site_no_doubt_of_ours() -> None:
    found = facts(sky())
    page = present_day_plan(found)
    [view] = [one for stop in page.stops for one in stop.tasks]
    assert len(view.cautions) > 3
    assert not any("memory" in source for source in page.sources)
    text = day_plan_text(found)
    assert " ".join(text.split()).count(found.deferring) == 1
    assert text.index(found.deferring.partition(",")[0]) < text.index("Take care"), "before any caution"


def test_each_source_stands_once_at_the_end_and_every_caution_has_its_number() -> None:
    found = facts(sky(series({"air_temp_c": 36.0, "dew_point_c": 24.0})))
    page = present_day_plan(found)
    [view] = [one for stop in page.stops for one in stop.tasks]
    assert page.heat is not None
    cited = [page.heat, *view.cautions, *page.cautions]
    assert len(set(page.sources)) == len(page.sources) < len(cited)
    assert {one.source for one in cited} == set(range(1, len(page.sources) + 1))
    by_sentence = {one.sentence: page.sources[one.source - 1] for one in cited}
    stated = {one.sentence: one.source for stop in found.stops for one in stop.tasks[0].cautions}
    for sentence, source in stated.items():
        assert by_sentence[sentence] == source.replace(" (from memory)", "")
    body, _, listed = day_plan_text(found).partition("WHERE THE CAUTIONS COME FROM")
    assert "no source" not in body
    assert "29 CFR" not in body
    for number, source in enumerate(page.sources, start=1):
        assert f"[{number}] {source}" in " ".join(listed.split())
