"""Judges a plan against every rule of the problem, and adds up what it costs; knows no solver.

The rules in full. Whoever writes a solver matches these words; ``checks/`` restates them, one module a family.

Day of a moment
    ``day_index(m)`` is the index of the last day of ``Problem.days`` with ``opens <= m``: a night belongs to the
    day before it. Outside the horizon it goes on in steps of 1,440 minutes from the first or the last ``opens``
    (so it may be negative, or at least the number of days). Wherever "day of" is said, this is meant.

Assigned
    Every task of the problem has exactly one assignment, and nothing else has one. ``Assignment.crews`` is in
    the order of ``Task.needs``: ``crews[i]`` fills ``needs[i]``.

Pins
    A pinned task has exactly the pin's start and end, and the pin's crews in the same order; a pin without crews
    leaves the crews open (any listed, distinct ones). A pin's crews need not be listed options.
    Own rules of a pinned task: ``started`` is a fact and obeys none; ``frozen`` obeys earliest, latest_start,
    windows and weather, but not grid, run, start_by and opening_only (its end is given).
    Crews, links, gear and limits count pinned tasks like others; only a link into a ``started`` task is void.

Grid
    A start lies in the planning window of some day, ``opens <= start < closes``, a whole number of grid steps
    after ``opens``. Ends may lie anywhere.

Windows of a task ("its windows")
    The intersection of: the calendars of the crews chosen (that of the option chosen, where it names one), and
    ``Task.calendar`` if it has one. With neither: the planning windows of all days. The start lies inside one of its
    windows (``start <= moment < end``), for every run.
    ``long_day``: for the end only, each crew's window reaches to the later of its end and the ``long_until`` of its
    day, its ``closes`` where it has none (``Task.calendar`` is not stretched); the start still lies inside the
    unstretched windows.

Run
    work      minutes = the largest ``work_minutes`` of the options chosen (joint crews work together) and what
              preparing adds (below). They are used up inside its windows from the start; the end is the moment the
              last is used (a window's end, not the next opening). A pause between two windows is allowed only with
              ``splits_nights``; if at least one whole day lies between the days of the two windows, only with
              ``splits_weekends`` too.
    attended  the same with ``span_minutes``.
    elapsed   end = start + span_minutes.
    arrives   end = start + span_minutes where that is inside the same window as the start; else the later of that and
              the opening of the next of its windows, which must be on the next calendar day and hold that end (water
              runs over one night, never over a day off).
    visit     end = start + span_minutes, inside the same window as the start.
    opening_only      start = the opening of one of its windows.
    start_by_minutes  start <= opens of the planning window that holds it + start_by_minutes.

Paid hours
    Work whose chosen options name a ``paid_calendar`` may run in its paid windows instead: the same, with
    ``paid_calendar`` in the place of the option's calendar wherever it names one. The end tells which: an end as its
    windows give it is unpaid. Start, run, opening and ``long_day`` are those of the windows it runs in.

Stay
    The stay is from start to end, pauses included. ``Task.windows`` (if any): one of them holds the whole stay
    (``span.start <= start`` and ``end <= span.end``). ``earliest <= start <= latest_start``. No forbidden segment
    of ``weather`` holds the start.

Crews
    Each need is filled by one of its options, all crews of a task distinct. A crew's stays do not overlap
    (half-open), pauses included: a crew that splits a task over a night works nowhere else in between.

Drives
    Of two stays of a crew on different sites with a drive between them, the later starts no sooner than that drive
    after the end of the earlier. Stays without length, and two pinned ones, are left out.

Preparing
    A start inside a ``weather`` segment goes one way: bare, unless forbidden there, at the segment's dollars, or one of
    its ``ways`` at the way's price and its loss together. It goes the cheapest; of equals bare, then the first listed.
    In a ``settled`` segment it goes the first of ``ways``, bare if there is none. A forbidden start without a way is
    not allowed. The way's minutes are added to the minutes of ``work``.

Links
    Start of ``after`` >= end of ``before`` + min_minutes, and >= ``ready`` at the end of ``before``;
    <= end of ``before`` + max_minutes, and <= ``close`` at the end of ``before``; each where given. A wait asked
    past its last step breaks the link.

Gear
    A hold is half-open from the start of ``from_task`` (or ``since``, which wins if given) to the end of
    ``until_task``; the end may not lie before the start. ``whole_days``: from ``opens`` of the day of its start up
    to ``opens`` of the day after the day of its end. At no moment do the amounts of one gear exceed its count.

Limits
    At most ``count`` of the tasks have the same day of their start.

Cost, whole dollars
    late       rate x max(0, day of the end - day of ``due``)
    weather    of the ``weather`` segment that holds the start: the loss of the way it goes; bare, the segment's dollars
    prepare    the price of that way
    paid       of each crew of work in paid windows: its minutes in them outside its own calendar (that of its option),
               at ``overtime_dollars`` an hour on days that calendar has hours, at ``day_off_dollars`` on others,
               rounded up to whole dollars; 0 for a pinned task
    crews      dollars of the option taken for each need (0 for a pinned crew that is not an option)
    open_days  rate x max(0, day of the end of ``until_task`` - day of the start of ``from_task`` or ``since``)
    moves      with d = |day of the start - day of the told start|: ``move_dollars`` if d > 0, plus
               ``day_dollars`` x d; plus ``crew_dollars`` once if crews were told and the set of crews is another
"""

from planner.solver.checks.cost import cost_of
from planner.solver.checks.crews import crew_breaches
from planner.solver.checks.gear import gear_breaches, limit_breaches
from planner.solver.checks.links import link_breaches
from planner.solver.checks.placed import assigned_breaches, place
from planner.solver.checks.runs import run_breaches
from planner.solver.checks.starts import start_breaches
from planner.solver.problem import Problem
from planner.solver.result import Assignment, Breach

__all__ = ["check", "cost_of"]


def check(problem: Problem, assignments: tuple[Assignment, ...]) -> tuple[Breach, ...]:
    """Every rule the plan breaks, in a fixed order: family by family, each in the order of the problem.

    Parameters
    ----------
    problem : Problem
        What was asked; free of faults (``planner.solver.faults``).
    assignments : tuple of Assignment
        What was answered, in any order.

    Returns
    -------
    tuple of Breach
        Empty if the plan keeps every rule.
    """
    breaches = list(assigned_breaches(problem, assignments))
    placed = place(problem, assignments)
    for family in (run_breaches, start_breaches, crew_breaches, link_breaches, gear_breaches, limit_breaches):
        breaches.extend(family(placed))
    return tuple(breaches)
