"""The questions of the command line, asked of the demo company: what if, and why then."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from jobs.models import Branch
from planner.plans.models import Plan


def test_a_try_is_told_side_by_side_and_leaves_nothing_behind(branch: Branch) -> None:
    plans = Plan.objects.count()
    out = StringIO()
    call_command(
        "try_plan", "--rain", "2026-06-10", "--gear-lost", "brace_set", "--together", "--effort", "0", stdout=out
    )
    said = out.getvalue()
    assert "rain on Wed 10 June" not in said.splitlines()[0]
    assert "one brace set less and rain on Wed 10 June" in said
    assert "Hand-over of each pool" in said
    assert Plan.objects.count() == plans


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ((), "Nothing was named to try"),
        (("--rain", "soon"), "is no date"),
        (("--extra-crew", "nobody"), "no crew"),
        (("--promise", "Heron Lane"), "POOL:DATE"),
        (("--inspection-failed", "Heron Lane:pour_walls"), "is no inspection"),
    ],
)
def test_a_question_that_names_nothing_is_refused_with_what_there_is(
    branch: Branch, asked: tuple[str, ...], says: str
) -> None:
    with pytest.raises(CommandError, match=says):
        call_command("try_plan", *asked)


def test_a_task_nobody_knows_is_refused_before_anything_is_planned(branch: Branch) -> None:
    plans = Plan.objects.count()
    with pytest.raises(CommandError, match="names no open pool"):
        call_command("make_plan", "--explain", "Nowhere:dig")
    assert Plan.objects.count() == plans
