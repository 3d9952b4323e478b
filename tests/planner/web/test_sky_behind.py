"""The page Sky: credit, stand-ins, official warnings, what does not come, and what the forecasts were worth."""

import re
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Branch, Site
from planner.forecast.cells import cells_over
from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.place import Place
from planner.forecast.models import (
    Calibration,
    ForecastRun,
    GridPlace,
    OfficialAlert,
    RecordedSky,
    UrlState,
    VerifiedWindow,
)
from planner.forecast.snapshots import alert_facts
from planner.forecast.sources.nws_alerts import alerts_address
from planner.serving.models import Turn
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn

HOUR = timedelta(hours=1)
SERVICE = "http://weather.invalid"


def page(client: Client) -> str:
    return client.get(reverse("sky")).content.decode().replace("\xa0", " ")


def section(html: str, name: str) -> str:
    at = html.index(f'id="{name}"')
    return html[at : html.index("</section>", at)]


@pytest.fixture
def live(branch: Branch, settings: Any) -> Branch:
    """The branch on live services: its hourly text answers, the raw grid has nothing."""
    settings.PLANNER_NWS_URL = SERVICE
    RecordedSky.objects.all().delete()
    GridPlace.objects.update(source="nws", zones=["NJZ106"])
    ForecastRun.objects.update(source="nws_hourly")
    return branch


def warn(branch: Branch, **changes: Any) -> None:
    values = {
        "message_id": "urn:oid:1",
        "event_key": "1",
        "action": "",
        "event": "Flood Watch",
        "message_type": "Alert",
        "status": "Actual",
        "severity": "Severe",
        "certainty": "Likely",
        "urgency": "Future",
        "headline": "Flood Watch from Tuesday noon",
        "instruction": "Move to higher ground.",
        "area": "",
        "sender": "Weather office of the test",
        "sent_at": NOW,
        "starts_at": NOW + 30 * HOUR,
        "until_at": NOW + 48 * HOUR,
        "zones": ("NJZ106",),
    }
    alert = Alert(**(values | changes))
    OfficialAlert.objects.create(
        message_id=alert.message_id,
        event_key=alert.event_key,
        sent_at=NOW,
        until_at=alert.until_at,
        first_seen_at=NOW,
        seen_at=NOW,
        facts=alert_facts(alert),
    )
    for site in Site.objects.filter(branch=branch):
        UrlState.objects.create(
            url=alerts_address(SERVICE, Place(latitude=site.latitude, longitude=site.longitude)),
            expires_at=NOW,
            changed_at=NOW,
            checked_at=NOW,
        )


def test_a_source_is_credited_and_says_whom_it_stands_in_for(sign_in: SignIn, live: Branch) -> None:
    html = page(sign_in())
    assert "The US National Weather Service, hourly text" in html
    assert "Stands in for US National Weather Service, which has nothing usable." in html
    assert "Forecast: US National Weather Service (public domain)." in html


@pytest.mark.parametrize(
    ("source", "credit"),
    [
        ("met", "Forecast: MET Norway, CC BY 4.0, made hourly by us."),
        ("open_meteo", "Forecast: Open-Meteo.com, CC BY 4.0, made hourly by us."),
    ],
)
def test_each_service_gets_the_credit_its_licence_asks_for(
    sign_in: SignIn, live: Branch, settings: Any, source: str, credit: str
) -> None:
    """Source: CC BY 4.0, section 3(a): credit, licence, and that it was changed."""
    settings.PLANNER_OPEN_METEO_KEY = "a-key"
    ForecastRun.objects.update(source=source)
    GridPlace.objects.update(source=source)
    assert credit in page(sign_in())


def test_official_warnings_stand_with_sender_span_and_sites(sign_in: SignIn, live: Branch) -> None:
    warn(live)
    html = section(page(sign_in()), "official")
    assert "Flood Watch from Tuesday noon" in html
    assert "Weather office of the test" in html
    assert "Move to higher ground." in html
    assert "Last asked today 6:00 am." in html
    assert html.count("<tr>") == 2, "one row names every site it holds at"


