"""The day plan of the demo company from its rows: text, page, comparison with the plan before, and refusals."""

from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest

from crews.models import Crew
from jobs.domain.errors import CannotDo
from jobs.models import Branch, FieldReport, Task
from planner.dayplans.facts import GateState
from planner.dayplans.services import day_plan_of, render_day_plan
from planner.demo.company import make_company
from planner.plans.models import Assignment, Plan

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 6, 8, 10, tzinfo=UTC)
# Seven in the morning in New Jersey.
STARTS_AT = datetime(2026, 6, 9, 11, tzinfo=UTC)
ON = date(2026, 6, 9)
NEEDED = timedelta(hours=3)


@pytest.fixture
def branch() -> Branch:
    return make_company(as_of=NOW)


@pytest.fixture
def crew(branch: Branch) -> Crew:
    return Crew.objects.get(branch=branch, key="forms-east")


@pytest.fixture
def strip(branch: Branch) -> Task:
    return Task.objects.filter(branch=branch, key="strip_braces", finished_at__isnull=True).order_by("id")[0]


def make_plan(branch: Branch, crew: Crew, task: Task, *, number: int, start_at: datetime, past: bool = False) -> Plan:
    stay = {
        "task": task.pk,
        "start": start_at.isoformat(),
        "end": (start_at + NEEDED).isoformat(),
        "crews": [crew.key],
    }
    plan = Plan.objects.create(
        branch=branch,
        number=number,
        state=Plan.State.PAST if past else Plan.State.IN_FORCE,
        made_at=NOW,
        as_of=NOW,
        in_force_at=NOW,
        input_revision=branch.input_revision,
        making={},
        cost={},
        document={"stays": [stay]},
    )
    if not past:
        row = Assignment.objects.create(plan=plan, task=task, start_at=start_at, end_at=start_at + NEEDED)
        row.crews.add(crew)
    return plan


def test_text_and_page_tell_the_same_day(branch: Branch, crew: Crew, strip: Task) -> None:
    make_plan(branch, crew, strip, number=7, start_at=STARTS_AT)
    text = render_day_plan(branch=branch, crew=crew, on=ON, now=NOW, format="text")
    page = render_day_plan(branch=branch, crew=crew, on=ON, now=NOW, format="html")
    for words in (strip.site.address, "Plan 7", "7:00 am", "not reported finished", branch.phone):
        assert words in text
        assert words in page
    assert page.lstrip().startswith("<!doctype html>")


def test_what_moved_since_the_plan_before_is_told(branch: Branch, crew: Crew, strip: Task) -> None:
    make_plan(branch, crew, strip, number=6, start_at=STARTS_AT + timedelta(hours=1), past=True)
    make_plan(branch, crew, strip, number=7, start_at=STARTS_AT)
    facts = day_plan_of(branch=branch, crew=crew, on=ON, now=NOW)
    assert facts.told_plan_number == 6
    assert [words.endswith("starts 7:00 am, not 8:00 am.") for words in facts.changed] == [True]


def test_a_safety_gate_reported_from_the_site_reaches_the_plan(branch: Branch, crew: Crew, strip: Task) -> None:
    make_plan(branch, crew, strip, number=7, start_at=STARTS_AT)

    def look() -> list[GateState]:
        facts = day_plan_of(branch=branch, crew=crew, on=ON, now=STARTS_AT)
        return [gate.state for gate in facts.stops[0].tasks[0].gates if gate.kind == "safety"]

    assert look() == [GateState.SHUT]
    FieldReport.objects.create(
        branch=branch,
        site=strip.site,
        task=strip,
        kind=FieldReport.Kind.GATE,
        happened_at=STARTS_AT - timedelta(minutes=20),
        received_at=STARTS_AT,
        said_by="C. Brandt",
        values={"gate": "dig_look"},
        sent_id=uuid4(),
    )
    assert look() == [GateState.OPEN]


def test_a_crew_without_work_gets_a_page_too(branch: Branch, crew: Crew, strip: Task) -> None:
    make_plan(branch, crew, strip, number=7, start_at=STARTS_AT)
    other = Crew.objects.get(branch=branch, key="liners")
    assert "No stop is planned" in render_day_plan(branch=branch, crew=other, on=ON, now=NOW, format="html")


def test_no_plan_in_force_is_refused(branch: Branch, crew: Crew) -> None:
    with pytest.raises(CannotDo) as refused:
        render_day_plan(branch=branch, crew=crew, on=ON, now=NOW, format="text")
    assert refused.value.code == "plans.none_in_force"


def test_another_branch_s_crew_and_an_unknown_format_are_refused(branch: Branch, crew: Crew, strip: Task) -> None:
    make_plan(branch, crew, strip, number=7, start_at=STARTS_AT)
    stranger = Branch.objects.create(
        name="Elsewhere", slug="elsewhere", company="Elsewhere", zone=branch.zone, opens="07:00", closes="15:00",
        yard_latitude=40, yard_longitude=-74,
    )  # fmt: skip
    with pytest.raises(CannotDo) as refused:
        render_day_plan(branch=stranger, crew=crew, on=ON, now=NOW, format="text")
    assert (refused.value.code, refused.value.field) == ("dayplans.other_branch", "crew")
    with pytest.raises(CannotDo) as refused:
        render_day_plan(branch=branch, crew=crew, on=ON, now=NOW, format="pdf")  # type: ignore[arg-type]
    assert (refused.value.code, refused.value.field) == ("dayplans.unknown_format", "format")


def test_a_crew_that_left_is_refused_with_those_that_are_there(branch: Branch, crew: Crew, strip: Task) -> None:
    make_plan(branch, crew, strip, number=7, start_at=STARTS_AT)
    Crew.objects.filter(pk=crew.pk).update(active=False)
    with pytest.raises(CannotDo) as refused:
        day_plan_of(branch=branch, crew=crew, on=ON, now=NOW)
    assert refused.value.code == "dayplans.unknown_crew"
    assert "forms-west" in str(refused.value)
