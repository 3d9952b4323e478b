"""What an earlier start would save beside one that was prepared for: not more than its price and what it leaves."""

from dataclasses import replace
from datetime import timedelta

from planner.plans.domain.triggers.starts import StartReading, readings
from planner.plans.domain.world import Prepared, Stay
from tests.planner.dayplans.domain.worlds import at, job, series, sky, stay, task, world

POUR = task("pour_floor", 1)
# Thursday; the half-day is as likely wet as dry, the days before are dry.
THURSDAY = stay(POUR, at(7, day=18), at(13, day=18), "forms")
WET = {"rain_chance": (at(6, day=18), at(18, day=18), 0.5), "rain_mm": (at(6, day=18), at(18, day=18), 0.4)}
SHEET = Prepared(titles=("Frames + sheet",), dollars=180)


def read(planned: Stay) -> StartReading:
    one = world(job(POUR), skies={1: sky(series(spells=WET))})
    [found] = readings(one, (planned,), is_free=lambda task, start_at: True)
    return found


def test_moving_saves_no_loss_that_was_spared_already() -> None:
    """Frames and sheet cost $180 and leave 0.3 of the loss (the data's own estimate); the days before are dry."""
    bare, prepared = read(THURSDAY), read(replace(THURSDAY, prepared=SHEET))
    assert bare.sooner_at == prepared.sooner_at == THURSDAY.start_at - timedelta(days=2)
    loss = bare.judgement.dollars
    assert bare.reading.gain_dollars == loss > 1000
    assert abs(prepared.reading.gain_dollars - (180 + 0.3 * loss)) <= 1
