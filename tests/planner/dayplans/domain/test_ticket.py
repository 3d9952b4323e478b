"""What is asked of the plant in cold and heat.

Source: ACI 306R and 305R: placed at 55 degF or more where the section is under 12 inches, mixed 5 degF warmer and 10
warmer from 30 degF down, out of the truck at 95 degF or less; a revolving drum loses a quarter of its gap to the air in
an hour (from memory).
"""

from tests.planner.dayplans.domain.worlds import at, job, only_task, passed, plan, series, sky, stay, task, world

POUR = task("pour_floor", 1)


def note_in(air_c: float, *, dew_c: float, wind_m_s: float = 2.0, **changes: object) -> str:
    pool = passed(job(task("pour_floor", 1, **changes)), "hold_floor")
    air = series({"air_temp_c": air_c, "dew_point_c": dew_c, "wind_m_s": wind_m_s})
    return only_task(plan(world(pool, skies={1: sky(air)}), stay(POUR, at(7), at(13), "forms"))).note


def test_on_a_mild_day_only_the_limits_are_said() -> None:
    note = note_in(18.0, dew_c=10.0)
    assert "Concrete out of the truck between 55 °F and 95 °F (ACI 306 and 305); the specification" in note


def test_in_the_cold_the_plant_is_asked_for_warmer_concrete() -> None:
    """At 36 degF half an hour costs 0.25 x 0.5 x (55 - 36) = 2 degF, less than the 5 more that is mixed."""
    assert "in air down to 36 °F ask the plant for 60 °F as mixed, as 30 minutes on the road cost 2 °F" in note_in(
        (36 - 32) / 1.8, dew_c=-2.0
    )
    assert "in air down to 20 °F ask the plant for 65 °F as mixed" in note_in((20 - 32) / 1.8, dew_c=-12.0)


def test_in_drying_heat_a_cooler_mix_is_asked_for() -> None:
    assert "in heat up to 93 °F ask the plant for a cooler mix" in note_in(34.0, dew_c=8.0, wind_m_s=9.0)
    assert "cooler mix" not in note_in(34.0, dew_c=26.0, wind_m_s=1.0)
    # In air as hot as the limit itself loads come too hot however damp it is.
    assert "in heat up to 97 °F ask the plant for a cooler mix" in note_in(36.0, dew_c=28.0, wind_m_s=1.0)


def test_other_work_and_a_running_pour_have_no_ticket_to_ask_for() -> None:
    assert "out of the truck" not in note_in(18.0, dew_c=10.0, started_at=at(7))
    assert "out of the truck" not in note_in(18.0, dew_c=10.0, bookings=())
