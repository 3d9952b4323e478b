"""Work that stands half done: when it counts, what the forecast does to it, who could protect it."""

from dataclasses import replace
from datetime import timedelta

import pytest

from planner.forecast.domain.freshness import Freshness
from planner.plans.domain.world import ReportFacts
from planner.watch.domain.report import StateAtRisk
from planner.watch.domain.watch import watch
from tests.jobs.domain.pools import worked_design
from tests.planner.forecast_domain.skies import local, sky
from tests.planner.watch.worlds import NOW, between, job, report, stay, task, world


def done(number: int, key: str, exposure: str, ended_at, **changes):
    return task(number, key, exposure, started_at=ended_at - timedelta(hours=6), finished_at=ended_at, **changes)


def state(kind: str, *tasks, stays=(), now=NOW, **of_world) -> StateAtRisk | None:
    found = report(job(*tasks), stays, now=now, **of_world).states
    return next((one for one in found if one.kind == kind), None)


DUG = done(1, "dig", "dig", local(15, day=-2))
BACKFILL = task(2, "backfill", "backfill")


@pytest.mark.parametrize(
    ("chance", "mm", "says"),
    [(0.0, 0.0, "clear"), (0.6, 1.2, "near"), (0.9, 3.0, "reached"), (0.1, 0.0, "clear")],
)
def test_rain_on_an_open_dig(chance, mm, says):
    """Source: 29 CFR 1926.651(k), inspection after every rainstorm; 12 mm is common practice, no source."""
    wet = sky(
        144,
        rain_chance=between(8, 14, chance, 0.0),
        rain_mm=between(8, 14, mm, 0.0),
    )
    found = state("open_dig", DUG, BACKFILL, series=wet)
    assert found is not None
    assert found.state == says
    (rain, _) = found.readings
    assert rain.limit_value == 12.0
    assert rain.worst == pytest.approx(6 * mm)
    assert found.crews == ("Diggers", "Forms")


@pytest.mark.parametrize(("fell", "says"), [(0.0, "clear"), (0.3, "near"), (13.0, "reached")])
def test_rain_that_fell_asks_for_another_look(fell, says):
    past = sky(120, start_at=local(0, day=-5), rain_mm=lambda at: fell if at == local(-3) else 0.0)
    found = state("open_dig", DUG, BACKFILL, series=sky(144), observed=past)
    assert found is not None
    assert found.state == says


def test_a_dig_is_open_from_its_first_hour_until_it_is_filled():
    begun = task(1, "dig", "dig", started_at=NOW - timedelta(hours=1))
    assert state("open_dig", begun, BACKFILL, series=sky(144)) is not None
    filled = done(2, "backfill", "backfill", local(4))
    assert state("open_dig", DUG, filled, series=sky(144)) is None
    assert state("open_dig", task(1, "dig", "dig"), BACKFILL, series=sky(144)) is None


def test_a_planned_dig_is_expected_and_an_unreported_fill_does_not_close_it():
    planned = state("open_dig", task(1, "dig", "dig"), BACKFILL, stays=(stay(1, local(7, day=1)),), series=sky(144))
    assert planned is not None
    assert planned.expected
    assert planned.window_from == local(7, day=1)
    late = (stay(2, local(7, day=-1)),)
    assert state("open_dig", DUG, BACKFILL, stays=late, series=sky(144)) is not None


STACKED = done(4, "stack_forms", "form_stack", local(4))
BRACED = done(2, "brace_and_square", "form_stack", local(4))
POUR = task(3, "pour_walls", "wall_pour")


