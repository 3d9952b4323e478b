"""A proposal: before and after, taken whole or not at all, refused with the reason once anything moved."""

import re
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from django.urls import reverse

from crews.models import Crew
from crews.services.head_counts import set_head_count
from jobs.models import Branch, Task
from jobs.services.branches import bump_inputs
from planner.plans.models import Assignment, BranchReplanning, Plan, ReplanRequest
from planner.plans.replanning.requests import ask
from planner.plans.selectors import plan_in_force
from planner.web.presenters.moves import Move, draw_moves
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.samples import at, scale

WEEK = 7 * 24


def propose(branch: Branch, *, key: str = "strip_braces", hours: int = WEEK, crews: list[str] | None = None) -> Plan:
    """A proposal that moves one task of the plan in force; every rule is still the checker's business."""
    branch.refresh_from_db()
    old = plan_in_force(branch=branch)
    assert old is not None
    document = {**old.document, "stays": [dict(stay) for stay in old.document["stays"]]}
    moved = Task.objects.filter(branch=branch, key=key, assignments__plan=old).order_by("pk")[0]
    for stay in document["stays"]:
        if stay["task"] == moved.pk:
            for end in ("start", "end"):
                stay[end] = (datetime.fromisoformat(stay[end]) + timedelta(hours=hours)).isoformat()
            stay["crews"] = crews or stay["crews"]
    plan = Plan.objects.create(
        branch=branch,
        number=Plan.objects.filter(branch=branch).order_by("-number")[0].number + 1,
        made_at=NOW,
        as_of=NOW,
        input_revision=branch.input_revision,
        follows=branch.plan_number,
        making=old.making,
        cost=old.cost,
        document=document,
    )
    plan.runs.set(old.runs.all())
    return plan


# The last task of a pool: nothing follows it. One week later is the holiday of 3 July, two weeks later is a work day.
LAST = "hand_over"


def test_it_shows_every_move_with_times_reason_and_dollars(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch)
    html = sign_in().get(reverse("changes")).content.decode()
    assert f"Plan <b>{plan.number}</b> is proposed" in html
    assert "1 start moves." in html
    assert html.count('<td class="why">') == 1
    assert "move-line" in html
    assert 'class="was"' in html


def test_taking_it_puts_it_in_force_once(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch, key=LAST, hours=2 * WEEK)
    client, url = sign_in(), reverse("changes_take")
    for _ in range(2):
        assert client.post(url, {"number": plan.number}).status_code == 302
    branch.refresh_from_db()
    plan.refresh_from_db()
    assert (branch.plan_number, plan.state) == (plan.number, Plan.State.IN_FORCE)
    assert Plan.objects.filter(branch=branch, state=Plan.State.IN_FORCE).count() == 1
    assert Assignment.objects.filter(plan=plan).count() == len(plan.document["stays"])


def test_a_stale_proposal_is_refused_with_the_reason_and_nothing_moves(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch, key=LAST)
    crew = Crew.objects.get(branch=branch, key="forms-east")
    set_head_count(branch=branch, crew=crew, on=NOW.date(), people=0)
    before = branch.plan_number
    client = sign_in()
    shown = client.get(reverse("changes")).content.decode()
    assert f"have changed since proposal {plan.number} was made" in shown
    assert re.search(r"<button type=\"submit\" disabled>\s*Take all of plan", shown)
    refused = client.post(reverse("changes_take"), {"number": plan.number})
    html = refused.content.decode()
    assert refused.status_code == 409
    assert f"Plan {plan.number} cannot come into force." in html
    assert "Make a new plan from today" in html
    branch.refresh_from_db()
    plan.refresh_from_db()
    assert (branch.plan_number, plan.state) == (before, Plan.State.PROPOSED)


def test_a_proposal_overtaken_by_another_names_the_other(sign_in: SignIn, branch: Branch) -> None:
    late = propose(branch, key=LAST)
    first = propose(branch, key=LAST, hours=2 * WEEK)
    client = sign_in()
    assert client.post(reverse("changes_take"), {"number": first.number}).status_code == 302
    late.refresh_from_db()
    assert late.state == Plan.State.DROPPED
    refused = client.post(reverse("changes_take"), {"number": late.number})
    assert refused.status_code == 409
    assert f"Plan {first.number} came into force since" in refused.content.decode()


