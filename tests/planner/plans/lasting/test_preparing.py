"""What the planner buys against the weather: shares and prices are the exposures' own estimates, worked by hand."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from jobs.domain.exposure import Exposure
from jobs.domain.facts import TaskFacts
from jobs.methods.loader import load_exposures
from planner.forecast.domain.chance import any_of
from planner.forecast.domain.judge import Judge
from planner.forecast.domain.judgement import LimitPart, StartJudgement
from planner.forecast.domain.limits.measures import HAZARD_OF_LIMIT, allows, hazards_of
from planner.plans.domain.assemble import Assembled, assemble
from planner.plans.domain.changes import compare
from planner.plans.domain.lasting.preparing import KEEP_DOLLARS, Preparings, followed_the_same_day, settle, with_no_time
from planner.plans.domain.outlook import skies_of
from planner.plans.domain.story import dollar_lines, start_lines
from planner.plans.domain.triggers.lines import change_lines
from planner.plans.domain.world import Prepared, Stay, World
from planner.solver.check import check
from planner.solver.checks.preparing import way_of
from planner.solver.parameters import Repeatable
from planner.solver.problem import Preparing, StartWeather
from planner.solver.result import Result
from planner.solver.solve import solve
from planner.web.presenters.pages.changing.moved import told_people
from planner.web.presenters.pools.reader import Reader
from tests.planner.dayplans.domain.worlds import ON, at, job, passed, series, sky, task, world
from tests.planner.forecast_domain import skies

SLAB = load_exposures()["slab_pour"]
WALL = load_exposures()["wall_pour"]


def judged(chance: float, *parts: LimitPart, forbidden: bool = False, loss: int = SLAB.loss_dollars) -> StartJudgement:
    return StartJudgement(
        start_at=at(7),
        end_at=at(13),
        forbidden=forbidden,
        reasons=(),
        chance_hit=chance,
        storm_chance=_storm(chance, parts),
        known_share=1.0,
        dollars=round(chance * loss),
        safe_at=at(18),
        parts=parts,
    )


def _storm(chance: float, parts: tuple[LimitPart, ...]) -> float:
    """What a chance of anything leaves to rain where the levels say nothing for sure; else rain's own part."""
    levels = [one.chance for one in parts if one.limit in HAZARD_OF_LIMIT]
    if 1.0 in levels:
        return max((one.chance for one in parts if one.limit not in HAZARD_OF_LIMIT), default=0.0)
    return 1.0 - (1.0 - chance) / (1.0 - any_of(levels))


def part(limit: str, chance: float = 1.0, *, forbids: bool = True) -> LimitPart:
    return LimitPart(limit=limit, chance=chance, known_share=1.0, forbids=forbids, limit_value=1.0)


def ways(judgement: StartJudgement, exposure: Exposure = SLAB) -> tuple[Preparing, ...]:
    """The ways under a sky that stays as it is."""
    return Preparings().ways(exposure, judgement, later=lambda minutes: judgement)


def titles(judgement: StartJudgement) -> list[str]:
    return [way.title for way in ways(judgement)]


def test_the_measure_that_saves_most_is_offered_at_its_price_with_the_loss_it_leaves():
    """Frames and sheet cost $180 and spare 0.7 of the loss to rain: 30 % of the loss is left."""
    [way] = ways(judged(0.5, part("rain_during", 0.5, forbids=False)))
    assert (way.title, way.dollars, way.minutes) == ("Frames + sheet", 180, 90)
    assert way.loss_dollars == round(0.5 * 0.3 * SLAB.loss_dollars)


def test_nothing_is_offered_that_saves_less_than_it_costs():
    """It pays from a chance of price / (share x loss)."""
    pays_from = 180 / (0.7 * SLAB.loss_dollars)
    assert titles(judged(pays_from - 0.002)) == []
    assert titles(judged(pays_from + 0.002)) == ["Frames + sheet"]


def test_a_night_pour_is_another_start_and_is_never_bought():
    hot = judged(0.9, part("air_max_c", 0.9, forbids=False))
    assert "Night pour" in {one.title for one in SLAB.measures}
    assert not any("Night pour" in title for title in titles(hot))
    assert any("Cooler mix" in title for title in titles(hot))


