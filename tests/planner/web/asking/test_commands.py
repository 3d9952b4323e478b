"""The questions of the command line, asked of the demo company: what if, and why then."""

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from jobs.models import Branch, Job, Site, Task
from planner.plans.models import Plan

COMPANY = Path(__file__).parents[4] / "fixtures/demo/company.toml"


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
        (("--spread", "0"), "no number of weathers"),
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


def test_the_spread_names_every_pool_and_leaves_nothing_behind(branch: Branch) -> None:
    plans = Plan.objects.count()
    out = StringIO()
    call_command("try_plan", "--spread", "3", stdout=out)
    said = out.getvalue()
    assert "Hand-over over 3 weathers" in said
    for name in branch.jobs.values_list("name", flat=True):
        assert f"  {name}: planned for" in said
    assert "nine in ten" in said
    assert Plan.objects.count() == plans


def test_a_pool_not_signed_yet_is_tried_and_forgotten(branch: Branch, tmp_path: Path) -> None:
    entry = COMPANY.read_text(encoding="utf-8").partition("[[job]]")[2].partition("[[job]]")[0]
    lines = [line for line in entry.splitlines() if not line.startswith("name")]
    file = tmp_path / "asked_for.toml"
    file.write_text("\n".join(["[[job]]", 'name = "Copper Lane"', *lines]), encoding="utf-8")
    before = (Job.objects.count(), Site.objects.count(), Task.objects.count(), branch.input_revision)
    out = StringIO()
    call_command("try_plan", "--new-job", str(file), "--effort", "0", stdout=out)
    said = out.getvalue()
    assert "Copper Lane signed too" in said
    [row] = [line for line in said.splitlines() if line.startswith("  Copper Lane")]
    assert "–" in row
    assert row.split()[-1].isalpha()
    branch.refresh_from_db()
    assert (Job.objects.count(), Site.objects.count(), Task.objects.count(), branch.input_revision) == before


def test_a_file_without_a_pool_is_refused(branch: Branch, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match=r"nowhere\.toml"):
        call_command("try_plan", "--new-job", str(tmp_path / "nowhere.toml"))
