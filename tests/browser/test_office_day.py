"""What the office does in a morning, in a real browser: sign in, look around, report, decide."""

import re
from collections.abc import Callable

import pytest
from django.contrib.auth.models import User
from playwright.sync_api import Page, expect

from jobs.models import Branch, Hold
from planner.plans.models import Plan
from planner.web.models import Membership
from planner.web.screens.shots import DESK, PHONE

Window = Callable[..., Page]


@pytest.mark.parametrize("size", [pytest.param(DESK, id="desk"), pytest.param(PHONE, id="phone")])
def test_from_sign_in_to_a_day_plan(window: Window, branch: Branch, size: tuple[int, int]) -> None:
    user = User.objects.create_user(username="scheduler", password="a long morning")
    Membership.objects.create(user=user, branch=branch, role=Membership.Role.OFFICE)
    page = window(size, signed_in=False)
    page.goto("/")
    page.get_by_label("Name").fill("scheduler")
    page.get_by_label("Password").fill("a long morning")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Today", timeout=60_000)
    pages = page.get_by_role("navigation", name="Pages")
    pages.get_by_role("link", name="Pools").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Pools")
    page.get_by_role("link", name="Heron Lane").first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Heron Lane")
    pages.get_by_role("link", name="Pours").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Pours")
    page.goto("/crews/forms-east/2026-06-09/")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Forms east")


def test_a_failed_inspection_becomes_a_proposal(window: Window, branch: Branch) -> None:
    hold = Hold.objects.get(job__name="Millrace Court", key="hold_floor")
    page = window()
    page.goto(f"/report/{hold.visit_id}/")
    page.get_by_text(re.compile("did not pass|failed|not passed", re.IGNORECASE)).first.click()
    form = page.locator("form", has=page.locator('input[name="form"][value="hold_failed"]'))
    form.locator('[name="inspector"]').fill("B. Quayle")
    form.locator('[name="note"]').fill("Lap of the bars too short at the break.")
    form.get_by_role("button").click()
    hold.refresh_from_db()
    assert (hold.result, hold.decided_by) == (Hold.Result.FAILED, "B. Quayle")
    page.goto("/changes/")
    page.get_by_role("button", name="Make a proposal now").click(timeout=120_000)
    expect(page.get_by_role("button", name=re.compile("Take all of plan"))).to_be_visible(timeout=120_000)
    expect(page.locator("main")).to_contain_text("Millrace Court")
    before = Plan.objects.get(branch=branch, state=Plan.State.IN_FORCE).number
    page.get_by_role("button", name=re.compile("Take all of plan")).click()
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert Plan.objects.get(branch=branch, state=Plan.State.IN_FORCE).number > before
