"""A drawn weather hits a prepared start as seldom as the plan reckons, and while people prepare it hits nothing."""

from dataclasses import replace

from planner.forecast.domain.limits.measures import left_of
from planner.forecast.domain.limits.risk import HalfDayRisk
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.assemble import Assembled, assemble
from planner.plans.outcomes.skies import StartRisks
from planner.plans.outcomes.weathers import Weather
from planner.solver.checks.preparing import way_at
from tests.planner.dayplans.domain.worlds import ON, at, job, passed, series, sky, task, world
from tests.planner.plans.lasting.test_preparing import SLAB

KEY = "1.pour_floor"
POUR = task("pour_floor", 1, bookings=(), opening_only=True, gear=())
POOL = replace(passed(job(POUR), "hold_floor"), promised_on=ON)


def drawn(one: float) -> Weather:
    """A weather as rare in its cold or heat as said, and without storm or wind."""
    halves = {at(hour, day=day).timestamp(): one for day in range(15, 25) for hour in (-6, 6, 18)}
    return Weather(storms={}, winds={}, airs={int(moment): value for moment, value in halves.items()})


def risks_under(over: SiteSky) -> tuple[StartRisks, Assembled]:
    one = world(POOL, skies={1: over})
    assembled = assemble(one, first_on=ON, horizon_days=14)
    return StartRisks(one, assembled), assembled


def test_a_cold_that_blankets_answer_does_not_hit_the_start_in_every_weather() -> None:
    """Blankets spare 0.8: of a known cold, chance 1, 0.2 is left to hit."""
    risks, assembled = risks_under(sky(series({"air_temp_c": 2.0, "dew_point_c": -4.0}, hours=240)))
    start = assembled.line.minute(at(7))
    [problem_task] = assembled.problem.tasks
    way = way_at(problem_task, start)
    assert way is not None
    assert way.prepared is not None
    assert "Blankets" in way.prepared.title
    end = start + 360 + way.minutes
    assert not risks.hit(drawn(0.5), KEY, start, end)
    assert risks.hit(drawn(0.1), KEY, start, end)


def test_what_is_left_of_a_half_day_is_what_the_measures_do_not_spare() -> None:
    risk = HalfDayRisk(0, 0.5, 0.4, 1.0)
    sheet, blankets = (
        next(one for one in SLAB.measures if one.title == title) for title in ("Frames + sheet", "Blankets")
    )
    assert left_of(risk, [sheet]) == HalfDayRisk(0, 0.5 * (1 - sheet.spares), 0.4, 1.0)
    assert left_of(risk, [blankets]).air == 1 - blankets.spares
    assert left_of(risk, []) == risk


def test_rain_while_the_sheet_is_put_up_hits_no_pour() -> None:
    """As likely as not it rains until half past eight, when the sheet is up, and hardly after."""
    early = series({"rain_chance": 0.05, "rain_mm": 1.0}, hours=240, spells={"rain_chance": (at(7), at(8.5), 0.5)})
    risks, assembled = risks_under(sky(early))
    [problem_task] = assembled.problem.tasks
    start = assembled.line.minute(at(7))
    way = way_at(problem_task, start)
    assert way is not None
    assert (way.minutes, way.prepared and way.prepared.title) == (90, "Frames + sheet")
    wet = drawn(1.0)
    wet = replace(wet, storms=dict.fromkeys(wet.airs, 0.3))
    assert not risks.hit(wet, KEY, start, start + 450)
