"""Overtime and Saturdays that a branch's crews work at their price: prices and hours are invented, sums by hand."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from crews.domain.facts import CrewFacts
from planner.plans.asking.trying import saturday
from planner.plans.domain.assemble import Assembled, assemble
from planner.plans.domain.changes import compare
from planner.plans.domain.lasting.paid_hours import saturdays_for_pay, with_paid_hours
from planner.plans.domain.people import ShortDays
from planner.plans.domain.story import dollar_lines, paid_words, start_lines
from planner.plans.domain.timeline import timeline
from planner.plans.domain.triggers.policy import Policy, Touched, rule
from planner.plans.domain.world import PaidTime, Stay, World
from planner.plans.stored import bought, paid_of, paid_times
from planner.solver.check import check
from planner.solver.parameters import GreedyOnly
from planner.solver.result import Assignment, Result
from planner.solver.solve import solve
from planner.web.presenters.pages.changing.moved import told_people
from planner.web.presenters.pools.reader import Reader
from tests.planner.dayplans.domain.worlds import BRANCH, DIGGERS, FORMS, ON, POWER, at, calendar, job, task, world

# Tuesday 16 June; the diggers work 07:00 to 15:30, $100 an hour past that, $150 on a Saturday.
PAID = replace(DIGGERS, overtime_hour_cents=10_000, most_overtime_minutes=100, saturday_hour_cents=15_000)
LINE = timeline(BRANCH, ON, 14)
SATURDAY = date(2026, 6, 20)


def spans(crew: CrewFacts) -> dict[date, tuple[int, int]]:
    """Minutes of each day a crew may work, from the opening of the branch."""
    found = with_paid_hours(LINE, crew, LINE.windows(crew.calendar))
    return {
        LINE.day_of(span).on: (span.start - LINE.day_of(span).opens, span.end - LINE.day_of(span).opens)
        for span in found
    }


def test_overtime_lengthens_the_days_and_saturdays_have_the_hours_of_the_day_before():
    hours = spans(PAID)
    # 8 h 30 min and, of the 100 minutes, six quarters of an hour.
    assert hours[ON] == (0, 510 + 90)
    assert hours[SATURDAY] == (0, 510)
    assert date(2026, 6, 21) not in hours


def test_no_price_no_hours():
    assert with_paid_hours(LINE, DIGGERS, LINE.windows(DIGGERS.calendar)) == LINE.windows(DIGGERS.calendar)
    assert saturdays_for_pay(LINE, (DIGGERS, FORMS), LINE.windows(DIGGERS.calendar)) == LINE.windows(DIGGERS.calendar)


@pytest.mark.parametrize("changes", [{"days_off": frozenset({SATURDAY})}, {"holidays": frozenset({SATURDAY})}])
def test_a_saturday_off_stays_off(changes: dict[str, frozenset[date]]):
    off = replace(PAID, calendar=calendar("Dig crew", **changes))
    assert SATURDAY not in spans(off)
    assert date(2026, 6, 27) in spans(off)


def test_a_day_on_which_fewer_come_is_not_made_longer():
    assert spans(replace(PAID, head_counts={ON: 1}))[ON] == (0, 510)


def test_a_day_that_ends_sooner_than_usual_is_not_made_longer():
    """Who has to leave at noon does not stay for pay, nor for joints that are cut in the evening."""
    leaves = replace(PAID, calendar=calendar("Dig crew", changed_hours=((ON, time(7), time(12)),)))
    assert spans(leaves)[ON] == (0, 300)
    line = timeline(BRANCH, ON, 14, evenings=True)
    short = ShortDays(line)
    key = short.calendar_of(leaves, replace(DIG, evening=True))
    (windows,) = (one.windows for one in short.calendars() if one.key == key)
    ends = {line.day_of(span).on: span.end - line.day_of(span).opens for span in windows}
    assert (ends[ON], ends[ON + timedelta(days=1)]) == (5 * 60, 15 * 60)


DIG = task("dig", 1, work_minutes=12 * 60, crew_size=2, exposure="none", splits_nights=True, gear=(), bookings=())


def digging(crew: CrewFacts, *, promised_on: date, earliest_day: int = 16) -> World:
    late = replace(DIG, earliest_at=at(7, day=earliest_day), earliest_why="agreed")
    return world(replace(job(late), promised_on=promised_on), crews=(FORMS, crew, POWER))


def planned(one: World) -> tuple[Assembled, Result]:
    assembled = assemble(one, first_on=ON, horizon_days=14)
    result = solve(assembled.problem, GreedyOnly())
    assert result.status == "planned", result.clashes
    assert check(assembled.problem, result.assignments) == ()
    return assembled, result


def test_a_promise_is_kept_with_a_paid_saturday_where_it_is_cheaper_than_lateness():
    """Twelve hours from Friday on may not stop over a weekend: Monday and Tuesday, four days late at $250."""
    without, late = planned(digging(DIGGERS, promised_on=date(2026, 6, 19), earliest_day=19))
    assert (late.cost.late, late.cost.paid) == (1000, 0)
    assembled, result = planned(digging(PAID, promised_on=date(2026, 6, 19), earliest_day=19))
    # With an hour and a half of Friday's overtime, $150, two hours of Saturday are left, $300; a day late.
    assert (result.cost.late, result.cost.paid) == (250, 450)
    said = start_lines(assembled, result.assignments)
    assert any("bought of dig: overtime of 1 h 30 min and a Saturday of 2 h, $450" in line for line in said)
    assert any("$450  overtime and Saturdays" in line for line in dollar_lines(result, []))
    assert not any("bought" in line for line in start_lines(without, late.assignments))


def test_a_plan_that_keeps_its_promise_buys_no_hours():
    _, result = planned(digging(PAID, promised_on=date(2026, 7, 31), earliest_day=19))
    assert (result.cost.late, result.cost.paid) == (0, 0)


def test_what_was_bought_is_read_back_from_the_document():
    assembled, result = planned(digging(PAID, promised_on=date(2026, 6, 19), earliest_day=19))
    [(_, paid)] = paid_times(assembled, result.assignments).items()
    assert paid == PaidTime(overtime_minutes=90, day_off_minutes=120, dollars=450)
    assert paid_of(bought(None, paid)) == paid
    assert paid_of(bought(None, None)) is None
    assert paid_words(paid) == "overtime of 1 h 30 min and a Saturday of 2 h, $450"


def test_a_tried_saturday_is_paid_where_it_has_a_price_and_free_where_it_has_none():
    priced = digging(PAID, promised_on=date(2026, 6, 19), earliest_day=19)
    tried = saturday(SATURDAY).made(priced)
    crews = {crew.key: crew for crew in tried.crews.crews}
    assert not crews["dig"].calendar.is_working_day(SATURDAY)
    assert crews["forms"].calendar.is_working_day(SATURDAY)
    assert planned(tried)[1].cost.paid == 450


SECOND = replace(PAID, key="dig2", name="Second dig crew", overtime_hour_cents=20_000)
BOTH = replace(DIG, crew_size=4, crew_min=4)


def both_digging(*, short_on: date | None = None, price: bool = True) -> World:
    """Twelve hours of digging that takes the people of two crews, promised for Wednesday."""
    crews = [one if price else replace(one, overtime_hour_cents=0, saturday_hour_cents=0) for one in (PAID, SECOND)]
    if short_on is not None:
        crews[1] = replace(crews[1], head_counts={short_on: 1})
    # Two hours are left for Thursday where Tuesday and Wednesday have their usual 8 h 30 min.
    longer = replace(BOTH, work_minutes=19 * 60)
    return world(replace(job(longer), promised_on=date(2026, 6, 17)), crews=(FORMS, *crews, POWER))


def test_two_crews_that_work_jointly_are_both_paid_for_their_hours():
    """Nineteen hours end on Thursday; two hours of overtime spare the day, where a day costs more than they do."""
    _, late = planned(both_digging(price=False))
    assert (late.cost.late, late.cost.paid) == (250, 0)
    dear = replace(both_digging(), jobs=tuple(replace(one, late_dollars_per_day=2000) for one in both_digging().jobs))
    assembled, result = planned(dear)
    # 1 h 30 min of Tuesday and 30 min of Wednesday: two hours at $100 and at $200.
    assert (result.cost.late, result.cost.paid) == (0, 600)
    [one] = result.assignments
    assert paid_times(assembled, result.assignments)[one.task].overtime_minutes == 120


def test_crews_that_work_jointly_come_only_on_days_on_which_both_are_complete():
    assembled, result = planned(both_digging(short_on=ON, price=False))
    assert assembled.line.at(result.assignments[0].start) == at(7, day=17)


# Twelve hours from Tuesday on: by the crew's own hours until Wednesday 10:30, with Tuesday's overtime until 9:00.
OWN_END, PAID_END = at(10.5, day=17), at(9, day=17)


@pytest.mark.parametrize(
    ("told", "then", "says"),
    [
        ((OWN_END, None), PAID_END, "Overtime or a Saturday is bought for it: $150."),
        (
            (PAID_END, PaidTime(overtime_minutes=90, day_off_minutes=0, dollars=150)),
            OWN_END,
            "The overtime or Saturday bought for it is not needed any more.",
        ),
    ],
)
def test_hours_bought_of_people_who_were_told_wait_for_the_office(
    told: tuple[datetime, PaidTime | None], then: datetime, says: str
):
    """The start stays where it is, and still somebody has to agree to stay longer."""
    ends_at, paid = told
    stay = Stay(task=1, start_at=at(7), end_at=ends_at, crews=("dig",), paid=paid)
    one = replace(digging(PAID, promised_on=date(2026, 6, 19)), told=(stay,))
    assembled = assemble(one, first_on=ON, horizon_days=14)
    [(key, _)] = assembled.tasks.items()
    line = assembled.line
    after = (Assignment(task=key, start=line.minute(at(7)), end=line.minute(then), crews=("dig",)),)
    assert check(assembled.problem, after) == ()
    changes = compare(assembled, one.told, after)
    [change] = changes.changes
    assert (change.from_at, change.to_at, change.told, change.reason) == (at(7), at(7), True, says)
    ruling = rule(
        replace(changes, broken_before=("something else",)),
        Touched(),
        reasons=[],
        policy=Policy(),
        zone=ZoneInfo(BRANCH.zone),
        now=at(7, day=1),
    )
    assert (ruling.verdict, ruling.because) == ("waits", ("told",))
    [people] = told_people(Reader(one, (stay,)), changes.changes)
    [what] = people.what
    assert what.endswith(f"as before. {says}")


def test_an_evening_start_moved_inside_its_day_moves_no_day():
    """After eight in the evening the date in UTC is tomorrow's already."""
    stay = Stay(task=1, start_at=at(20.25), end_at=at(21), crews=("dig",))
    one = replace(digging(DIGGERS, promised_on=date(2026, 6, 19)), told=(stay,))
    assembled = assemble(one, first_on=ON, horizon_days=14)
    [(key, _)] = assembled.tasks.items()
    line = assembled.line
    after = (Assignment(task=key, start=line.minute(at(17)), end=line.minute(at(21)), crews=("dig",)),)
    [change] = compare(assembled, one.told, after).changes
    assert change.dollars == 0