@pytest.mark.parametrize(
    ("parts", "chance", "measures", "lifted"),
    [
        # A known cold night forbids the bare slab; blankets leave 0.2 of it, less likely than not.
        ((part("air_min_c"),), 1.0, {"Blankets"}, True),
        ((part("air_min_c"),), 1.0, set(), False),
        ((part("air_min_c"),), 1.0, {"Frames + sheet"}, False),
        # Rain that is as good as sure stays forbidden, whatever is laid over the slab.
        ((), 0.9, {"Frames + sheet"}, False),
        ((), 0.9, set(), False),
        ((part("air_min_c"), part("rain_during", 0.7, forbids=False)), 1.0, {"Blankets", "Frames + sheet"}, False),
        ((part("air_min_c"), part("rain_during", 0.3, forbids=False)), 1.0, {"Blankets"}, True),
        # What has fallen has fallen; wind and thunder are limits of people.
        ((part("rain_before"),), 1.0, {"Frames + sheet"}, False),
        ((part("ground"),), 1.0, {"Frames + sheet"}, False),
        ((part("thunder"),), 1.0, {"Frames + sheet"}, False),
    ],
)
def test_what_may_be_lifted(parts: tuple[LimitPart, ...], chance: float, measures: set[str], lifted: bool):
    judgement = judged(chance, *parts, forbidden=True)
    taken = [one for one in SLAB.measures if one.title in measures]
    assert allows(SLAB, judgement, hazards_of(judgement), taken) is lifted


def test_no_heat_lifts_a_cold_start_that_rain_forbids_too():
    """Rain by day while it is placed, rain by night before it is safe: neither alone would forbid it, both do."""

    def rains(at_local: datetime) -> float:
        return 0.4 if 6 <= at_local.hour < 18 else 0.3

    cold_and_wet = skies.sky(
        air_temp_c=lambda _: -1.0, dew_point_c=lambda _: -6.0, rain_chance=rains, rain_mm=lambda on: 0.75 * rains(on)
    )
    judge = Judge(series=cold_and_wet, climate=skies.even_climate(), zone=skies.ZONE)
    found = judge.start(SLAB, start_at=skies.local(7, day=1), end_at=skies.local(14, day=1), soil="sand")
    assert found.forbidden
    assert hazards_of(found)["cold"] == 1.0
    assert hazards_of(found)["rain"] >= SLAB.forbid_chance
    assert not allows(SLAB, found, hazards_of(found), SLAB.measures)


def test_no_brace_line_lifts_a_wind_limit():
    windy = judged(1.0, part("gust_max_m_s"), forbidden=True)
    assert not allows(WALL, windy, hazards_of(windy), WALL.measures)
    assert ways(windy, WALL) == ()


SHEET = Prepared(titles=("Frames + sheet",), dollars=180, minutes=90)
TOLD = Stay(task=1, start_at=at(7), end_at=at(14.5), crews=("forms",), prepared=SHEET)


def segment(judgement: StartJudgement) -> StartWeather:
    offered = ways(judgement)
    return StartWeather(start=0, end=120, forbidden=judgement.forbidden, dollars=judgement.dollars, ways=offered)


@pytest.mark.parametrize(
    ("over", "always", "prepared"),
    [(-5, False, True), (5, False, False), (5, True, True)],
)
def test_what_people_were_told_to_prepare_stays_while_it_costs_little_more(over: int, always: bool, prepared: bool):
    """Going bare costs chance x loss; the sheet 180 and 30 % of that: they differ by 0.7 x chance x loss."""
    bare = (180 - KEEP_DOLLARS - over) / 0.7
    judgement = judged(bare / SLAB.loss_dollars)
    settled = settle(segment(judgement), SLAB, judgement, TOLD, always=always)
    way = way_of(settled)
    assert way is not None
    assert (way.prepared is not None) is prepared


def test_told_to_go_bare_they_go_bare_until_much_is_to_be_saved():
    bare = replace(TOLD, prepared=None)
    small = judged((180 + KEEP_DOLLARS - 5) / 0.7 / SLAB.loss_dollars)
    kept = way_of(settle(segment(small), SLAB, small, bare, always=False))
    assert kept is not None
    assert kept.prepared is None
    large = judged((180 + KEEP_DOLLARS + 5) / 0.7 / SLAB.loss_dollars)
    changed = way_of(settle(segment(large), SLAB, large, bare, always=False))
    assert changed is not None
    assert changed.prepared is not None


def test_what_the_sky_forbids_by_now_stays_forbidden_however_it_was_bought():
    wind = judged(1.0, part("gust_max_m_s"), forbidden=True)
    assert way_of(settle(segment(wind), SLAB, wind, TOLD, always=True)) is None


