"""A trial from the form to its comparison, the way the office does it."""

from collections.abc import Callable

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from jobs.models import Branch
from planner.plans.models import Trial
from planner.plans.trials.services import plan_trial
from planner.solver.parameters import GreedyOnly


def test_fill_in_wait_and_compare(window: Callable[..., Page], branch: Branch) -> None:
    page = window()
    page.goto("/")
    page.get_by_role("link", name="Try", exact=True).click()
    page.get_by_role("group", name="A crew stays away").first.get_by_label("Crew").select_option("forms-east")
    page.get_by_role("button", name="Plan these trials").click()
    page.get_by_text("Fill in first day too").wait_for()
    away = page.get_by_role("group", name="A crew stays away").first
    assert away.get_by_label("Crew").input_value() == "forms-east"
    away.get_by_label("First day").fill("2026-06-15")
    page.get_by_role("button", name="Plan these trials").click()
    page.get_by_text("It is being planned").wait_for()
    plan_trial(trial_id=Trial.objects.get().pk, parameters=GreedyOnly())
    # The page asks for itself again until there is an answer.
    page.get_by_role("heading", name="Hand-overs").wait_for(timeout=20_000)
    assert [one["id"] for one in Axe().run(page).response["violations"]] == []
    page.set_viewport_size({"width": 390, "height": 844})
    assert not page.evaluate("document.documentElement.scrollWidth > window.innerWidth")