def test_one_that_breaks_a_rule_is_refused_with_the_rule(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch, key="pour_walls", crews=["liners"])
    refused = sign_in().post(reverse("changes_take"), {"number": plan.number})
    assert refused.status_code == 409
    assert f"Plan {plan.number} breaks a rule on today" in refused.content.decode()
    branch.refresh_from_db()
    assert branch.plan_number != plan.number


def test_keeping_drops_the_proposal_and_moves_nothing(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch)
    client = sign_in()
    for _ in range(2):
        assert client.post(reverse("changes_keep"), {"number": plan.number}).status_code == 302
    plan.refresh_from_db()
    assert plan.state == Plan.State.DROPPED
    assert "nothing else is proposed" in client.get(reverse("changes")).content.decode()


def test_the_plan_in_force_cannot_be_dropped(sign_in: SignIn, branch: Branch) -> None:
    answer = sign_in().post(reverse("changes_keep"), {"number": branch.plan_number})
    assert answer.status_code == 409
    assert Plan.objects.get(branch=branch, number=branch.plan_number).state == Plan.State.IN_FORCE


def test_a_proposal_made_meanwhile_is_shown_and_not_made_again(sign_in: SignIn, branch: Branch) -> None:
    propose(branch)
    answer = sign_in().post(reverse("changes_make"), {"number": branch.plan_number}, follow=True)
    assert "A plan has been made since you opened the page" in answer.content.decode()
    assert Plan.objects.filter(branch=branch).count() == 2


def test_a_change_of_inputs_judges_a_proposal_anew(sign_in: SignIn, branch: Branch) -> None:
    propose(branch)
    client = sign_in()
    assert "breaks these rules today" not in client.get(reverse("changes")).content.decode()
    own = Assignment.objects.filter(plan__branch=branch, task__key="pour_walls").order_by("start_at")[0]
    crew = own.crews.get()
    set_head_count(branch=branch, crew=crew, on=own.start_at.date(), people=0)
    assert "breaks these rules today" in client.get(reverse("changes")).content.decode()


def test_without_a_proposal_it_says_so_and_offers_one(sign_in: SignIn, branch: Branch) -> None:
    html = sign_in().get(reverse("changes")).content.decode()
    assert "nothing else is proposed" in html
    assert "Make a proposal now" in html
    assert "Make a proposal now" not in sign_in("reader").get(reverse("changes")).content.decode()


def move(**more: Any) -> Move:
    plain = Move(
        key="pour",
        title="Pour and finish floor",
        trade="concrete_forms",
        trade_title="Concrete and forms",
        before=(at(1), at(1, 14)),
        after=(at(3), at(3, 14)),
        told=True,
    )
    return replace(plain, **more)


def test_the_outline_stands_where_the_work_was_and_the_strip_where_it_goes() -> None:
    drawn = draw_moves((move(),), scale=scale(10), name="A pool")
    (shape,) = drawn.shapes
    # Columns are 48 wide, the working day from 6:00 takes the middle 80 % of 12 hours: 7:00 is 4.8 + 38.4 / 12.
    assert (shape.was_x, shape.x) == (48 + 8.0, 3 * 48 + 8.0)
    assert shape.was_width == shape.width
    assert shape.was_y < shape.y
    assert "from Tue Jun 16 7:00 am to Thu Jun 18 7:00 am" in shape.said


def test_new_work_has_no_outline_and_work_that_leaves_the_days_no_strip() -> None:
    new, gone, later = draw_moves(
        (move(key="a", before=None), move(key="b", after=(at(40), at(40, 9))), move(key="c")),
        scale=scale(10),
        name="A pool",
    ).shapes
    assert {one.key: (one.was_x is None, one.x is None) for one in (new, gone, later)} == {
        "a": (True, False),
        "b": (False, True),
        "c": (False, False),
    }


def test_moves_outside_the_days_are_counted_not_drawn() -> None:
    far = move(before=(at(30), at(30, 9)), after=(at(40), at(40, 9)))
    drawn = draw_moves((far,), scale=scale(10), name="A pool")
    assert (drawn.unseen, drawn.shapes) == (1, ())


