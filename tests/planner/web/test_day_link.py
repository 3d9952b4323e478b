"""A private link opens one crew's days, for those who have it, until it ends."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from crews.models import Crew
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.dayplans.masking import masked
from planner.dayplans.models import DayLink, Seen
from planner.dayplans.private_links import end_link, make_link, open_link, token_of
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn

MONDAY, TUESDAY = date(2026, 6, 8), date(2026, 6, 9)


@pytest.fixture
def link(branch: Branch) -> DayLink:
    crew = Crew.objects.get(branch=branch, key="forms-east")
    return make_link(branch=branch, crew=crew, first_on=MONDAY, last_on=TUESDAY, now=NOW)


def test_it_opens_the_day_plan_of_its_crew_and_of_no_other(link: DayLink) -> None:
    answer = Client().get(reverse("day_link", args=[token_of(link)]))
    html = answer.content.decode()
    assert answer.status_code == 200
    assert "Forms east" in html
    assert "Monday, June 8, 2026" in html
    assert "Forms west" not in html


def test_neither_the_next_site_nor_a_search_engine_nor_a_cache_keeps_it(link: DayLink) -> None:
    answer = Client().get(reverse("day_link", args=[token_of(link)]))
    assert answer["Referrer-Policy"] == "no-referrer"
    assert "noindex" in answer["X-Robots-Tag"]
    assert "no-store" in answer["Cache-Control"]
    assert '<meta name="robots" content="noindex, nofollow">' in answer.content.decode()


@pytest.mark.parametrize("on", ["2026-06-07", "2026-06-10", "someday", "2026-13-01"])
def test_a_day_outside_its_span_is_not_found(link: DayLink, on: str) -> None:
    token = token_of(link)
    assert Client().get(reverse("day_link_on", args=[token, on])).status_code == 404
    assert Client().post(reverse("day_seen", args=[token, on]), {"plan_number": 1, "said_by": "X"}).status_code == 404
    assert not Seen.objects.exists()


def test_a_forged_address_is_not_found(link: DayLink) -> None:
    token = token_of(link)
    number, mac = token.split("-", 1)
    for forged in (
        f"{number}-{mac[:-1]}",
        f"{number}-",
        f"{int(number) + 1}-{mac}",
        mac,
        "x-y",
        f"{number}-{'A' * 43}",
    ):
        assert open_link(token=forged, now=NOW) is None, forged
        assert Client().get(reverse("day_link", args=[forged])).status_code == 404


def test_another_key_makes_another_address(link: DayLink, settings: Any) -> None:
    token = token_of(link)
    settings.SECRET_KEY = "another key " + "1" * 50
    assert open_link(token=token, now=NOW) is None


def test_it_ends_after_its_last_day_on_the_clock_of_the_branch(link: DayLink, settings: Any) -> None:
    # Tuesday 9 June ends in New Jersey at 04:00 UTC on Wednesday.
    settings.PLANNER_AS_OF = NOW.replace(day=10, hour=3, minute=59)
    assert Client().get(reverse("day_link", args=[token_of(link)])).status_code == 200
    settings.PLANNER_AS_OF = NOW.replace(day=10, hour=4, minute=0)
    answer = Client().get(reverse("day_link", args=[token_of(link)]))
    assert answer.status_code == 410
    assert "Forms east" not in answer.content.decode()


def test_an_ended_link_opens_nothing_and_a_new_one_has_another_address(link: DayLink) -> None:
    token = token_of(link)
    end_link(link=link)
    assert Client().get(reverse("day_link", args=[token])).status_code == 404
    link.refresh_from_db()
    assert Client().get(reverse("day_link", args=[token_of(link)])).status_code == 410
    again = make_link(branch=link.branch, crew=link.crew, first_on=MONDAY, last_on=TUESDAY, now=NOW)
    assert again.pk != link.pk
    assert token_of(again) != token


def test_the_same_days_give_the_same_link(link: DayLink) -> None:
    again = make_link(branch=link.branch, crew=link.crew, first_on=MONDAY, last_on=TUESDAY, now=NOW)
    assert again.pk == link.pk


@pytest.mark.parametrize(("first", "last"), [(0, -1), (-3, -1), (0, 14)])
def test_days_out_of_order_past_or_too_many_are_refused(branch: Branch, first: int, last: int) -> None:
    crew = Crew.objects.get(branch=branch, key="forms-east")
    with pytest.raises(CannotDo) as refused:
        make_link(
            branch=branch,
            crew=crew,
            first_on=MONDAY + timedelta(days=first),
            last_on=MONDAY + timedelta(days=last),
            now=NOW,
        )
    assert refused.value.code == "links.bad_span"


def test_looking_is_not_seen_and_seen_is_kept_once(link: DayLink, branch: Branch) -> None:
    token = token_of(link)
    client = Client()
    client.get(reverse("day_link", args=[token]))
    assert not Seen.objects.exists()
    url = reverse("day_seen", args=[token, MONDAY.isoformat()])
    for name in ("Imre Castellaw", "Somebody else"):
        answer = client.post(url, {"plan_number": branch.plan_number, "said_by": name})
        assert answer.status_code == 302
    assert Seen.objects.get().said_by == "Imre Castellaw"
    assert "was seen by Imre Castellaw" in client.get(answer["Location"]).content.decode()


def test_seen_is_a_post(link: DayLink) -> None:
    assert Client().get(reverse("day_seen", args=[token_of(link), MONDAY.isoformat()])).status_code == 405


def test_seen_of_an_older_plan_is_refused_with_the_name_kept(link: DayLink, branch: Branch) -> None:
    url = reverse("day_seen", args=[token_of(link), MONDAY.isoformat()])
    answer = Client().post(url, {"plan_number": branch.plan_number + 1, "said_by": "Imre & co"})
    html = answer.content.decode()
    assert answer.status_code == 409
    assert "The plan has changed since you opened this page" in html
    assert "Imre &amp; co" in html
    assert not Seen.objects.exists()


def test_the_office_sees_the_address_only_when_it_asks_for_it(sign_in: SignIn, branch: Branch) -> None:
    client, url = sign_in("office"), reverse("crew_link", args=["forms-east"])
    assert "/day/" not in client.get(url).content.decode()
    shown = client.post(url, {"first_on": "2026-06-08", "last_on": "2026-06-09"}).content.decode()
    assert reverse("day_link", args=[token_of(DayLink.objects.get())]) in shown
    assert "/day/" not in client.get(url).content.decode()
    refused = client.post(url, {"first_on": "2026-06-08", "last_on": "2026-07-31"})
    assert refused.status_code == 409
    assert 'value="2026-07-31"' in refused.content.decode()


def test_logs_do_not_hold_the_secret(link: DayLink) -> None:
    path = reverse("day_link_on", args=[token_of(link), "2026-06-08"])
    assert masked(f"Not Found: {path}") == "Not Found: /day/…/2026-06-08/"
