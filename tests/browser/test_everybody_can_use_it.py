"""Every page by keyboard alone, without a script, without sideways scrolling, and by the rules of WCAG 2.2 AA."""

from collections.abc import Callable
from datetime import date

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from jobs.models import Branch
from planner.web.screens.catalogue import pages_of
from planner.web.screens.shots import DESK, PHONE

Window = Callable[..., Page]
TUESDAY = date(2026, 6, 9)
LEAST_TARGET_PX = 24


@pytest.mark.parametrize(
    ("size", "scheme"), [pytest.param(DESK, "light", id="desk"), pytest.param(PHONE, "dark", id="phone at night")]
)
def test_no_rule_is_broken_and_nothing_scrolls_sideways(
    window: Window, branch: Branch, size: tuple[int, int], scheme: str
) -> None:
    page = window(size, scheme=scheme)
    wrong: dict[str, list[str]] = {}
    for shown in pages_of(branch, TUESDAY):
        answer = page.goto(shown.path)
        assert answer is not None
        assert answer.ok, f"{shown.path} answered {answer.status}"
        found = [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in Axe().run(page).response["violations"]]
        if page.evaluate("document.documentElement.scrollWidth > window.innerWidth"):
            found.append("scrolls sideways")
        if found:
            wrong[shown.name] = found
    assert wrong == {}


def test_by_keyboard_alone(window: Window) -> None:
    page = window()
    page.goto("/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.goto("/")
    for _ in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent.trim()") == "Pools":
            break
    page.keyboard.press("Enter")
    page.wait_for_url("**/pools/")
    outline = page.evaluate("getComputedStyle(document.querySelector('a')).outlineStyle")
    page.keyboard.press("Tab")
    focused = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert focused != "none", f"a link with the focus looks like one without ({outline})"


def test_without_a_script(chromium: Browser, office: str, window: Window) -> None:
    cookies = window().context.cookies()
    context = chromium.new_context(java_script_enabled=False, base_url=office)
    context.add_cookies(cookies)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto("/pools/")
    assert page.locator("svg[role=img], svg[aria-labelledby]").count() > 0
    assert page.locator("table").count() > 0
    context.close()


def test_targets_are_large_enough_for_a_thumb(window: Window) -> None:
    """Source: WCAG 2.2, 2.5.8 (24 px at least); buttons and page links are 44 px and more by our own rule."""
    page = window(PHONE)
    page.goto("/")
    small = page.evaluate(
        """least => [...document.querySelectorAll('nav a, button')]
            .map(one => [one.textContent.trim(), one.getBoundingClientRect()])
            .filter(([, box]) => box.width && Math.min(box.width, box.height) < least)
            .map(([name]) => name)""",
        LEAST_TARGET_PX,
    )
    assert small == []
