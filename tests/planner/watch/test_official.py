"""Public warnings in the verdict: shown, used by their kind, gone when they are over.

Event names: US National Weather Service (NWS Instruction 10-1703), as recorded in July 2026.
"""

from datetime import datetime, timedelta

import pytest

from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.outside.events import EVENTS
from planner.watch.domain.report import StartWatch, Verdict
from planner.watch.domain.starts import Previous
from planner.watch.domain.watch import watch
from planner.watch.presenters.text import watch_lines
from tests.planner.forecast.recordings import recorded
from tests.planner.forecast_domain.skies import local, sky
from tests.planner.watch.worlds import NOW, job, rain, stay, task, watched, world

START_AT = local(7, day=1)


def alert(event: str, *, from_at: datetime = START_AT, hours: float = 6.0) -> Alert:
    return Alert(
        message_id=f"urn:oid:{event}",
        event_key=event,
        action="",
        event=event,
        message_type="Alert",
        status="Actual",
        severity="Severe",
        certainty="Likely",
        urgency="Expected",
        headline=f"{event} until noon",
        instruction="",
        area="",
        sender="Weather office",
        sent_at=NOW,
        starts_at=from_at,
        until_at=from_at + timedelta(hours=hours),
    )


def seen(event: str, exposure: str = "slab_pour", **changes: object) -> StartWatch:
    return watched(exposure, series=sky(144), alerts=(alert(event, **changes),))


@pytest.mark.parametrize(
    ("event", "verdict"),
    [
        ("Severe Thunderstorm Warning", Verdict.MOVE),
        ("Flash Flood Warning", Verdict.MOVE),
        ("Flood Watch", Verdict.PREPARE),
        ("Special Weather Statement", Verdict.PREPARE),
        ("Frost Advisory", Verdict.PREPARE),
        ("Hard Freeze Warning", Verdict.MOVE),
        ("Heat Advisory", Verdict.PREPARE),
        ("Air Quality Alert", Verdict.NO_LIMIT),
    ],
)
def test_the_mildest_verdict_a_warning_allows_a_pour(event: str, verdict: Verdict) -> None:
    start = seen(event)
    assert start.verdict is verdict
    assert start.forecast_verdict is Verdict.NO_LIMIT
    assert [one.event for one in start.warnings] == [event]
    assert start.warnings[0].sender == "Weather office"


def test_a_warning_of_another_kind_is_shown_and_asks_nothing() -> None:
    start = seen("Hard Freeze Warning", "dig")
    assert start.verdict is start.forecast_verdict is Verdict.NO_LIMIT
    assert start.warnings[0].least is None
    assert seen("Hard Freeze Warning", "liner_drop").verdict is Verdict.MOVE


@pytest.mark.parametrize(
    ("from_at", "hours", "counts"),
    [
        (START_AT - timedelta(hours=6), 6.0, False),
        (START_AT - timedelta(hours=6), 6.1, True),
        # Six hours of work; fresh concrete is exposed for hours after it.
        (START_AT + timedelta(hours=7), 2.0, True),
        (START_AT + timedelta(hours=40), 2.0, False),
    ],
)
def test_it_counts_while_it_overlaps_the_exposed_span(from_at: datetime, hours: float, counts: bool) -> None:
    start = seen("Flash Flood Warning", from_at=from_at, hours=hours)
    assert bool(start.warnings) is counts
    assert start.verdict is (Verdict.MOVE if counts else Verdict.NO_LIMIT)


def test_no_day_under_it_is_named_as_the_better_one() -> None:
    """Thursday's pour; the warning holds until Friday evening, so that Monday is the first day without it."""
    assert seen("Flash Flood Warning", hours=36).move_to == local(7, day=5)
    assert seen("Heat Advisory", hours=36).move_to == local(7, day=2)


def test_it_never_makes_a_verdict_milder() -> None:
    start = watched("slab_pour", series=rain(1.0), alerts=(alert("Heat Advisory"),))
    assert start.verdict is Verdict.MOVE


@pytest.mark.parametrize("freshness", [Freshness.STALE, Freshness.DOWN])
def test_over_an_old_forecast_the_verdict_stays_unknown_and_the_warning_is_shown(freshness: Freshness) -> None:
    start = watched("slab_pour", series=sky(144), freshness=freshness, alerts=(alert("Flash Flood Warning"),))
    assert start.verdict is Verdict.UNKNOWN
    assert [one.event for one in start.warnings] == ["Flash Flood Warning"]


def test_when_it_is_called_off_the_forecast_speaks_again_at_once() -> None:
    """The verdict kept for the next run is the forecast's own, so a warning leaves nothing behind."""
    under = watched("slab_pour", series=sky(144), alerts=(alert("Tornado Warning"),))
    previous = (Previous(task=under.task, start_at=under.start_at, verdict=under.forecast_verdict),)
    assert watched("slab_pour", series=sky(144), previous=previous).verdict is Verdict.NO_LIMIT


def test_each_event_stands_once_in_the_table() -> None:
    names = [event.name for event in EVENTS]
    assert len(names) == len(set(names))


def test_warnings_recorded_on_a_day_of_storms_are_in_the_table() -> None:
    """Source: a recorded reply for the whole United States, 15 July 2026; every warning of water, wind or thunder."""
    features = recorded("alerts", "us_2026-07-15_thunder_flood.recon")["features"]
    heard = {feature["properties"]["event"] for feature in features}
    known = {event.name for event in EVENTS}
    # Air and fire: shown, and nothing a pour asks about.
    assert heard - known <= {"Air Quality Alert", "Red Flag Warning", "Dense Smoke Advisory", "Air Stagnation Advisory"}
    assert heard & known == {
        "Flash Flood Warning",
        "Flood Watch",
        "Severe Thunderstorm Warning",
        "Special Weather Statement",
    }


def test_the_spoken_report_names_it_its_sender_and_its_end() -> None:
    of_world = world(job(task(7, "pour_floor", "slab_pour")), series=sky(144), alerts=(alert("Flash Flood Warning"),))
    lines = " ".join(" ".join(watch_lines(watch(of_world, (stay(7, START_AT),), now=NOW))).split())
    assert "MOVE. An official warning is out: Flash Flood Warning." in lines
    assert "Official: Flash Flood Warning until noon (Weather office), until 1:00 pm Thursday, July 16." in lines
