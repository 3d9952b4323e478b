"""A real Chromium against the pages of the demo company, served on this machine only."""

import os
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.conf import settings
from playwright.sync_api import Browser, BrowserContext, Page

from jobs.models import Branch
from planner.web.screens.browser import find_browser, open_browser
from planner.web.screens.catalogue import visitor_session
from planner.web.screens.shots import DESK
from tests.planner.web.conftest import branch, company_rows

__all__ = ["branch", "company_rows"]

# The browser's driver runs an event loop in the thread of the test, which only ever waits for it.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

CHROMIUM = find_browser()
REASON = "no Chromium on this machine: install Debian's package chromium"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = os.path.dirname(__file__)
    for item in items:
        if not str(item.path).startswith(here):
            continue
        item.add_marker(pytest.mark.browser)
        item.add_marker(pytest.mark.xdist_group("browser"))
        if CHROMIUM is None and not os.environ.get("PLANNER_NEEDS_BROWSER"):
            item.add_marker(pytest.mark.skip(reason=REASON))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    assert CHROMIUM is not None, REASON
    with open_browser(CHROMIUM) as browser:
        yield browser


@pytest.fixture
def office(transactional_db: None, branch: Branch, live_server: Any) -> str:
    """The address of the pages, with the company behind them."""
    address: str = live_server.url
    # The browser resolves no names at all.
    return address.replace("localhost", "127.0.0.1")


@pytest.fixture
def window(chromium: Browser, office: str, branch: Branch) -> Iterator[Callable[..., Page]]:
    """Opens a signed-in page of a given size and scheme."""
    contexts: list[BrowserContext] = []

    def show(size: tuple[int, int] = DESK, *, scheme: str = "light", signed_in: bool = True) -> Page:
        context = chromium.new_context(
            viewport={"width": size[0], "height": size[1]},
            color_scheme=scheme,  # type: ignore[arg-type]
            base_url=office,
        )
        contexts.append(context)
        if signed_in:
            key = visitor_session(branch)
            context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": key, "url": office}])
        return context.new_page()

    yield show
    for context in contexts:
        context.close()
