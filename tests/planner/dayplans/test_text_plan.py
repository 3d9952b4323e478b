"""The printed day plan: every fact is there, nothing is wider than the page, nothing unknown reads as dry."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from planner.dayplans.facts import Forecast, GateState, StopLimit
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.text import WIDTH, day_plan_text
from tests.planner.dayplans.samples import at, facts, pour


def test_each_fact_of_the_day_is_said() -> None:
    said = " ".join(day_plan_text(facts()).split())
    for words in (
        "Marl & Tern Pools",
        "Shell crew one",
        "Tuesday, June 16, 2026",
        "Recorded weather, moved dates.",
        "CHANGED SINCE YOU WERE TOLD PLAN 13",
        "18.4 cubic yards",
        "1 at 7:30 am, 9 cubic yards",
        "Before you start (2 of 4 open)",
        "[##|shut|##] Booking: The pump has not confirmed.",
        "[ ? not known ] Strength:",
        "Forecast: 0.16 inches an hour at 5:00 pm. Reached.",
        "Weather can spoil this work until 7:15 pm.",
        "+1 410 555 0142",
        "Set off 2:00 pm: 20 min, 6.0 miles.",
        "Heat index up to 93 °F at 3:00 pm: moderate.",
        "Cut and bend deck steel",
        "Tuesday, June 23: Otter Run pool: openings and fittings.",
        "Follow local code, the engineer, the maker and licensed people",
    ):
        assert words in said


def test_no_line_is_wider_than_the_page() -> None:
    assert 80 <= WIDTH <= 100
    assert max(map(len, day_plan_text(facts()).splitlines())) <= WIDTH


@given(st.text(st.characters(categories=("L", "N", "P", "Zs")), min_size=1, max_size=300))
def test_long_names_wrap(name: str) -> None:
    plan = facts(crew=name, changed=(name,))
    text = day_plan_text(plan)
    assert max(map(len, text.splitlines())) <= WIDTH


def test_an_unknown_hour_never_reads_as_dry() -> None:
    row = next(line for line in day_plan_text(facts()).splitlines() if line.strip().startswith("8 pm"))
    assert row.split()[2:] == ["not", "known"] * 7


def test_less_than_the_last_decimal_of_rain_is_a_trace() -> None:
    assert [one.rain_in for one in present_day_plan(facts()).sky][8:11] == ["0", "trace", "0.05"]


def test_no_forecast_and_no_stops_are_said() -> None:
    said = day_plan_text(facts(sky=(), stops=(), heat=None))
    assert "No forecast is known for this day. Call the office before any pour." in said
    assert "No stop is planned for this crew on this day. Call the office." in said


def test_a_stale_forecast_is_said() -> None:
    said = day_plan_text(facts(forecast=Forecast(source="x", issued_at=None, age="never fetched", stale=True)))
    assert "This forecast is old." in said
    assert "issued not known" in said


def test_an_unknown_gate_does_not_count_as_open() -> None:
    task = pour()
    stop = replace(
        facts().stops[0],
        tasks=(replace(task, gates=(replace(task.gates[0], state=GateState.UNKNOWN, opens="it has passed"),)),),
    )
    view = present_day_plan(facts(stops=(stop,))).stops[0].tasks[0]
    assert (view.gates_open, view.all_open) == (0, False)


def test_a_safe_moment_on_another_day_names_the_day() -> None:
    stop = replace(facts().stops[0], tasks=(replace(pour(), safe_at=at(6, day=17)),))
    assert present_day_plan(facts(stops=(stop,))).stops[0].tasks[0].safe == "6:00 am Wednesday, June 17"


def test_words_of_the_presenter_go_through_the_translator() -> None:
    said = day_plan_text(facts(), gettext=lambda words: words.replace("Before you start", "Antes de empezar"))
    assert "Antes de empezar (2 of 4 open)" in said


def test_a_forecast_that_rounds_to_its_limit_says_on_which_side_it_lies() -> None:
    """A limit of 0.254 mm is 0.01 inches exactly (25.4 mm to the inch by definition); 0.2 mm rounds to it too."""
    limits = tuple(
        StopLimit(words="Rain in all of", unit="mm", limit=0.254, forecast=rain_mm, reached=rain_mm >= 0.254)
        for rain_mm in (0.2, 0.254, 0.3, 2.54)
    )
    (stop, *_) = facts().stops
    judged = facts(stops=(replace(stop, tasks=(replace(pour(), limits=limits),)),))
    shown = present_day_plan(judged).stops[0].tasks[0].limits
    assert [(one.limit, one.forecast, one.state) for one in shown] == [
        ("0.01 inches", "just under 0.01 inches", "clear"),
        ("0.01 inches", "0.01 inches", "reached"),
        ("0.01 inches", "just over 0.01 inches", "reached"),
        ("0.01 inches", "0.1 inches", "reached"),
    ]