POUR = task("pour_floor", 1, bookings=(), opening_only=True, gear=())
POOL = replace(passed(job(POUR), "hold_floor"), promised_on=ON)


def showery(rain_chance: float, *told: Stay) -> World:
    air = series({"rain_chance": rain_chance, "rain_mm": 1.0}, hours=240)
    return replace(world(POOL, skies={1: sky(air)}), told=told)


def planned(one: World) -> tuple[Assembled, Result]:
    assembled = assemble(one, first_on=ON, horizon_days=14)
    result = solve(assembled.problem, Repeatable(deterministic_seconds=0.2))
    assert result.status == "planned", result.clashes
    assert check(assembled.problem, result.assignments) == ()
    return assembled, result


def test_a_plan_under_showers_buys_the_sheet_and_gives_the_crew_its_time():
    assembled, result = planned(showery(0.3))
    dry, without = planned(showery(0.0))
    assert result.cost.prepare == 180
    assert without.cost.prepare == 0
    [pour] = [one for one in result.assignments if one.task == "1.pour_floor"]
    [bare] = [one for one in without.assignments if one.task == "1.pour_floor"]
    assert (pour.end - pour.start) - (bare.end - bare.start) == 90
    told = start_lines(assembled, result.assignments)
    assert any("prepare: Frames + sheet, $180; the work itself from 08:30" in line for line in told)
    assert not any("prepare" in line for line in start_lines(dry, without.assignments))
    [one] = skies_of(showery(0.3), assembled, result.assignments)
    assert one.prepared is not None
    assert one.dollars == result.cost.weather
    assert any("$180  what is prepared" in line for line in dollar_lines(result, [one]))


def test_the_plan_in_force_is_judged_as_it_was_bought_when_the_sky_has_cleared():
    assembled, result = planned(showery(0.3))
    [pour] = [one for one in result.assignments if one.task == "1.pour_floor"]
    line = assembled.line
    stay = Stay(task=1, start_at=line.at(pour.start), end_at=line.at(pour.end), crews=pour.crews, prepared=SHEET)
    cleared = showery(0.0, stay)
    as_bought = assemble(cleared, first_on=ON, horizon_days=14, as_bought=True)
    assert check(as_bought.problem, (pour,)) == ()
    # A new plan of the same morning drops the sheet and ends the pour earlier.
    fresh, now = planned(cleared)
    [again] = [one for one in now.assignments if one.task == "1.pour_floor"]
    assert (again.start, again.end) == (pour.start, pour.end - 90)
    changes = compare(fresh, (stay,), now.assignments)
    assert changes.broken_before == ()
    assert changes.dollars_before == changes.dollars_after


def test_a_change_says_what_is_prepared():
    assembled, result = planned(showery(0.3))
    moved = Stay(task=1, start_at=at(7) + timedelta(days=2), end_at=at(14) + timedelta(days=2), crews=("forms",))
    [change] = compare(assembled, (moved,), result.assignments).changes
    assert change.reason.endswith("Prepare: Frames + sheet, $180.")


@pytest.mark.parametrize(
    ("chance", "bought", "says"),
    [
        (0.3, None, "Prepare: Frames + sheet, $180."),
        (0.3, SHEET, None),
        (0.3, Prepared(titles=("Blankets",), dollars=250), "Prepare: Frames + sheet, $180, in place of Blankets."),
        (0.0, SHEET, "Not needed any more: Frames + sheet."),
        (0.0, None, None),
    ],
)
def test_what_is_prepared_for_a_start_that_stays_is_a_change_by_itself(
    chance: float, bought: Prepared | None, says: str | None
):
    """People buy, bring and build it, whether or not the start moves: on the page, in print and in the list."""
    fresh, result = planned(showery(chance))
    [pour] = [one for one in result.assignments if one.task == "1.pour_floor"]
    line = fresh.line
    stay = Stay(task=1, start_at=line.at(pour.start), end_at=line.at(pour.end), crews=pour.crews, prepared=bought)
    told = showery(chance, stay)
    changes = compare(fresh, (stay,), result.assignments)
    assert [(one.reason, one.from_at == one.to_at) for one in changes.changes] == ([(says, True)] if says else [])
    if says:
        assert f"as before. {says}" in "\n".join(change_lines(told, changes, ()))
        [people] = told_people(Reader(told, (stay,)), [replace(one, told=True) for one in changes.changes])
        assert people.what[0].endswith(f"as before. {says}")