@pytest.mark.parametrize(
    ("gust", "unbraced", "braced"),
    [
        (6.0, "clear", "clear"),
        (8.0, "near", "clear"),
        (9.5, "reached", "clear"),
        (11.0, "reached", "near"),
        (14.0, "reached", "reached"),
    ],
)
def test_wind_on_empty_forms(gust, unbraced, braced):
    """Gusts of 9 m/s unbraced and 13 braced: common practice, no source."""
    windy = sky(144, gust_m_s=between(10, 11, gust, 3.0))
    bare = state("unbraced_forms", STACKED, task(2, "brace_and_square", "form_stack"), POUR, series=windy)
    held = state("braced_forms", STACKED, BRACED, POUR, series=windy)
    assert bare is not None
    assert held is not None
    assert (bare.state, held.state) == (unbraced, braced)
    (gusts,) = [reading for reading in bare.readings if reading.limit == "gust_max_m_s"]
    assert (gusts.worst, gusts.worst_at) == (gust, local(10, day=1))
    assert state("unbraced_forms", STACKED, BRACED, POUR, series=windy) is None


@pytest.mark.parametrize(
    ("air", "says", "freezes"),
    [
        (12.0, "clear", "clear"),
        (6.0, "near", "clear"),
        (3.0, "reached", "clear"),
        (1.0, "reached", "near"),
        (-0.5, "reached", "reached"),
    ],
)
def test_frost_on_young_concrete(air, says, freezes):
    """Source: ACI 306R: protect below 40 degF (4.4 degC) inside the protection period, 3 days (from memory)."""
    cold = sky(144, air_temp_c=between(4, 6, air, 12.0))
    found = state("young_concrete", done(1, "pour_floor", "slab_pour", local(-12)), series=cold)
    assert found is not None
    assert found.state == says
    by_limit = {reading.limit: reading for reading in found.readings}
    assert by_limit["air_min_c"].limit_value == 4.4
    assert by_limit["frost_c"].state == freezes


# Source: ACI 306R, protection period: 6 days for concrete that carries part of its load and stands in the weather, 3
# where it carries nothing, 4 and 2 with an accelerator or cement that gains fast (from memory).
@pytest.mark.parametrize(
    ("key", "exposure", "admixture", "days"),
    [
        ("pour_floor", "slab_pour", "none", 6),
        ("pour_walls", "wall_pour", "accelerator", 4),
        ("pour_deck", "deck_pour", "none", 3),
        ("pour_deck", "deck_pour", "accelerator", 2),
    ],
)
def test_concrete_is_young_for_its_protection_days(key, exposure, admixture, days):
    cold = sky(144, air_temp_c=lambda at: 3.0)
    old = done(1, key, exposure, NOW - timedelta(days=days), admixture=admixture)
    young = done(1, key, exposure, NOW - timedelta(days=days) + timedelta(hours=1), admixture=admixture)
    assert state("young_concrete", old, series=cold) is None
    found = state("young_concrete", young, series=cold)
    assert found is not None
    assert found.window_until == NOW + timedelta(hours=1)


@pytest.mark.parametrize(
    ("night_c", "says"),
    [(8.0, "clear"), (-12.0, "reached")],
)
def test_a_frost_before_the_concrete_bears_it(night_c, says):
    """Source: ACI 306R: one freezing does no harm from 3.5 MPa (500 psi) on; here 8 h old."""
    freezing = sky(144, air_temp_c=lambda at: night_c if local(8) <= at < local(22) else 8.0)
    placed = done(1, "pour_floor", "slab_pour", local(4))
    found = state("young_concrete", placed, series=freezing, now=local(5))
    assert found is not None
    [freezes] = [one for one in found.readings if one.limit == "freezes_young_c"]
    assert freezes.state == says
    assert freezes.limit_value == pytest.approx(-1.0)
    if says == "reached":
        assert freezes.worst is not None
        assert freezes.worst < -1.0
        assert freezes.worst_at is not None
        assert local(9) < freezes.worst_at < local(22)


def test_the_same_frost_later_finds_it_strong_enough():
    """28 MPa of class N at 8 degC has more than 3.5 MPa after three days (ec2 with the equivalent age)."""
    frost = sky(144, air_temp_c=between(2, 8, -6.0, 12.0, day=1))
    observed = sky(120, start_at=local(0, day=-5), air_temp_c=lambda at: 12.0)
    placed = done(1, "pour_floor", "slab_pour", local(4, day=-3))
    found = state("young_concrete", placed, series=frost, observed=observed)
    assert found is not None
    by_limit = {one.limit: one for one in found.readings}
    assert by_limit["frost_c"].state == "reached"
    assert by_limit["freezes_young_c"].state == "clear"


