"""Crews, Pours, Holds, Sky: what each page must say, as a drawing and as a table, in as many queries as ever."""

import re
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from crews.models import Booking, Crew
from jobs.models import Branch, Hold, Job
from planner.forecast.models import ForecastRun
from planner.plans.models import Plan
from tests.planner.web.conftest import SignIn

SUMMARY = (
    r'<details class="start-fold"(?: open)?><summary><span class="word (?:clear|prepare|move|unknown)">([^<]+)</span>'
)
PAGES = ("crews", "pours", "holds", "sky", "report", "changes")


@pytest.mark.parametrize("name", PAGES)
def test_the_number_of_queries_does_not_grow_with_the_pools(sign_in: SignIn, branch: Branch, name: str) -> None:
    client = sign_in()
    counts = []
    for keep in (6, 3, 1):
        few = Job.objects.filter(branch=branch).order_by("pk").values_list("pk", flat=True)[:keep]
        Job.objects.filter(branch=branch).exclude(pk__in=list(few)).update(state=Job.State.FINISHED)
        with CaptureQueriesContext(
            connection,
        ) as queries:
            assert client.get(reverse(name)).status_code == 200
        counts.append(len(queries))
    assert counts[0] == counts[1] == counts[2]
    assert counts[0] < 60


@pytest.mark.parametrize("name", PAGES)
def test_a_part_is_the_same_page_without_its_frame(sign_in: SignIn, branch: Branch, name: str) -> None:
    client = sign_in()
    whole, part = client.get(reverse(name)), client.get(reverse(name), headers={"HX-Request": "true"})
    assert "HX-Request" in whole["Vary"]
    assert b"<!doctype html>" in whole.content
    assert b"<!doctype html>" not in part.content
    assert re.search(rb"<h1>[^<]+</h1>", part.content)


@pytest.mark.parametrize("name", ["crews", "pours", "holds"])
def test_before_the_first_plan_a_page_says_how_to_get_one(sign_in: SignIn, branch: Branch, name: str) -> None:
    Plan.objects.filter(branch=branch).update(state=Plan.State.PAST)
    assert "No plan is in force yet." in sign_in().get(reverse(name)).content.decode()


