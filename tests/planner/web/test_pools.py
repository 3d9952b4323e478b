"""Pools: every pool in reading order, facts of the drawings in the tables beside them, a constant number of queries."""

import re
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import Branch, Job, Task
from jobs.services.field_reports import report
from planner.web.presenters.pages.pools import USUAL_WEEKS, weeks_of
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import outline, page_of, text

pytestmark = pytest.mark.django_db


def test_every_open_pool_is_there_with_its_next_event_first(sign_in: SignIn) -> None:
    response = sign_in().get("/pools/")
    assert response.status_code == 200
    pools = page_of(response).pools
    assert {pool.head.name for pool in pools} == set(Job.objects.values_list("name", flat=True))
    moments = [pool.head.next.at for pool in pools]
    assert moments == sorted(moments)
    words = text(response.content.decode())
    for pool in pools:
        assert pool.head.next.title in words
        assert pool.head.next.binding.replace("\u00a0", " ") in words.replace("&quot;", '"')


@pytest.mark.parametrize("weeks", [2, 6])
def test_tables_hold_the_facts_of_the_drawings(sign_in: SignIn, weeks: int) -> None:
    response = sign_in().get("/pools/", {"weeks": weeks})
    html = response.content.decode()
    for pool in page_of(response).pools:
        article = html[html.index(f'id="pool-{pool.id}"') :].partition("</article>")[0]
        drawing, _, table = article.rpartition('<svg class="strips ')[2].partition("</svg>")
        drawn = re.findall(r'<g class="work state-[a-z]+"><title>([^<]+)</title>', drawing)
        assert len(drawn) == len(pool.strips.rows) > 0 or not pool.strips.rows
        for title, row in zip(drawn, pool.strips.rows, strict=True):
            assert title.startswith(row.title.replace("'", "&#x27;"))
            assert row.starts in title
            assert row.state_word in title
            assert row.title.replace("'", "&#x27;") in table
        gates = re.findall(r'<g class="gate-mark[^"]*"><title>([^:<]+)', drawing)
        assert gates == [row.title for row in pool.strips.gate_rows]
        assert all(row.word in drawing for row in pool.strips.gate_rows)
        assert len(re.findall(r"rain-shade (?:forecast|climate)", drawing)) == len(pool.strips.sky_rows)
        if pool.section is not None:
            for row in pool.section.rows:
                assert f'<th scope="row">{row.part}</th>' in article


def test_as_many_queries_for_two_pools_as_for_six(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in()
    assert Job.objects.count() == 6
    for path in ("/pools/", "/"):
        client.get(path)
        with CaptureQueriesContext(
            connection,
        ) as six:
            assert client.get(path).status_code == 200
        kept = Job.objects.order_by("id")[:2].values("pk")
        Job.objects.exclude(pk__in=list(kept.values_list("pk", flat=True))).update(state=Job.State.DROPPED)
        with CaptureQueriesContext(connection) as two:
            assert client.get(path).status_code == 200
        assert len(two) == len(six) < 45
        Job.objects.update(state=Job.State.OPEN)


def test_the_section_is_built_up_by_reports_and_by_nothing_else(sign_in: SignIn, branch: Branch, settings: Any) -> None:
    pool = Job.objects.get(name="Quarry Bend")
    dig = Task.objects.get(job=pool, key="dig")

    def dug() -> tuple[str, bool]:
        card = next(one for one in page_of(sign_in().get("/pools/")).pools if one.id == pool.pk)
        return next((row.state, row.done) for row in card.section.rows if row.part == "Dig")

    settings.PLANNER_AS_OF = NOW + timedelta(days=5)
    assert dug() == ("marked, not dug", False)
    said_at = NOW + timedelta(days=4)
    report(
        branch=branch,
        kind="finished",
        sent_id=uuid4(),
        said_by="W. Ostrava",
        happened_at=said_at,
        received_at=said_at,
        task=dig,
    )
    assert dug() == ("done", True)


@pytest.mark.parametrize("asked", ["1000", "-1", "three", "3'", ""])
def test_a_number_of_weeks_nobody_offers_is_the_usual_one(asked: str) -> None:
    assert weeks_of(asked) == USUAL_WEEKS


def test_htmx_gets_the_part_and_the_browser_s_history_the_whole(sign_in: SignIn) -> None:
    client = sign_in()
    part = client.get("/pools/", headers={"HX-Request": "true"})
    assert part.status_code == 200
    assert "<html" not in part.content.decode()
    assert 'id="pools"' in part.content.decode()
    assert "HX-Request" in part.headers["Vary"]
    whole = client.get("/pools/", headers={"HX-Request": "true", "HX-History-Restore-Request": "true"})
    assert "<html" in whole.content.decode()


def test_ids_are_unique_and_links_inside_lead_somewhere(sign_in: SignIn) -> None:
    client = sign_in()
    found = outline(client.get("/pools/").content.decode())
    assert len(found.ids) == len(set(found.ids))
    assert found.headings.count("h1") == 1
    deep = [target.partition("#") for target in found.targets if target.startswith("/pools/") and "#" in target]
    path = next(path for path, _, _ in deep)
    assert {anchor for where, _, anchor in deep if where == path} <= set(outline(client.get(path).content.decode()).ids)