def test_a_probe_in_the_concrete_says_better_whether_it_freezes():
    freezing = sky(144, air_temp_c=lambda at: -6.0)
    placed = done(1, "pour_floor", "slab_pour", local(0))
    one = world(job(placed), series=freezing)
    warm = ReportFacts(task=1, kind="temperature", happened_at=local(5), said_by="foreman", values={"concrete_c": 30.0})
    [told] = [
        reading.worst_at
        for standing in watch(replace(one, reports=(warm,)), (), now=NOW).states
        for reading in standing.readings
        if reading.limit == "freezes_young_c"
    ]
    [without] = [
        reading.worst_at
        for standing in watch(one, (), now=NOW).states
        for reading in standing.readings
        if reading.limit == "freezes_young_c"
    ]
    assert told > without


@pytest.mark.parametrize(("air", "says"), [(3.0, "clear"), (-4.0, "reached")])
def test_blankets_come_off_slowly_in_the_cold(air, says):
    """Source: UFGS: no more than 5 degF in an hour after protection; kept at 55 degF (13 degC), ACI 306R.

    A bare 4-inch slab gives up 22 % of its gap to the air in the first hour: (13 + 4) of it are 3.7 degC.
    """
    cold = sky(144, air_temp_c=lambda at: air)
    observed = sky(120, start_at=local(0, day=-5), air_temp_c=lambda at: 3.0)
    deck = done(1, "pour_deck", "deck_pour", local(12, day=-2))
    found = state("young_concrete", deck, series=cold, observed=observed)
    assert found is not None
    [uncovered] = [one for one in found.readings if one.limit == "uncovered_c"]
    assert uncovered.state == says
    assert uncovered.limit_value == pytest.approx(12.8 - 2.8, abs=0.05)
    mild = state("young_concrete", deck, series=sky(144), observed=sky(120, start_at=local(0, day=-5)))
    assert mild is not None
    assert [one.limit for one in mild.readings if one.limit == "uncovered_c"] == []


def test_concrete_is_fresh_until_rain_cannot_hurt_it():
    """8 h at 21 degC (70 degF), by the published setting table; at 20 degC a little longer."""
    poured = done(1, "pour_floor", "slab_pour", local(4))
    wet = sky(144, rain_chance=between(8, 12, 0.9, 0.0, day=0), rain_mm=lambda at: None)
    found = state("fresh_concrete", poured, series=wet)
    assert found is not None
    assert found.until_at is not None
    assert local(12) < found.until_at < local(13)
    assert found.state in ("near", "reached")
    assert state("fresh_concrete", done(1, "pour_floor", "slab_pour", local(-12)), series=wet) is None


def test_an_empty_shell_tells_what_ground_water_lifts_it():
    """Source: computed: 75 lb/ft2 slab against 62.4 lb/ft2 for each foot of water floats above 1.20 ft."""
    shell = done(1, "pour_walls", "wall_pour", local(4, day=-9))
    found = state("empty_shell", shell, task(2, "fill_1", "fill", kind="clock"), series=sky(144))
    assert found is not None
    assert found.caution is not None
    assert found.caution.value / 0.3048 == pytest.approx(1.20, abs=0.005)
    filled = done(2, "fill_1", "fill", local(4), kind="clock")
    assert state("empty_shell", shell, filled, series=sky(144)) is None
    wet = sky(144, rain_chance=between(6, 18, 0.9, 0.0), rain_mm=between(6, 18, 3.0, 0.0))
    soaked = state("empty_shell", shell, task(2, "fill_1", "fill", kind="clock"), series=wet)
    assert soaked is not None
    assert soaked.state == "reached"