def test_nobody_of_the_trade_reads_a_word_that_is_not_ours(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in()
    for name in PAGES:
        words = re.sub(r"<[^>]+>", " ", client.get(reverse(name)).content.decode()).lower()
        for wrong in ("dispatch", "board", "portal", "punch list", "look-ahead", "milestone", "baseline"):
            assert not re.search(rf"\b{wrong}\b", words), (name, wrong)


def test_every_drawing_has_a_table_with_the_same_stops(sign_in: SignIn, branch: Branch) -> None:
    html = sign_in().get(reverse("crews")).content.decode()
    for crew in Crew.objects.filter(branch=branch):
        section = html[html.index(f'id="crew-{crew.key}"') :].split("</section>")[0]
        # A crew that works on none of the days is not drawn under a sky that says nothing of it.
        assert (f"{crew.name} as a table" in section) == ("<svg" in section) == ('class="way-empty"' not in section)
    # Each strip of a road is a stop, and each stop a row of its table.
    roads = re.findall(r'<g class="work state-', html)
    rows = re.findall(r'<td[^>]*><span class="word \w+">', html)
    assert len(roads) == len(rows)
    assert len(roads) > 5


def test_a_road_leads_to_the_day_plan_of_each_day(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in()
    html = client.get(reverse("crews")).content.decode()
    url = reverse("crew_day", args=["forms-east", "2026-06-08"])
    assert f'href="{url}"' in html
    assert client.get(url).status_code == 200
    later = client.get(reverse("crews"), {"from": "2026-06-15"}).content.decode()
    assert "Mon Jun 15 to Sun Jun 21" in later
    assert client.get(reverse("crews"), {"from": "soon"}).status_code == 404


def test_the_watch_shows_verdict_dollars_and_limits_of_each_start(sign_in: SignIn, branch: Branch) -> None:
    html = sign_in().get(reverse("pours")).content.decode()
    cases = html.count('class="start-case"')
    assert cases > 0
    assert html.count("<dt>Going</dt>") == cases
    verdicts = re.findall(SUMMARY, html)
    assert len(verdicts) == cases
    assert set(verdicts) <= {"No limit reached", "Prepare", "Move", "Unknown"}
    assert "What stands and can be hurt" in html
    assert "Forms east" in html


def test_what_asks_for_something_comes_first_and_all_are_folded_and_explained_once(
    sign_in: SignIn, branch: Branch
) -> None:
    html = sign_in().get(reverse("pours")).content.decode()
    asking, quiet = html[: html.index('id="quiet"')], html[html.index('id="quiet"') :]
    assert set(re.findall(SUMMARY, asking)) == {"Prepare"}
    assert set(re.findall(SUMMARY, quiet)) == {"No limit reached"}
    # Nothing has to move and everybody has read: the page is a list of what to prepare, one line or two each.
    assert '<details class="start-fold" open>' not in html
    assert html.count("The shade falls as far as the chance of rain") == 1
    assert html.count('class="legend"') == 1
    for case in asking.split('class="start-case"')[1:]:
        moving = re.search(r"<dt>Moving</dt><dd>([^<]+)</dd>", case)
        assert moving is not None
        assert moving[1].startswith("under") or int(re.sub(r"\D", "", moving[1])) >= 20


def test_without_a_forecast_no_start_reads_as_dry(sign_in: SignIn, branch: Branch) -> None:
    ForecastRun.objects.all().delete()
    html = sign_in().get(reverse("pours")).content.decode()
    assert "no forecast is known" in html
    assert set(re.findall(SUMMARY, html)) == {"Unknown"}
    assert "Call the office." in html
    sky = sign_in().get(reverse("sky")).content.decode()
    assert "Down" in sky
    assert "Call the office" in sky


def soonest(branch: Branch) -> Hold:
    """The shut hold whose visit the plan has first, of those the authority is asked for."""
    shut = Hold.objects.filter(job__branch=branch, result="open", visit__details__authority="building_authority")
    return shut.order_by("visit__assignments__start_at", "pk")[0]


def test_a_hold_far_ahead_that_was_refused_comes_back_with_its_form(sign_in: SignIn, branch: Branch) -> None:
    far = Hold.objects.filter(job__branch=branch, result="open").order_by("-visit__assignments__start_at")[0]
    html = sign_in().post(reverse("holds_visit", args=[far.pk]), {"on": "", "said": "asked"}).content.decode()
    assert f'id="on-{far.pk}-error"' in html


def test_a_slot_on_another_day_than_the_plan_needs_is_said(sign_in: SignIn, branch: Branch) -> None:
    hold = soonest(branch)
    client = sign_in()
    client.post(reverse("holds_visit", args=[hold.pk]), {"on": "2026-06-12", "said": "confirmed"})
    page = client.get(reverse("holds")).content.decode()
    item = page[page.index(f'id="hold-{hold.pk}"') :]
    assert "That is not the day the plan needs" in item[: item.index("</li>")]


def test_a_hold_goes_from_asking_to_a_yes_and_the_day_is_kept(sign_in: SignIn, branch: Branch) -> None:
    hold = soonest(branch)
    client, url = sign_in(), reverse("holds_visit", args=[hold.pk])
    for said, state in (("asked", "asked"), ("asked", "asked"), ("confirmed", "confirmed"), ("confirmed", "confirmed")):
        assert client.post(url, {"on": "2026-06-11", "said": said}).status_code == 302
        assert Booking.objects.get(task=hold.visit).state == state
    booking = Booking.objects.get(task=hold.visit)
    assert booking.on == date(2026, 6, 11)
    page = client.get(reverse("holds")).content.decode()
    item = page[page.index(f'id="hold-{hold.pk}"') :]
    assert "Confirmed" in item[: item.index("</h3>")]


def test_a_day_that_is_none_is_refused_at_the_field_of_its_hold(sign_in: SignIn, branch: Branch) -> None:
    hold = soonest(branch)
    before = list(Booking.objects.filter(task=hold.visit).values_list("on", "state"))
    answer = sign_in().post(reverse("holds_visit", args=[hold.pk]), {"on": "soon", "said": "asked"})
    html = answer.content.decode()
    assert answer.status_code == 409
    assert f'id="on-{hold.pk}-error"' in html
    assert "is no day" in html
    assert list(Booking.objects.filter(task=hold.visit).values_list("on", "state")) == before


def test_the_sky_says_source_age_and_reach_and_lists_every_hour(sign_in: SignIn, branch: Branch) -> None:
    html = sign_in().get(reverse("sky"), {"on": "2026-06-10"}).content.decode()
    assert "recorded weather, played back as a forecast" in html.lower()
    assert re.search(r"\d+ (hour|minute)s? old", html)
    table = html[html.index('class="facts-table"') :]
    assert table[: table.index("</table>")].count("<tr") == 1 + 24
    assert sign_in().get(reverse("sky"), {"site": "x"}).status_code == 404
