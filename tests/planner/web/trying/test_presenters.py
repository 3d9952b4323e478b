"""The form keeps what was entered and shows its fault; outcomes say dollars and days against the branch as it is."""

from dataclasses import fields
from datetime import date
from typing import Any

import pytest

from jobs.domain.errors import CannotDo
from planner.plans.asking.wishes import Wish
from planner.solver.result import Cost
from planner.web.presenters.pages.trying.asking import fault_over, forms_of, wishes_of
from planner.web.presenters.pages.trying.outcomes import TrialFacts, TrialView, present_trial
from planner.web.presenters.pools.reader import Reader
from tests.planner.dayplans.domain.worlds import AS_OF, job, task, world

LOOK, POUR = task("inspect_walls", 2, bookings=()), task("pour_walls", 3, bookings=())
POOL = job(task("dig", 1, bookings=()), LOOK, POUR)
AWAY = {"a_crew_away": "dig", "a_crew_away_from": "2026-06-16", "a_crew_away_until": "2026-06-18"}


TERMS = tuple(term.name for term in fields(Cost))


def reader() -> Reader:
    return Reader(world(POOL), ())


def outcome(title: str, handovers: dict[str, str], **dollars: int) -> dict[str, Any]:
    terms = dict.fromkeys(TERMS, 0) | dollars
    return {
        "title": title,
        "planned": True,
        "dollars": terms | {"total": sum(terms.values())},
        "handovers": handovers,
        "told_again": 1,
        "crews_told_again": 0,
        "moved": 2,
        "clashes": [],
    }


def shown(*outcomes: dict[str, Any], **changes: Any) -> TrialView:
    wished = (Wish(kind="rain", from_on=date(2026, 6, 17)),)
    values: dict[str, Any] = {"state": "done", "says": "", "plan_number": 4} | changes
    facts = TrialFacts(
        id=1, asked_by="Ada", asked_at=AS_OF, wishes=(wished,) * (len(outcomes) - 1), outcomes=outcomes, **values
    )
    return present_trial(reader(), facts, in_force=4)


def test_an_empty_trial_between_two_is_left_out() -> None:
    wished = wishes_of(reader(), AWAY | {"c_rain_from": "2026-06-17"})
    assert wished == (
        (Wish(kind="crew_away", subject="dig", from_on=date(2026, 6, 16), until_on=date(2026, 6, 18)),),
        (Wish(kind="rain", from_on=date(2026, 6, 17)),),
    )


@pytest.mark.parametrize(
    ("sent", "field", "says"),
    [
        ({}, "trial", "Nothing is filled in"),
        ({"b_promise": "1"}, "b_promise_from", "Fill in day too"),
        ({"a_rain_from": "tomorrow"}, "a_rain_from", "'tomorrow' is no date"),
    ],
)
def test_what_is_not_complete_is_refused_beside_its_line_and_kept(sent: dict[str, str], field: str, says: str) -> None:
    with pytest.raises(CannotDo) as refused:
        wishes_of(reader(), sent)
    assert refused.value.field == field
    forms = forms_of(reader(), sent, refused.value)
    faults = {line.key: line.error for form in forms for line in form.lines if line.error}
    assert says in (fault_over(forms, refused.value) or faults[field.removesuffix("_from")])
    entered = {part.name: part.value for form in forms for line in form.lines for part in line.parts if part.value}
    assert entered == sent
    assert [form.opened for form in forms] == [True, any(key.startswith("b_") for key in sent), False]


def test_dollars_and_days_are_said_against_the_branch_as_it_is() -> None:
    view = shown(
        outcome("", {"Heron Lane": "2026-07-10"}, weather=1000),
        outcome("A", {"Heron Lane": "2026-07-14"}, weather=1400),
        outcome("B", {"Heron Lane": "2026-07-10"}, weather=900),
    )
    assert [column.verdict for column in view.columns] == [
        "",
        "It costs $400 more; hand-overs later: 1, sooner: 0.",
        "It saves $100; hand-overs later: 0, sooner: 0.",
    ]
    (row,) = view.handovers
    assert [(cell.change, cell.worse) for cell in row.cells] == [("", False), ("+4 d", True), ("", False)]
    total = next(row for row in view.dollars if row.total)
    assert [(cell.words, cell.change) for cell in total.cells] == [
        ("$1,000", ""),
        ("$1,400", "+$400"),
        ("$900", "−$100"),
    ]
    (drawn,) = view.drawn
    assert drawn.promised_x is not None
    assert [shape.label for shape in drawn.shapes][1].startswith("A: ")
    assert "Rain all day" in view.columns[1].wishes[0].capitalize()


def test_every_dollar_of_the_sum_has_its_row() -> None:
    """A term whose dollars no row shows would make the table not add up."""
    each = {term: 10**at for at, term in enumerate(TERMS)}
    view = shown(outcome("", {}), outcome("A", {}, **each))
    amounts = [int(row.cells[1].words.strip("$").replace(",", "")) for row in view.dollars if "$" in row.cells[1].words]
    assert sum(amounts[:-1]) == amounts[-1] == sum(each.values())


def test_a_trial_kept_before_plans_bought_hours_is_still_shown() -> None:
    old = outcome("", {}, late=500)
    del old["dollars"]["paid"]
    rows = {row.title: row.cells[0].words for row in shown(old, old).dollars}
    assert (rows["Overtime and Saturdays"], rows["In all"]) == ("$0", "$500")


def test_a_pool_no_trial_moves_is_not_drawn_but_in_the_table() -> None:
    same = {"Heron Lane": "2026-07-10"}
    view = shown(outcome("", same), outcome("A", same))
    assert view.drawn == ()
    assert [row.title for row in view.handovers] == ["Heron Lane"]


def test_no_plan_says_why_and_another_plan_in_force_is_said() -> None:
    none = outcome("A", {}) | {"planned": False, "dollars": {}, "clashes": ["The pump is needed twice."]}
    view = shown(outcome("", {"Heron Lane": "2026-07-10"}), none, plan_number=3)
    assert view.overtaken
    assert view.columns[1].verdict == "No plan keeps every rule."
    assert view.columns[1].clashes == ("The pump is needed twice.",)
    assert {row.cells[1].words for row in (*view.dollars, *view.handovers)} == {"no plan"}
