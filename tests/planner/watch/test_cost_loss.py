"""The dollars of going and of moving, and the chance at which they are equal."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.exposure import Measure
from planner.watch.domain.measures import chance_left, choose
from planner.watch.domain.moving import late_days_added
from planner.watch.domain.report import StartWatch, Verdict
from tests.planner.forecast_domain.skies import ZONE, local, sky, work
from tests.planner.watch.worlds import NOW, booked, rain, stay, watched


def priced(chance: float, *, cost: int, loss: int, **more: Any) -> StartWatch:
    """A whole half-day of work, so that its chance is the forecast's; a day's lateness is all that moving costs."""
    work_of = work(during=0, forbid=2.0, loss=loss)
    return watched(
        "priced",
        start_at=local(6, day=1),
        hours=12,
        crews=(),
        exposures={"priced": work_of, "none": replace(work(), exposed=False)},
        series=rain(chance),
        promised_on=local(0, day=2).date(),
        late=cost,
        handover=stay(9, local(9, day=2), 2),
        **more,
    )


# Source: cost-loss model of decision theory: act when p > C/L; thresholds computed from it.
@pytest.mark.parametrize(
    ("cost", "loss", "threshold"), [(1500, 12000, 0.125), (800, 4000, 0.2), (2500, 6000, 0.4167), (400, 10000, 0.04)]
)
def test_it_moves_above_the_ratio_of_cost_to_loss(cost, loss, threshold):
    assert priced(threshold + 0.01, cost=cost, loss=loss).verdict is Verdict.MOVE
    assert priced(threshold - 0.01, cost=cost, loss=loss).verdict is Verdict.NO_LIMIT


def test_at_equal_dollars_the_plan_stays():
    start = priced(0.125, cost=1500, loss=12000)
    assert (start.going_dollars, start.moving_dollars) == (1500, 1500)
    assert start.verdict is Verdict.NO_LIMIT


# Source: the same table, expected cost of a $12,000 pour.
@pytest.mark.parametrize(("chance", "dollars"), [(0.05, 600), (0.10, 1200), (0.125, 1500), (0.20, 2400), (0.30, 3600)])
def test_the_expected_loss_is_chance_times_loss(chance, dollars):
    start = priced(chance, cost=1500, loss=12000)
    assert start.going_dollars == dollars
    by_label = {line.label: line for line in start.arithmetic}
    assert by_label["expected loss of going as it is"].value == dollars
    assert by_label["chance of being hit before rain-safe"].value == pytest.approx(chance)


def test_the_arithmetic_adds_up():
    start = watched(series=rain(0.4), now=local(5, day=1), bookings=(booked(7, 1), booked(7, 2)))
    values = {line.label: line.value for line in start.arithmetic}
    prepared = sum(value for label, value in values.items() if label.startswith("prepare:"))
    assert prepared + values["expected loss with that prepared"] == values["going, in all"] == start.going_dollars
    moving = (
        values["fee of Plant"]
        + values["fee of Pump hire"]
        + values["telling people again"]
        + values["expected loss on the later day, prepared where that pays"]
    )
    assert (values["fee of Plant"], values["fee of Pump hire"]) == (150, 750)
    assert moving == values["moving, in all"] == start.moving_dollars
    assert all(line.source for line in start.arithmetic)


@pytest.mark.parametrize(
    ("now", "free_until", "lost"),
    [
        (NOW, local(7), False),
        (local(7), local(19), True),
        (local(7) + timedelta(minutes=1), local(19), True),
        (local(6), local(7), False),
        (local(19), None, True),
    ],
)
def test_moving_is_free_until_the_first_deadline_ahead(now, free_until, lost):
    """Start Thursday 07:00; the pump hire lets go 24 h before, the plant 12 h."""
    start = watched(series=sky(144), now=now, bookings=(booked(7, 1), booked(7, 2)))
    assert (start.free_until, start.fee_lost) == (free_until, lost)


def test_what_has_arrived_or_was_never_booked_costs_no_fee():
    for bookings in ((), (booked(7, 2, "arrived"),), (booked(8, 2),)):
        start = watched(series=sky(144), now=local(5, day=1), bookings=bookings)
        assert (start.free_until, start.fee_lost) == (None, False)
        assert start.moving_dollars == 60 + 20  # telling a crew again, one day on


@pytest.mark.parametrize(
    ("handed_over", "promised", "days", "late"),
    [
        (date(2026, 7, 17), date(2026, 7, 17), 1, 1),
        (date(2026, 7, 20), date(2026, 7, 17), 1, 1),
        (date(2026, 7, 16), date(2026, 7, 17), 1, 0),
        (date(2026, 7, 14), date(2026, 7, 17), 5, 2),
        (date(2026, 7, 14), None, 5, 0),
        (None, date(2026, 7, 17), 5, 0),
    ],
)
def test_a_day_is_late_only_from_the_promised_date_on(handed_over, promised, days, late):
    assert late_days_added(handed_over, promised, days) == late


def test_a_measure_is_prepared_where_it_pays():
    """At 12 percent of $6,000 a $300 cover that spares 60 percent saves $432; at 8 percent $288."""
    cover = Measure(title="Cover", dollars=300, hours=1, answers=("rain",), spares=0.6)
    heat = Measure(title="Heat", dollars=1, hours=1, answers=("cold",), spares=0.9)
    pays = choose((cover, heat), hazards={"rain": 0.12}, near=frozenset(), loss_dollars=6000)
    (taken,) = pays.measures
    assert (taken.title, taken.dollars, taken.spared_dollars, taken.pays) == ("Cover", 300, 432, True)
    assert pays.dollars == 300 + 288
    idle = choose((cover, heat), hazards={"rain": 0.08}, near=frozenset(), loss_dollars=6000)
    assert idle.measures == ()
    assert idle.dollars == 480


def test_a_limit_that_is_near_buys_nothing_that_spares_less_than_its_price():
    """A $90 heater that spares 60 percent of 1 percent of $700 spares $4: it is named with both, not advised."""
    heater = Measure(title="Heater", dollars=90, hours=2, answers=("cold",), spares=0.6)
    cold = choose((heater,), hazards={"cold": 0.01}, near=frozenset({"cold"}), loss_dollars=700)
    assert cold.measures == ()
    assert cold.dollars == 7
    (named,) = cold.left_out
    assert (named.title, named.dollars, named.spared_dollars, named.pays) == ("Heater", 90, 4, False)


def test_fast_drying_takes_the_cheapest_answer_whatever_its_chance():
    """Source: ACI 305: precautions from a rate of drying on."""
    dear = Measure(title="Dear", dollars=600, hours=4, answers=("drying",), spares=0.8)
    cheap = Measure(title="Cheap", dollars=180, hours=1, answers=("drying",), spares=0.5)
    near = choose((dear, cheap), hazards={}, near=frozenset({"drying", "wind"}), loss_dollars=6000)
    assert [one.title for one in near.measures] == ["Cheap"]
    assert not near.measures[0].pays


measures_drawn = st.lists(
    st.builds(
        Measure,
        title=st.text(max_size=3),
        dollars=st.integers(0, 900),
        hours=st.just(1.0),
        answers=st.sets(st.sampled_from(("rain", "cold", "heat", "wind", "drying")), min_size=1).map(tuple),
        spares=st.floats(0.0, 1.0),
    ),
    max_size=5,
)
chances = st.dictionaries(st.sampled_from(("rain", "cold", "heat", "wind")), st.floats(0.0, 1.0))


@given(measures_drawn, chances, st.sets(st.sampled_from(("rain", "cold", "wind"))).map(frozenset))
def test_every_measure_advised_spares_its_price(measures, hazards, near):
    """All hazards here have a chance, so that nothing is asked for whatever it spares."""
    choice = choose(measures, hazards=hazards, near=near, loss_dollars=6000)
    assert all(one.pays for one in choice.measures)
    unprepared = choose((), hazards=hazards, near=near, loss_dollars=6000)
    assert choice.dollars <= unprepared.dollars


def test_what_two_covers_spare_is_multiplied_and_other_hazards_stay():
    half = Measure(title="Half", dollars=0, hours=0, answers=("rain",), spares=0.5)
    assert chance_left({"rain": 0.4}, (half, half)) == pytest.approx(0.1)
    assert chance_left({"rain": 0.4, "wind": 0.5}, (half,)) == pytest.approx(1 - 0.8 * 0.5)
    assert chance_left({"rain": 0.2, "wind": 0.3}, ()) == pytest.approx(0.44)  # published: 20 % and 30 % give 44 %


def test_the_later_day_is_judged_too():
    """Rain on both Thursday and Friday: Monday is the day to move to, and it counts three more days."""
    both = sky(
        168,
        rain_chance=lambda at: 0.5 if at.date() in (local(0, day=1).date(), local(0, day=2).date()) else 0.0,
        rain_mm=lambda at: None if at.date() in (local(0, day=1).date(), local(0, day=2).date()) else 0.0,
    )
    start = watched(series=both)
    assert start.move_to is not None
    assert start.move_to >= local(7, day=5)


def test_where_every_later_day_is_forbidden_there_is_none_to_move_to():
    start = watched(series=sky(240, gust_m_s=lambda at: 20.0))
    assert start.verdict is Verdict.MOVE
    assert start.move_to is None


@pytest.mark.parametrize(("friday", "monday"), [("2026-03-06", "2026-03-09"), ("2026-10-30", "2026-11-02")])
def test_over_a_weekend_on_which_the_clocks_change_the_later_start_keeps_its_hour(friday, monday):
    start_at = datetime.fromisoformat(f"{friday}T07:00").replace(tzinfo=ZONE)
    later = datetime.fromisoformat(f"{monday}T07:00").replace(tzinfo=ZONE)
    start = watched(
        start_at=start_at,
        now=start_at - timedelta(hours=20),
        handover=stay(9, later, 2),
        series=sky(168, start_at=(start_at - timedelta(days=1)).replace(hour=0)),
        observed=None,
        wet_chance=0.005,
    )
    assert start.move_to == later
    assert start.moving_dollars >= 60 + 3 * 20


def test_the_arithmetic_says_how_long_rain_can_hurt_retarded_concrete():
    """Source: ASTM C494: initial set up to 3.5 h later than plain concrete's 6 h at 70 degF (from memory)."""
    lines = {line.label: line for line in watched(series=sky(144), changes={"admixture": "retarder"}).arithmetic}
    asked, shift, kept_off = (
        lines[label]
        for label in (
            "rain kept off after placing, at 70 °F (21 °C)",
            "set with the retarder, at the latest, as a share of plain concrete's",
            "rain kept off after placing, at that temperature",
        )
    )
    assert (asked.value, shift.source) == (8.0, "astm_c494")
    assert shift.value == pytest.approx(9.5 / 6)
    plain = {line.label: line for line in watched(series=sky(144)).arithmetic}
    assert kept_off.value == pytest.approx(shift.value * plain[kept_off.label].value)
