"""A warning that nobody has read by its deadline goes to the owner, once; one that was read does not."""

from datetime import UTC, datetime, timedelta

import pytest

from crews.models import Crew, Message
from crews.services.outbox import answer
from jobs.domain.errors import CannotDo
from jobs.models import Branch, Task
from planner.dayplans.models import DayLink, Seen
from planner.watch.due import list_unread_branches
from planner.watch.models import Warned
from planner.watch.services import judge_branch
from planner.watch.telling import escalate, note
from planner.web.models import Membership
from tests.planner.watch.kept.conftest import POUR_AT
from tests.planner.watch.kept.rows import HOUR, NOW, book_pump, sky_at
from tests.planner.watch.kept.test_judge_branch import heavy_over, wet_over

pytestmark = pytest.mark.django_db


@pytest.fixture
def warned(branch: Branch, pour: Task) -> Warned:
    """Told on Monday morning to move the pour; free until Tuesday at seven."""
    book_pump(branch, pour, POUR_AT.date())
    sky_at(NOW - HOUR, rain_chance=wet_over(POUR_AT), rain_mm=heavy_over(POUR_AT))
    judge_branch(branch=branch, now=NOW)
    return Warned.objects.get(branch=branch, kind="verdict")


DEADLINE = datetime(2026, 6, 9, 11, tzinfo=UTC)


def to_owner(branch: Branch) -> list[str]:
    owner = Membership.objects.get(branch=branch, role="owner")
    return list(Message.objects.filter(branch=branch, person=f"member:{owner.pk}").values_list("subject", flat=True))


def test_unread_by_its_deadline_it_goes_to_the_owner_once(branch: Branch, warned: Warned) -> None:
    assert warned.answer_by == DEADLINE
    assert list_unread_branches(DEADLINE - timedelta(minutes=1)) == []
    assert escalate(branch=branch, now=DEADLINE - timedelta(minutes=1)) == 0
    assert list_unread_branches(DEADLINE) == [branch.pk]
    assert escalate(branch=branch, now=DEADLINE) == 1
    assert escalate(branch=branch, now=DEADLINE + HOUR) == 0
    assert list_unread_branches(DEADLINE + HOUR) == []
    (subject,) = to_owner(branch)
    assert subject == f"Not read: {warned.says}"


def test_noted_by_the_office_it_does_not(branch: Branch, warned: Warned) -> None:
    office = Membership.objects.get(branch=branch, role="office")
    for _ in range(2):
        note(branch=branch, warned=warned.pk, person=f"member:{office.pk}", name="Office", user_id=None, now=NOW + HOUR)
    assert escalate(branch=branch, now=DEADLINE) == 0
    warned.refresh_from_db()
    assert (warned.noted_by, warned.noted_at) == ("Office", NOW + HOUR)
    mine = Message.objects.filter(branch=branch, fact=warned.fact, person=f"member:{office.pk}")
    assert set(mine.values_list("state", flat=True)) == {"dropped"}, "what still waits need not be sent any more"


@pytest.mark.parametrize(
    ("crew", "on", "hours", "read"),
    [
        ("forms-west", POUR_AT.date(), 2, True),
        ("forms-west", POUR_AT.date(), -2, False),
        ("forms-west", POUR_AT.date() - timedelta(days=1), 2, False),
        ("forms-east", POUR_AT.date(), 2, False),
    ],
)
def test_the_foremans_seen_counts_for_that_day_and_after_the_telling(
    branch: Branch, warned: Warned, crew: str, on: datetime, hours: int, read: bool
) -> None:
    link = DayLink.objects.create(
        branch=branch, crew=Crew.objects.get(branch=branch, key=crew), first_on=on, last_on=on, made_at=NOW
    )
    Seen.objects.create(link=link, on=on, plan_number=1, seen_at=NOW + hours * HOUR, said_by="Foreman")
    assert escalate(branch=branch, now=DEADLINE) == (0 if read else 1)
    warned.refresh_from_db()
    assert (warned.noted_by == "Foreman") is read


def test_an_answer_to_the_message_itself_counts(branch: Branch, warned: Warned) -> None:
    crew = Crew.objects.get(branch=branch, key="forms-west")
    answer(branch=branch, fact=warned.fact, person=f"crew:{crew.pk}", now=NOW + HOUR)
    assert escalate(branch=branch, now=DEADLINE) == 0


def test_a_warning_of_another_branch_cannot_be_noted(branch: Branch, warned: Warned) -> None:
    other = Branch.objects.create(
        name="Far", slug="far", company="Far", zone=branch.zone, opens="07:00", closes="15:00",
        yard_latitude=40, yard_longitude=-75,
    )  # fmt: skip
    with pytest.raises(CannotDo) as refused:
        note(branch=other, warned=warned.pk, person="member:1", name="Stranger", user_id=None, now=NOW)
    assert refused.value.code == "watch.unknown_warning"
    warned.refresh_from_db()
    assert warned.noted_at is None