def test_it_tells_why_a_proposal_was_made_and_why_it_waits(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch)
    told = "It moves work somebody was told of."
    row = ask(branch=branch, reason="hold_failed", subject="task:1", says="The floor did not pass.", now=NOW)
    assert "Waits to be planned." in sign_in().get(reverse("changes")).content.decode()
    ReplanRequest.objects.filter(pk=row.pk).update(state="done", closed_at=NOW, outcome=plan.number, answer=told)
    html = sign_in().get(reverse("changes")).content.decode()
    assert "Why it was made" in html
    assert html.count("The floor did not pass.") == 2
    assert f"Why it waits for you: {told}" in " ".join(html.split())
    assert f"Plan {plan.number}. {told}" in html
    assert "Waits to be planned." not in html


def test_a_refused_request_tells_why_no_plan_was_possible(sign_in: SignIn, branch: Branch) -> None:
    row = ask(branch=branch, reason="hold_failed", subject="task:1", says="The floor did not pass.", now=NOW)
    ReplanRequest.objects.filter(pk=row.pk).update(state="refused", closed_at=NOW, answer="Nobody can lay liners.")
    client = sign_in()
    assert "no other plan was possible" in client.get(reverse("changes")).content.decode()
    today = client.get(reverse("today")).content.decode()
    assert "Mend what allows no new plan" in today
    assert "Nobody can lay liners." in today


def test_today_says_what_waits_and_why(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch)
    row = ask(branch=branch, reason="hold_failed", subject="task:1", says="The floor did not pass.", now=NOW)
    ReplanRequest.objects.filter(pk=row.pk).update(
        state="done", closed_at=NOW, outcome=plan.number, answer="It moves work somebody was told of."
    )
    today = sign_in().get(reverse("today")).content.decode()
    assert f"Take or leave plan {plan.number}" in today
    assert "It moves work somebody was told of." in today
    assert "The floor did not pass." in today


def test_today_says_that_facts_have_overtaken_what_waits(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch)
    client = sign_in()
    assert f"Take or leave plan {plan.number}" in client.get(reverse("today")).content.decode()
    bump_inputs(branch_id=branch.pk)
    today = client.get(reverse("today")).content.decode()
    assert "Take or leave" not in today
    assert f"have changed since proposal {plan.number} was made. It is made again within the hour" in today
    ask(branch=branch, reason="hold_failed", subject="task:1", says="The floor did not pass.", now=NOW)
    today = client.get(reverse("today")).content.decode()
    assert f"Plan {plan.number} is overtaken and is being made again" in today
    assert "within the hour" not in today


def test_one_a_newer_forecast_has_overtaken_is_refused_and_says_so(sign_in: SignIn, branch: Branch) -> None:
    plan = propose(branch, key=LAST, hours=2 * WEEK)
    document = plan.document
    skies = [stay for stay in document["stays"] if "sky" in stay and stay["sky"]["known"] == 1.0]
    hit = max(skies, key=lambda stay: stay["sky"]["dollars"])
    # As if the plan had been made under a clear sky: what is forecast now is a turn for the worse.
    hit["sky"] = {**hit["sky"], "chance": 0.0, "dollars": 0, "forbidden": False}
    Plan.objects.filter(pk=plan.pk).update(document=document)
    client = sign_in()
    assert "A newer forecast has overtaken" in client.get(reverse("changes")).content.decode()
    today = client.get(reverse("today")).content.decode()
    assert f"Plan {plan.number} is overtaken" in today
    assert f"A newer forecast has overtaken proposal {plan.number}" in today
    assert "Take or leave" not in today
    refused = client.post(reverse("changes_take"), {"number": plan.number})
    assert refused.status_code == 409
    assert f"A newer forecast has overtaken proposal {plan.number}" in refused.content.decode()
    branch.refresh_from_db()
    assert branch.plan_number != plan.number
    assert Plan.objects.get(pk=plan.pk).state == Plan.State.PROPOSED


def test_the_office_may_let_every_plan_wait(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in()
    assert "Let every plan wait" in client.get(reverse("changes")).content.decode()
    assert client.post(reverse("changes_itself"), {"takes_itself": "no"}).status_code == 302
    assert not BranchReplanning.objects.get(branch=branch).takes_itself
    assert "Let such plans take themselves" in client.get(reverse("changes")).content.decode()
