"""Sets a season up, plays it, and prints what was moved, warned and lost beside the plan that never moves."""

import time
from argparse import Namespace
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from datetime import time as clock_time
from zoneinfo import ZoneInfo

from crews.domain.working_time import local_moment
from jobs.domain.exposure import Exposure
from jobs.domain.facts import TaskFacts
from jobs.models import Branch, Job
from jobs.snapshots import jobs_of
from planner.demo.company import RECORD_YEAR, ZONE, make_company
from planner.forecast.chain import recorded_weather
from planner.forecast.models import RecordedSky
from planner.forecast.skies import pull_for_branch
from planner.plans.services import make_plan, put_in_force, world_of
from planner.solver.parameters import GreedyOnly, Parameters, Repeatable
from tests.benchmarks.season.office import Office, Season, looks
from tests.benchmarks.season.truth import Happened, Truth

Spans = Mapping[int, tuple[datetime, datetime]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """What came of the exposed work of a way of planning: starts, and each hit with its task."""

    starts: int
    hits: tuple[tuple[int, datetime, Happened], ...]

    @property
    def dollars(self) -> int:
        return sum(one.dollars for *_, one in self.hits)


def play(asked: Namespace) -> None:
    """Run the season and print what came of it."""
    began = time.perf_counter()
    first = local_moment(ZONE, date.fromisoformat(asked.first), clock_time(6))
    until = first + timedelta(weeks=asked.weeks)
    parameters: Parameters = Repeatable(deterministic_seconds=asked.effort) if asked.effort else GreedyOnly()
    branch = _company(asked, first)
    office = Office(branch, parameters)
    unmoved = {task: (stay.start_at, stay.end_at) for task, stay in office.stays().items() if stay.start_at < until}
    ends_unmoved = _ends(branch, {task: stay.end_at for task, stay in office.stays().items()})
    names = _names(branch)
    office.call(first)
    for now in looks(ZONE, first, asked.weeks * 7, asked.hours):
        office.look(now)
    truth = _truth(branch)
    world = world_of(branch=Branch.objects.get(pk=branch.pk), as_of=until)
    tasks = {task.id: task for job in world.jobs for task in job.tasks}

    def came(spans: Spans) -> Came:
        exposed = {one: span for one, span in spans.items() if world.exposures[tasks[one].exposure].exposed}
        found = [(one, span[0], _happened(truth, world.exposures, tasks[one], span)) for one, span in exposed.items()]
        return Came(starts=len(exposed), hits=tuple(sorted((one for one in found if one[2].by), key=lambda x: x[1])))

    season = office.season
    print(f"{asked.pools} pools, {asked.weeks} weeks from {asked.first}; {office_words(season)}")
    if asked.moves:
        _print_moves(season, names)
    _print_warned(season, truth, world.exposures, tasks)
    print(f"\n{'':<22}{'exposed starts':>15}{'hit':>6}{'dollars':>10}")
    for title, spans in (("never moved", unmoved), ("moved by the service", season.begun)):
        found = came(spans)
        print(f"{title:<22}{found.starts:>15}{len(found.hits):>6}{found.dollars:>10,}")
        if asked.moves:
            for task, at, one in found.hits:
                print(f"    {_day(at)} {names[task]}: {', '.join(one.by)} (${one.dollars:,})")
    both = set(unmoved) & set(season.begun)
    same = [came({task: spans[task] for task in both}) for spans in (unmoved, season.begun)]
    print(f"{'work begun in both':<22}{same[0].starts:>15}{len(same[0].hits):>6}{same[0].dollars:>10,}  never moved")
    print(f"{'':<22}{same[1].starts:>15}{len(same[1].hits):>6}{same[1].dollars:>10,}  moved")
    if asked.moves:
        _print_waits(
            unmoved, season.begun, lambda task, span: not _happened(truth, world.exposures, tasks[task], span).by, names
        )
    ends = {task: span[1] for task, span in season.begun.items()}
    ends |= {task: stay.end_at for task, stay in office.stays().items()}
    _print_ends(ends_unmoved, _ends(branch, ends))
    for says in (*season.refused, *season.calls.refused):
        print(f"refused {says}")
    print(f"{time.perf_counter() - began:.0f} s")


def own_season(first: str) -> date:
    """The Monday of the recorded year nearest to a Monday's day of the year."""
    on = date.fromisoformat(first)
    return on - timedelta(weeks=round((on - on.replace(year=RECORD_YEAR)).days / 7))


def _company(asked: Namespace, first: datetime) -> Branch:
    """The demo company with its first pools, its plan in force."""
    branch = make_company(as_of=first)
    for job in Job.objects.filter(branch=branch).order_by("pk")[asked.pools :]:
        job.delete()
    sky = RecordedSky.objects.get(branch=branch)
    sky.seed = asked.seed or sky.seed
    # The record's own season; the demo brings a wet spell of another month to its days.
    sky.shift_days = (date.fromisoformat(asked.first) - own_season(asked.first)).days
    sky.save()
    sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
    pull_for_branch(branch=branch, sites=tuple(sites.values()), now=first)
    made = make_plan(branch=branch, as_of=first, parameters=Repeatable())
    put_in_force(branch=branch, plan=made.plan, now=first)
    return Branch.objects.get(pk=branch.pk)


def _truth(branch: Branch) -> Truth:
    sky = RecordedSky.objects.get(branch=branch)
    return Truth(recorded_weather(sky.record, branch.zone).moved(timedelta(days=sky.shift_days)))


def _happened(truth: Truth, exposures: Mapping[str, Exposure], task: TaskFacts, span: Sequence[datetime]) -> Happened:
    return truth.happened(exposures[task.exposure], task.site.soil, span[0], span[1])


def _names(branch: Branch) -> dict[int, str]:
    return {task.id: f"{job.name}, {task.title}" for job in jobs_of(branch) for task in job.tasks}


def _ends(branch: Branch, ends: Mapping[int, datetime]) -> dict[str, datetime]:
    """Each pool's hand-over."""
    found = {}
    for job in jobs_of(branch):
        known = [ends[task.id] for task in job.until_hand_over if task.id in ends]
        if known:
            found[job.name] = max(known)
    return found


def office_words(season: Season) -> str:
    near, calls = sum(move.near for move in season.moves), season.calls
    moved = len({move.task for move in season.moves})
    return (
        f"asked {season.asked} times for another plan, {season.by_office} taken by the office, {season.by_itself} by "
        f"itself; {len(season.moves)} moves of {moved} tasks, {near} of them within three days; {calls.made} calls, "
        f"{calls.late} past their last moment, {calls.moved} slots moved or called off, ${calls.fee_dollars:,} of fees"
    )


def _print_moves(season: Season, names: Mapping[int, str]) -> None:
    for move in season.moves:
        print(f"    {_day(move.at)}: {names[move.task]} from {_day(move.from_at)} to {_day(move.to_at)}")


def _print_warned(
    season: Season, truth: Truth, exposures: Mapping[str, Exposure], tasks: Mapping[int, TaskFacts]
) -> None:
    """Of the starts that were warned of, how many the weather hit there; of the work it hit, how much was warned of."""
    right = sum(bool(_happened(truth, exposures, tasks[task], span).by) for task, *span in season.warned)
    told = {(task, at) for task, at, _ in season.warned}
    hit = [(task, span[0]) for task, span in season.begun.items() if _happened(truth, exposures, tasks[task], span).by]
    silent = sum(one not in told for one in hit)
    print(f"{len(season.warned)} starts warned of, {right} of them rightly; {silent} hits came without a warning")


def _print_waits(
    first: Spans, begun: Spans, was_fine: Callable[[int, Sequence[datetime]], bool], names: Mapping[int, str]
) -> None:
    """Work that began later than first planned: working days between on which the weather would have let it be."""
    for task in sorted(set(first) & set(begun), key=lambda one: first[one]):
        (from_at, until_at), days = first[task], (begun[task][0] - first[task][0]).days
        if days < 1:
            continue
        tried = [from_at + timedelta(days=at) for at in range(days)]
        fine = [at for at in tried if at.weekday() < 5 and was_fine(task, (at, at + (until_at - from_at)))]
        print(f"    {names[task]}: {days} days later than first planned; {len(fine)} working days between were fine")


def _print_ends(before: Mapping[str, datetime], after: Mapping[str, datetime]) -> None:
    for name, at in before.items():
        later = (after[name] - at) / timedelta(days=1) if name in after else 0.0
        print(f"{name}: hand-over {_day(at)} never moved, {later:+.0f} days moved")


def _day(at: datetime) -> str:
    local = at.astimezone(ZoneInfo(ZONE))
    return f"{local:%a} {local.day} {local:%b %H:%M}"
