"""What people read: the verdict, why, the dollars, the deadline; phones in bodies only, one line in subjects."""

from dataclasses import replace

import pytest

from planner.forecast.domain.freshness import Freshness
from planner.watch.domain.report import Verdict, WatchReport
from planner.watch.domain.telling.facts import Fact, name_of
from planner.watch.domain.watch import watch
from planner.watch.presenters.messages import Writer, unread_message
from tests.planner.forecast_domain.skies import local, sky
from tests.planner.watch.test_official import alert
from tests.planner.watch.worlds import NOW, booked, job, rain, stay, task, world

START_AT = local(7, day=1)


def report(**of_world: object) -> WatchReport:
    dug = task(3, "dig", "dig", started_at=local(7, day=-1), finished_at=local(15, day=-1))
    one = job(dug, task(7, "pour_floor", "slab_pour"), task(9, "hand_over", "none"))
    return watch(world(one, **of_world), (stay(7, START_AT), stay(9, local(9, day=30), 2)), now=NOW)


def of_verdict(verdict: Verdict, **changes: object) -> Fact:
    made = Fact(key="pour:7:1", kind="verdict", task=7, start_at=START_AT, verdict=verdict)
    return replace(made, **changes)


def test_a_pour_to_move_says_why_what_it_costs_and_until_when_it_is_free() -> None:
    wet = report(series=rain(1.0), bookings=(booked(7, 2),))
    said = Writer(wet).message(of_verdict(Verdict.MOVE, answer_by=START_AT))
    assert said.subject == "Move: pour floor at Heron Lane, planned 7:00 am Thursday, July 16"
    for words in (
        "Going costs more than moving.",
        "Chance of being hit",
        "It could go 7:00 am Monday, July 20.",
        "Say that you have read this by 7:00 am Thursday, July 16.",
        "Nothing is moved by itself",
        "Office: 555-0100",
        "Local code, the engineer, the maker and licensed people decide.",
    ):
        assert words in said.body
    assert said.short == f"{said.subject}. Going costs more than moving."


@pytest.mark.parametrize(
    ("freshness", "reason"), [(Freshness.STALE, "The forecast is stale."), (Freshness.DOWN, "There is no forecast.")]
)
def test_without_a_forecast_it_says_call_the_office_and_no_dollars(freshness: Freshness, reason: str) -> None:
    said = Writer(report(series=sky(144), freshness=freshness)).message(of_verdict(Verdict.UNKNOWN))
    assert said.subject.startswith("Weather unknown, call the office: pour floor at Heron Lane")
    assert f"{reason} Call the office before anything is placed." in said.body
    assert "$" not in said.body


def test_an_official_warning_is_named_with_its_sender_and_end() -> None:
    said = Writer(report(series=sky(144), alerts=(alert("Flash Flood Warning"),))).message(of_verdict(Verdict.MOVE))
    assert "An official warning is out: Flash Flood Warning." in said.body
    assert "Flash Flood Warning until noon (Weather office), until 1:00 pm Thursday, July 16." in said.body
    assert "Nobody is in a dig" in said.body


def test_nobody_is_told_to_prepare_where_nothing_pays() -> None:
    wet = report(series=rain(1.0))
    start = next(one for one in wet.starts if one.task == 7)
    bare = replace(start, verdict=Verdict.PREPARE, forecast_verdict=Verdict.PREPARE, measures=())
    said = Writer(replace(wet, starts=(bare,))).message(of_verdict(Verdict.PREPARE))
    assert "nothing to prepare is worth its price" in said.body
    assert "prepared, is the cheaper way" not in said.body


def test_a_deadline_leads_with_the_moment() -> None:
    fact = of_verdict(Verdict.MOVE, kind="deadline", deadline=local(7, day=0))
    said = Writer(report(series=rain(1.0))).message(fact)
    assert said.subject.startswith("Free to move until 7:00 am Wednesday, July 15: pour floor at Heron Lane")


@pytest.mark.parametrize("kind", ["states", "weekend"])
def test_what_stands_is_listed_with_its_protection_and_who_could(kind: str) -> None:
    found = report(series=rain(1.0))
    states = found.states if kind == "states" else found.weekend
    assert states
    said = Writer(found).message(Fact(key="x", kind=kind, covers=tuple(name_of(state) for state in states)))
    assert "Heron Lane: Open dig." in said.body
    assert "Protect: Berm the edge" in said.body
    assert "Who could: Forms, Diggers." in said.body or "Who could: Diggers, Forms." in said.body
    assert said.subject.startswith("Protect what stands" if kind == "states" else "Before people go home on Friday")


def test_nobody_has_read_it() -> None:
    said = unread_message("Move: pour floor", NOW, ["Foreman"], zone="America/New_York", phone="555-0100")
    assert said.subject == "Not read: Move: pour floor"
    assert "Told 5:00 am Wednesday, July 15 to Foreman; nobody has said that they read it." in said.body
    nobody = unread_message("Move", NOW, [], zone="America/New_York", phone="")
    assert "to nobody with an address" in nobody.body


@pytest.mark.parametrize("verdict", list(Verdict))
def test_no_phone_stands_in_a_subject_or_a_text_message(verdict: Verdict) -> None:
    found = report(series=rain(0.5))
    shown = replace(found, starts=tuple(replace(one, verdict=verdict) for one in found.starts))
    said = Writer(shown).message(of_verdict(verdict))
    assert "555" not in said.subject + said.short
    assert "\n" not in said.subject
    assert "555-0100" in said.body