def test_a_warning_over_a_pour_moves_its_verdict_on_the_page_pours(sign_in: SignIn, live: Branch) -> None:
    client = sign_in()
    before = client.get(reverse("pours")).content.decode()
    warn(live, event="Flash Flood Warning", headline="Flash Flood Warning", starts_at=NOW, until_at=NOW + 80 * HOUR)
    after = client.get(reverse("pours")).content.decode()
    words = r'<details class="start-fold" open><summary><span class="word (\w+)">'
    assert "move" in re.findall(words, after)
    assert set(re.findall(words, after)) <= {"move", "unknown"}
    assert "An official warning is out: Flash Flood Warning." in after
    assert "An official warning is out" not in before


def test_without_a_service_that_warns_it_says_where_to_look(sign_in: SignIn, branch: Branch) -> None:
    assert "look at those of your country" in section(page(sign_in()), "official")


def test_what_does_not_come_is_named_with_its_sites_and_since_when(sign_in: SignIn, live: Branch) -> None:
    sites = list(Site.objects.filter(branch=live, jobs__state="open").distinct())
    keys = list(cells_over(branch=live, sites=sites))
    for key in keys:
        Turn.objects.create(
            kind="forecast", key=key, failing_since=NOW - 5 * HOUR, failures=3, problem="The service answered 503."
        )
    Turn.objects.create(
        kind="warnings", key=keys[0], failing_since=NOW, failures=0, well_at=NOW, problem="Got a late answer."
    )
    Turn.objects.create(kind="forecast", key="of another branch", failing_since=NOW, failures=1, problem="Elsewhere.")
    html = section(page(sign_in()), "failing")
    assert html.count("The service answered 503.") == 1
    assert "Nothing comes" in html
    assert "Got over" in html
    assert "today 1:00 am" in html.lower()
    assert all(site.name in html for site in sites)
    assert "Elsewhere." not in html


def test_where_all_comes_there_is_no_such_list(sign_in: SignIn, branch: Branch) -> None:
    assert 'id="failing"' not in page(sign_in())


def verify(windows: int) -> None:
    """Half-days of the first cell: told 20 percent, one in five wet."""
    key = GridPlace.objects.order_by("pk")[0].grid_key
    VerifiedWindow.objects.bulk_create(
        VerifiedWindow(
            source="replay",
            grid_key=key,
            from_at=NOW - at * 12 * HOUR,
            lead_day=lead,
            percent=20,
            wet=at % 5 == 0,
            odd=bool(at % 2),
        )
        for at in range(windows)
        for lead in (1, 4)
    )


def test_before_anything_is_measured_it_says_so(sign_in: SignIn, branch: Branch) -> None:
    assert "Nothing yet: a half-day counts once" in section(page(sign_in()), "worth")


def test_scores_stand_as_a_table_and_as_a_drawing_with_the_same_facts(sign_in: SignIn, branch: Branch) -> None:
    verify(100)
    html = section(page(sign_in()), "worth")
    row = re.search(r'<th scope="row">Day 1</th>(.*?)</tr>', html)
    assert row is not None
    # 100 windows, 20 % wet, all told 20 %: the score is that of always telling the usual, 0.2 * 0.8.
    assert re.findall(r'class="n">([^<]+)', row[1]) == ["100", "20 %", "0.160", "0.160"]
    assert "No better" in row[1]
    assert html.count("<svg") == 2
    assert html.count("told 20 %, came 20 % of 100") == 4, "as a title and in the drawing's words, near and far"
    assert "Counted as told: over 100 half-days no correction does better." in html


def test_few_half_days_count_as_told(sign_in: SignIn, branch: Branch) -> None:
    verify(40)
    assert "40 half-days so far: chances count as told until there are 60." in section(page(sign_in()), "worth")


def test_a_correction_in_force_is_drawn_and_said_beside_the_source(sign_in: SignIn, branch: Branch) -> None:
    verify(70)
    Calibration.objects.create(
        branch=branch, source="replay", band="near", windows=70, points=[[0.0, 0.1], [1.0, 0.9]], fitted_at=NOW
    )
    html = page(sign_in())
    assert "Chances of rain are corrected by what came of 70 half-days." in html
    assert html.count("worth-line") == 1
