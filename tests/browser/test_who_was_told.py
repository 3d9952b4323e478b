"""The page of messages with one of each kind on it keeps the rules of the other pages, and sends again by keyboard."""

from datetime import timedelta
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from crews.domain.reachable import Reachable
from crews.models import Message
from crews.services.outbox import post
from jobs.models import Branch
from planner.web.screens.shots import DESK, PHONE
from tests.browser.test_everybody_can_use_it import Window
from tests.planner.web.company import NOW


def one_of_each(branch: Branch) -> None:
    for number, state in enumerate(("dead", "waiting", "sent", "dropped")):
        person = Reachable(key=f"somebody:{number}", name=f"Person {number}", mail=f"person{number}@example.org")
        (row,) = post(
            branch=branch,
            fact="pour:7",
            person=person,
            subject="Move: Pour the floor at Millrace Court, planned 7:00 am tomorrow",
            body="The chance of rain before the floor is safe is 60 percent.\n\nCall the office before you start.",
            now=NOW - timedelta(hours=2),
            answer_by=NOW - timedelta(hours=1),
        )
        Message.objects.filter(pk=row.pk).update(
            state=state,
            attempts=3,
            sent_at=NOW - timedelta(hours=2) if state == "sent" else None,
            failing_since=NOW - timedelta(hours=2) if state in ("dead", "waiting") else None,
            last_error="Mail server mail.example.org refused the message for good: 550 5.1.1 nobody of that name"
            if state in ("dead", "waiting")
            else "",
        )


@pytest.mark.parametrize(
    ("size", "scheme"), [pytest.param(DESK, "light", id="desk"), pytest.param(PHONE, "dark", id="phone at night")]
)
def test_a_full_page_breaks_no_rule(window: Window, branch: Branch, size: tuple[int, int], scheme: str) -> None:
    one_of_each(branch)
    page = window(size, scheme=scheme)
    page.goto("/told/")
    violations: list[Any] = Axe().run(page).response["violations"]
    assert [(one["id"], one["nodes"][0]["html"][:120]) for one in violations] == []
    assert not page.evaluate("document.documentElement.scrollWidth > window.innerWidth")


def test_sent_again_by_keyboard(window: Window, branch: Branch) -> None:
    one_of_each(branch)
    page = window()
    page.goto("/told/")
    page.get_by_role("button", name="Send again").focus()
    page.keyboard.press("Enter")
    page.get_by_text("It goes out again").wait_for()
    assert Message.objects.filter(state="waiting").count() == 2
