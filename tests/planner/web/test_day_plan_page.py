"""The day plan's page: whole without JavaScript, the table says what the sky shows, words fit any name."""

import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import fields, replace
from typing import Any

import pytest
from django.template.loader import render_to_string
from django.utils import translation

from planner.dayplans.facts import DayPlanFacts, Forecast
from planner.web.presenters.day_page import present_day_page
from tests.planner.dayplans.samples import facts, pour


def page(day: DayPlanFacts) -> str:
    drawn = present_day_page(day)
    context: dict[str, Any] = {field.name: getattr(drawn, field.name) for field in fields(drawn)}
    return render_to_string("planner/day_plan.html", context)


def text_of(html: str) -> str:
    body = re.sub(r"<svg.*?</svg>", " ", html[html.index("<body") :], flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", body).replace("&amp;", "&").split())


def test_each_fact_of_the_day_is_on_the_page() -> None:
    said = text_of(page(facts()))
    for words in (
        "Recorded weather, moved dates.",
        "Shell crew one Tuesday, June 16, 2026",
        "Foreman Ada Quist, 5 people",
        "Plan 14, made 4:10 pm Monday, June 15",
        "Changed since you were told plan 13",
        "Before you start: 2 of 4 gates open",
        "shut Booking. The pump has not confirmed.",
        "not known Strength.",
        "Rain above 0.1 inches an hour Forecast: 0.16 inches an hour at 5:00 pm Reached",
        "Weather can spoil this work until 7:15 pm",
        "If rain takes the first choice",
        "Heat index up to 93 °F at 3:00 pm: moderate.",
        "Truck 2 10:00 am 9.4 cubic yards",
        "Thursday, June 18",
        "Follow local code, the engineer, the maker and licensed people",
    ):
        assert words in said


def test_the_hours_table_says_what_the_drawing_shows() -> None:
    html = page(facts())
    drawn = present_day_page(facts())
    assert drawn.sky is not None
    table = html[html.index("<table") : html.index("</table>") + len("</table>")]
    rows = [["".join(cell.itertext()) for cell in row] for row in ET.fromstring(table).iter("tr")][1:]
    for row, column in zip(rows, drawn.sky.columns, strict=True):
        assert row[1].replace("not known", "?") == column.temp
        assert row[2].removesuffix(" %").replace("not known", "?") == column.chance
        assert row[4].replace("not known", "?") == column.wind


def test_it_works_without_scripts_and_calls_the_office() -> None:
    html = page(facts())
    assert "<script" not in html
    assert 'href="tel:+14105550100"' in html
    assert 'href="tel:+14105550142"' in html


def test_what_must_wait_is_said_in_the_head_and_first_at_its_work() -> None:
    said = text_of(page(facts()))
    assert said.index("Not to be started yet: Heron Lane pool.") < said.index("Call the office +1 410 555 0100")
    first = said.index("Do not start before the pump is confirmed for this day. Ask the office, +1 410 555 0100.")
    assert first < said.index("temperature is reported. Ask Shell crew two, or the office")
    assert first < said.index("Concrete to order")


def test_each_caution_leads_to_its_source_and_each_source_is_asked_for() -> None:
    html = page(facts())
    asked = set(re.findall(r'<a class="cited" href="#([^"]+)"', html))
    listed = re.findall(r'<li id="(source-[^"]+)">([^<]+)</li>', html)
    assert asked == {name for name, _ in listed}
    assert [source for _, source in listed] == [
        "OSHA heat index bands",
        "29 CFR 1926.702",
        "common practice, no source",
    ]
    assert text_of(html).count("Follow local code") == 2, (
        "once for the cautions, once in these facts' own closing words"
    )


def test_each_id_is_used_once_and_each_label_points_at_one() -> None:
    html = page(facts())
    ids = re.findall(r'\sid="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    for name in re.findall(r'aria-labelledby="([^"]+)"', html):
        assert name in ids


def test_headings_go_down_one_step_at_a_time() -> None:
    levels = [int(level) for level in re.findall(r"<h([1-6])", page(facts()))]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))


def test_a_name_cannot_become_markup() -> None:
    html = page(facts(crew="<b>Rain & sons</b>", changed=("<script>alert(1)</script>",)))
    assert "<script>" not in html
    assert "&lt;b&gt;Rain &amp; sons&lt;/b&gt;" in html


def test_no_forecast_and_no_stop_are_said() -> None:
    said = text_of(page(facts(sky=(), stops=(), heat=None)))
    assert "No forecast is known for this day." in said
    assert "No stop is planned for this crew on this day." in said


def test_an_old_forecast_is_said() -> None:
    forecast = Forecast(source="recorded forecast", issued_at=None, age="9 hours old", stale=True)
    assert "This forecast is old." in text_of(page(facts(forecast=forecast)))


@pytest.mark.parametrize("language", ["en", "es"])
def test_coordinates_keep_their_dot_in_every_language(language: str) -> None:
    with translation.override(language):
        html = page(facts())
    drawing = html[html.index('<figure class="hour-sky"') : html.index("</figure>")]
    assert f'<html lang="{language}">' in html
    assert not re.findall(r'\s(?:x|y|width|height|d)="[^"]*\d,\d', drawing)


def test_two_stops_with_the_same_task_keep_apart() -> None:
    first, second = facts().stops
    html = page(facts(stops=(first, replace(second, tasks=(replace(pour(), key="again"),)))))
    assert html.count('id="task-1-1"') == html.count('id="task-2-1"') == 1
