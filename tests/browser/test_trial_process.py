"""A trial as the office sees it: asked on the page, planned by a process of its own, shown when it is done."""

import sqlite3
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.db import connection
from playwright.sync_api import Browser

from jobs.models import Branch
from planner.serving.web import LOOPBACK, listen
from planner.web.screens.catalogue import visitor_session
from planner.web.screens.shots import PHONE
from tests.faults.processes import environment, running
from tests.planner.web.company import NOW

# Two plans by counted work and a process that starts; ten times what it takes on an idle machine.
LONGEST_MS = 230_000


@pytest.fixture
def key(transactional_db: None, branch: Branch) -> str:
    return visitor_session(branch)


@pytest.fixture
def served(tmp_path: Path, key: str) -> Iterator[str]:
    """The pages of a data folder with the company in it, served by a process with the settings of an office."""
    if connection.vendor != "sqlite":
        pytest.skip("the test's rows are copied as one SQLite file")
    folder = tmp_path / "data"
    folder.mkdir(mode=0o700)
    connection.ensure_connection()
    with sqlite3.connect(folder / "planner.sqlite3") as kept:
        connection.connection.backup(kept)
    kept.close()
    listener = listen(LOOPBACK, 0)
    port = listener.getsockname()[1]
    listener.close()
    env = environment(folder) | {
        "PLANNER_AS_OF": NOW.isoformat(),
        # The visitor's session was signed with it.
        "PLANNER_SECRET_KEY": settings.SECRET_KEY,
    }
    command = (sys.executable, "-m", "waitress", f"--listen={LOOPBACK}:{port}", "planner.wsgi:application")
    with running(command, env, tmp_path / "pages.log") as pages:
        pages.wait_until(lambda: "Serving on" in pages.said, what="it serves")
        yield f"http://{LOOPBACK}:{port}"


def test_ask_wait_and_read_what_a_missing_crew_costs(chromium: Browser, served: str, key: str) -> None:
    context = chromium.new_context(base_url=served)
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": key, "url": served}])
    page = context.new_page()
    page.goto("/try/")
    away = page.get_by_role("group", name="A crew stays away").first
    away.get_by_label("Crew").select_option("forms-east")
    away.get_by_label("First day").fill("2026-06-15")
    away.get_by_label("Last day").fill("2026-06-19")
    page.get_by_role("button", name="Plan these trials").click()
    page.get_by_text("It is being planned").wait_for()
    # The server plans nothing itself: only a process it has started can answer. Nobody touches the page: it asks for
    # itself until the answer stands.
    page.get_by_role("heading", name="Hand-overs").wait_for(timeout=LONGEST_MS)
    columns = page.locator(".try-columns > li")
    assert columns.count() == 2
    assert "Forms east" in columns.nth(1).inner_text()
    rows = page.get_by_role("region", name="Hand-over of each pool").locator("tbody tr")
    assert rows.count() == 6
    assert "$" in page.get_by_role("region", name="Dollars of each plan").inner_text()
    assert [one["id"] for one in Axe().run(page).response["violations"]] == []
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert not page.evaluate("document.documentElement.scrollWidth > window.innerWidth")
    page.goto("/try/")
    # What was tried stays to be read again, and the plan in force is the same.
    assert page.get_by_text("Forms east away").count() > 0
    context.close()