def test_a_way_and_a_measure_are_read_back_from_their_line():
    assert Prepared.titles_of(Prepared(titles=("A", "B"), dollars=1).title) == ("A", "B")
    assert Preparing(title="A; B", dollars=1, loss_dollars=0).title == Prepared.joined(("A", "B"))


def test_work_that_is_followed_within_hours_is_prepared_for_only_where_that_takes_no_time():
    slow = Preparing(title="Brace line", dollars=60, loss_dollars=10, minutes=60)
    quick = Preparing(title="Cooler mix", dollars=90, loss_dollars=20)
    segment = StartWeather(start=0, end=120, forbidden=False, dollars=400, ways=(slow, quick))
    assert with_no_time(segment).ways == (quick,)
    assert with_no_time(replace(segment, ways=(quick,))).ways == (quick,)


def test_a_deck_whose_joints_are_cut_by_the_evening_leaves_time_to_prepare():
    """The liner is dropped and held by the vacuums until water holds it; deck joints wait longer."""
    keys = ("steps_and_gaskets", "drop_liner", "fill_1", "cut_drain", "fill_2", "pour_deck", "saw_joints")
    pool = job(*(task(key, number) for number, key in enumerate(keys, start=1)))
    followed = followed_the_same_day(world(pool))
    assert {one.key for one in pool.tasks if one.id in followed} == {"drop_liner", "fill_1", "cut_drain"}


def test_a_deck_is_not_prepared_for_so_long_that_its_joints_find_no_hour():
    """From 7:00 eight hours and a sheet of two hours: joints, due 4 to 12 h later, would be cut past 22:00."""
    deck, saw = (
        task("pour_deck", 1, bookings=(), work_minutes=480),
        task("saw_joints", 2, bookings=(), work_minutes=150),
    )

    def minutes_bought(*tasks: TaskFacts, warm_c: float = 22.0) -> set[int]:
        air = series({"rain_chance": 0.3, "rain_mm": 1.0, "air_temp_c": warm_c, "dew_point_c": 4.0}, hours=240)
        pool = replace(passed(job(*tasks), "hold_bonding"), promised_on=ON)
        assembled = assemble(world(pool, skies={1: sky(air)}), first_on=ON, horizon_days=5)
        [found] = [one for one in assembled.problem.tasks if one.key == "1.pour_deck"]
        return {way.minutes for segment in found.weather for way in segment.ways}

    assert 120 in minutes_bought(deck)
    assert 120 in minutes_bought(deck, replace(saw, work_minutes=60)), "that is done by ten"
    assert 120 not in minutes_bought(deck, saw)
    assert 120 in minutes_bought(deck, saw, warm_c=12.0), "on a cold day they wait until the morning"


def test_a_way_has_the_loss_of_the_hours_the_work_then_is_in():
    """The sheet takes an hour and a half: what hits the pour after it counts, not what falls while it is put up."""
    asked = []

    def later(minutes: int) -> StartJudgement:
        asked.append(minutes)
        return judged(0.3, part("rain_during", 0.3, forbids=False))

    [way] = Preparings().ways(SLAB, judged(0.5, part("rain_during", 0.5, forbids=False)), later=later)
    assert (asked, way.minutes, way.loss_dollars) == ([90], 90, round(0.3 * 0.3 * SLAB.loss_dollars))


def test_a_way_into_hours_that_are_forbidden_or_no_better_is_none():
    showers = judged(0.5, part("rain_during", 0.5, forbids=False))
    wind = judged(1.0, part("gust_max_m_s"), forbidden=True)
    worse = judged(0.9, part("rain_during", 0.9, forbids=False), loss=20_000)
    assert Preparings().ways(SLAB, showers, later=lambda minutes: wind) == ()
    assert Preparings().ways(SLAB, showers, later=lambda minutes: None) == ()
    dear = replace(SLAB, loss_dollars=20_000)
    small = judged(0.1, loss=20_000)
    assert Preparings().ways(dear, small, later=lambda minutes: worse) == ()
    assert Preparings().ways(dear, small, later=lambda minutes: small) != ()


def test_a_plan_judges_the_prepared_pour_at_its_own_hours():
    """Under even showers the judgement of the plan is that of the pour after its sheet is up."""
    assembled, result = planned(showery(0.3))
    [one] = skies_of(showery(0.3), assembled, result.assignments)
    assert one.work_at - one.start_at == timedelta(minutes=90)
    assert (one.judgement.start_at, one.judgement.end_at) == (one.work_at, one.end_at)