def test_rain_on_an_open_hole_is_pumped_out():
    """Source: computed: a millimetre on a square metre is a litre; 36 mm on the worked pool's 512 ft2 of water."""
    wet = sky(144, rain_chance=between(8, 14, 0.9, 0.0), rain_mm=between(8, 14, 6.0, 0.0))
    poured = done(2, "pour_walls", "wall_pour", local(4, day=-9))
    one = replace(job(DUG, poured, task(3, "backfill", "backfill")), pool=worked_design())
    found = {}
    for standing in watch(world(one, series=wet), (), now=NOW).states:
        for reading in standing.readings:
            if reading.limit == "pump_out":
                assert reading.unit == "l"
                found[standing.kind] = reading.worst
    assert found["empty_shell"] == pytest.approx(36 * 512 * 0.3048**2, rel=1e-3)
    assert found["open_dig"] > found["empty_shell"]


def test_a_shell_floats_by_its_own_floor():
    """Source: computed: 2.4 times the thickness; the worked pool's floor is 4 inches, a sprayed one's 6."""
    poured = done(1, "pour_walls", "wall_pour", local(4, day=-9))
    sprayed = done(1, "spray_shell", "spray_pour", local(4, day=-9))
    for shell, thickness_m in ((poured, 0.102), (sprayed, 0.152)):
        one = replace(job(shell, task(2, "fill_1", "fill", kind="clock")), pool=worked_design())
        [found] = [s for s in watch(world(one, series=sky(144)), (), now=NOW).states if s.kind == "empty_shell"]
        assert found.caution is not None
        assert found.caution.value == pytest.approx(2.4 * thickness_m)
        assert f"{thickness_m / 0.0254:.0f} inches" in found.caution.label


def test_bare_basin_then_open_foam_until_the_liner_hangs():
    cleaned = done(1, "clean_and_patch", "general", local(4))
    sheet, drop = task(2, "wall_sheet", "wall_sheet"), task(3, "drop_liner", "liner_drop")
    wet = sky(144, rain_chance=between(6, 18, 0.8, 0.0), rain_mm=lambda at: None)
    bare = state("bare_basin", cleaned, sheet, drop, series=wet)
    assert bare is not None
    assert bare.state == "reached"
    assert bare.readings[0].limit_value == 2.0
    glued = done(2, "wall_sheet", "wall_sheet", local(4))
    foam = state("open_foam", cleaned, glued, drop, series=wet)
    assert foam is not None
    assert foam.crews == ("Liners",)
    assert state("bare_basin", cleaned, glued, drop, series=wet) is None
    assert state("open_foam", cleaned, glued, done(3, "drop_liner", "liner_drop", local(4)), series=wet) is None


def test_water_that_runs_overnight_needs_somebody_who_owns_it():
    fill = task(1, "fill_2", "fill", kind="clock", run="arrives")
    found = state("unattended_fill", fill, stays=(stay(1, local(13), 18, crews=()),), series=sky(144))
    assert found is not None
    assert found.caution is not None
    assert found.caution.value == pytest.approx(14.0)  # 17:00 to 07:00
    assert found.state == "near"
    day = (stay(1, local(9), 4, crews=()),)
    assert state("unattended_fill", fill, stays=day, series=sky(144)) is None
    attended = task(1, "fill_3", "fill", kind="clock", run="attended")
    assert state("unattended_fill", attended, stays=(stay(1, local(13), 18, crews=()),), series=sky(144)) is None


@pytest.mark.parametrize("freshness", [Freshness.STALE, Freshness.DOWN])
def test_no_usable_forecast_is_unknown_for_every_state(freshness):
    poured = done(5, "pour_floor", "slab_pour", local(-12))
    found = report(job(DUG, BACKFILL, STACKED, poured), series=sky(144), freshness=freshness).states
    assert {one.kind for one in found} == {"open_dig", "unbraced_forms", "young_concrete"}
    assert {one.state for one in found} == {"unknown"}


def test_the_worst_comes_first():
    windy = sky(144, gust_m_s=between(10, 11, 12.0, 3.0))
    found = report(job(DUG, BACKFILL, STACKED), series=windy).states
    assert [one.state for one in found] == ["reached", "clear"]
