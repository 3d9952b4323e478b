"""Make a plan, put it in force, judge it again. Each change is one transaction."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date, datetime
from typing import Any, cast
from zoneinfo import ZoneInfo

from django.db import transaction

from crews.models import Crew
from crews.snapshots import crews_of
from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_exposures
from jobs.models import Branch
from jobs.selectors import list_gate_reports
from jobs.snapshots import branch_facts, jobs_of
from planner.forecast.skies import climate_of, skies_over
from planner.plans.domain.assemble import Assembled, assemble
from planner.plans.domain.lasting.evenings import with_evenings
from planner.plans.domain.lasting.timed import timed
from planner.plans.domain.outlook import skies_of
from planner.plans.domain.people import with_crew_bookings
from planner.plans.domain.triggers.repair import Search, here, planned_from
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import Judges, ReportFacts, Stay, World
from planner.plans.lapsing import plan_letting_lapse
from planner.plans.models import Assignment, Plan
from planner.plans.selectors import crew_keys_by_assignment, list_assignments, next_number, plan_in_force
from planner.plans.stored import bought, paid_of, paid_times, prepared_of
from planner.solver import result as solved
from planner.solver.check import check
from planner.solver.parameters import Parameters
from planner.solver.solve import OnProgress

HORIZONS_DAYS = (120, 240)


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPlan:
    """A plan with what it was made from, before it is stored."""

    world: World
    assembled: Assembled
    result: solved.Result


@dataclass(frozen=True, slots=True, kw_only=True)
class MadePlan:
    """A stored proposal with what it was made from."""

    plan: Plan
    world: World
    assembled: Assembled
    result: solved.Result


def world_of(*, branch: Branch, as_of: datetime, with_told: bool = True) -> World:
    """A branch as it stands, in a constant number of queries."""
    facts = branch_facts(branch)
    on = as_of.astimezone(ZoneInfo(branch.zone)).date()
    crews = crews_of(branch, on)
    jobs = tuple(with_crew_bookings(job, crews) for job in jobs_of(branch))
    sites = {task.site.id: task.site for job in jobs for task in job.tasks}
    told: tuple[Stay, ...] = ()
    if with_told:
        in_force = plan_in_force(branch=branch)
        told = stays_of(in_force) if in_force is not None else ()
    world = World(
        as_of=as_of,
        branch=facts,
        jobs=jobs,
        crews=crews,
        exposures=load_exposures(),
        climate=climate_of(branch=branch),
        skies=skies_over(branch=branch, sites=tuple(sites.values()), as_of=as_of),
        told=told,
        reports=tuple(
            ReportFacts(
                task=row.task_id,
                kind=row.kind,
                happened_at=row.happened_at,
                said_by=row.said_by,
                values=row.values,
            )
            for row in list_gate_reports(branch=branch, until_at=as_of)
        ),
    )
    return with_evenings(timed(world))


def stays_of(plan: Plan) -> tuple[Stay, ...]:
    """The assignments of the plan in force, from their rows."""
    crews = crew_keys_by_assignment(plan=plan)
    # Crews in the order the plan gave them: rows know no order, and the needs of a task do.
    stored: dict[int, Mapping[str, Any]] = {stay["task"]: stay for stay in plan.document["stays"]}
    return tuple(
        Stay(
            task=row.task_id,
            start_at=row.start_at,
            end_at=row.end_at,
            crews=tuple(_in_order(crews.get(row.pk, []), stored.get(row.task_id, {}).get("crews", []))),
            prepared=prepared_of(stored.get(row.task_id, {})),
            paid=paid_of(stored.get(row.task_id, {})),
        )
        for row in list_assignments(plan=plan)
    )


def _in_order(keys: list[str], stored: list[str]) -> list[str]:
    listed = [key for key in stored if key in keys]
    return listed + [key for key in keys if key not in listed]


def make_plan(
    *,
    branch: Branch,
    as_of: datetime,
    parameters: Parameters,
    on_progress: OnProgress | None = None,
) -> MadePlan:
    """Assemble, solve, check and store a proposal with the forecast runs it read.

    Raises
    ------
    CannotDo
        As ``draft_plan``.
    """
    draft = draft_plan(branch=branch, as_of=as_of, parameters=parameters, on_progress=on_progress)
    plan = store_plan(branch=branch, draft=draft)
    return MadePlan(plan=plan, world=draft.world, assembled=draft.assembled, result=draft.result)


def draft_plan(
    *,
    branch: Branch,
    as_of: datetime,
    parameters: Parameters,
    on_progress: OnProgress | None = None,
    search: Search = here,
) -> DraftPlan:
    """A checked plan that is stored nowhere yet; the plan in force put right, where no other is clearly cheaper.

    Raises
    ------
    CannotDo
        ``plans.nothing_open`` where no job is open; ``plans.no_plan`` with the requirements that cannot be met.
    """
    world = world_of(branch=branch, as_of=as_of)
    if not any(task.is_open for job in world.jobs for task in job.tasks):
        raise CannotDo("plans.nothing_open", field="branch", branch=branch.name)
    first_on = world.crews.branch_calendar.date_of(as_of)
    assembled, result = solve_branch(
        world, first_on=first_on, parameters=parameters, on_progress=on_progress, search=search
    )
    if result.status != "planned":
        says = [*world.notes, *(clash.says for clash in result.clashes if not _is_noted(world, assembled, clash))]
        raise CannotDo("plans.no_plan", field="branch", branch=branch.name, clashes=" ".join(says[:8]))
    return DraftPlan(world=world, assembled=assembled, result=result)


def _is_noted(world: World, assembled: Assembled, clash: solved.Clash) -> bool:
    """Whether a note on the task says already what is in its way, and what to do."""
    found = assembled.tasks.get(clash.task)
    if found is None or not clash.gate.startswith("crews"):
        return False
    job, task = found
    return any(note.startswith(f"{job.name}: {task.title}. ") for note in world.notes)


def store_plan(*, branch: Branch, draft: DraftPlan) -> Plan:
    """Keep a draft as a proposal, with the forecast runs it read."""
    world, result = draft.world, draft.result
    with transaction.atomic():
        plan = Plan.objects.create(
            branch=branch,
            number=next_number(branch=branch),
            state=Plan.State.PROPOSED,
            made_at=world.as_of,
            as_of=world.as_of,
            input_revision=world.branch.input_revision,
            follows=world.branch.plan_number,
            making=asdict(result.making) if result.making else {},
            cost={**asdict(result.cost), "total": result.cost.total},
            document=document_of(world, draft.assembled, result),
        )
        plan.runs.set(sorted({sky.run for sky in world.skies.values() if sky.run}))
    return plan


def solve_branch(
    world: World,
    *,
    first_on: date,
    parameters: Parameters,
    on_progress: OnProgress | None = None,
    search: Search = here,
) -> tuple[Assembled, solved.Result]:
    """Assemble and solve; where no plan exists, let go what lapses under this weather, then look further ahead.

    A limit counted from finished work (an inspection's validity, an open dig) is never a reason for no plan: the
    work is planned later, with a warning to look again.
    """
    judges, waits = Judges(world), Waits(world)

    def assemble_for(let_lapse: frozenset[str], horizon_days: int) -> Assembled:
        return assemble(
            world, first_on=first_on, horizon_days=horizon_days, let_lapse=let_lapse, judges=judges, waits=waits
        )

    def plan_for(assembled: Assembled) -> solved.Result:
        return planned_from(assembled, world.told, parameters, on_progress, search)

    return plan_letting_lapse(assemble_for, plan_for, HORIZONS_DAYS)


def document_of(world: World, assembled: Assembled, result: solved.Result) -> dict[str, Any]:
    """The whole plan as plain JSON values, in order of start."""
    line = assembled.line
    skies = {sky.task: sky for sky in skies_of(world, assembled, result.assignments)}
    paid = paid_times(assembled, result.assignments)
    stays = []
    for one in sorted(result.assignments, key=lambda assignment: (assignment.start, assignment.task)):
        _, task = assembled.tasks[one.task]
        stay: dict[str, Any] = {
            "task": task.id,
            "key": one.task,
            "start": line.at(one.start).isoformat(),
            "end": line.at(one.end).isoformat(),
            "crews": list(one.crews),
        }
        sky = skies.get(one.task)
        if sky is not None:
            judgement = sky.judgement
            stay["sky"] = {
                "chance": round(judgement.chance_hit, 4),
                "forbidden": judgement.forbidden and sky.prepared is None,
                "known": round(judgement.known_share, 4),
                "dollars": judgement.dollars,
                "safe": judgement.safe_at.isoformat(),
                "reasons": list(judgement.reasons),
            }
        stay.update(bought(sky, paid.get(one.task)))
        stays.append(stay)
    return {
        "first_on": line.first_on.isoformat(),
        "horizon_days": len(line.days),
        "stays": stays,
        "warnings": list(assembled.warnings),
        "let_lapse": sorted(assembled.let_lapse),
    }


def assembled_for(world: World, plan: Plan, *, as_bought: bool = False) -> Assembled:
    """The problem of a stored plan on its own axis; ``as_bought`` as ``assemble`` takes it."""
    first_on = datetime.fromisoformat(plan.document["first_on"]).date()
    return assemble(
        world,
        first_on=first_on,
        horizon_days=plan.document["horizon_days"],
        let_lapse=frozenset(plan.document.get("let_lapse", ())),
        as_bought=as_bought,
    )


def judged_again(*, branch: Branch, plan: Plan, stays: tuple[Stay, ...]) -> tuple[solved.Breach, ...]:
    """Every rule the stays break on today's inputs, seen from the moment the plan was made.

    Work that has finished since is left out; work that has started counts from its report.
    """
    world = replace(world_of(branch=branch, as_of=plan.as_of, with_told=False), told=stays)
    assembled = assembled_for(world, plan, as_bought=True)
    line = assembled.line
    by_task = {stay.task: stay for stay in stays}
    pins = {task.key: task.pin for task in assembled.problem.tasks if task.pin is not None}
    assignments = []
    for key, (_, task) in assembled.tasks.items():
        pin = pins.get(key)
        stay = by_task.get(task.id)
        if pin is not None:
            assignments.append(solved.Assignment(task=key, start=pin.start, end=pin.end, crews=pin.crews))
        elif stay is not None:
            assignments.append(
                solved.Assignment(
                    task=key, start=line.minute(stay.start_at), end=line.minute(stay.end_at), crews=stay.crews
                )
            )
    return check(assembled.problem, tuple(assignments))


def check_plan_in_force(*, branch: Branch) -> tuple[Plan, tuple[solved.Breach, ...]]:
    """The plan in force, judged from its rows.

    Raises
    ------
    CannotDo
        ``plans.none_in_force``.
    """
    plan = plan_in_force(branch=branch)
    if plan is None:
        raise CannotDo("plans.none_in_force", field="branch", branch=branch.name)
    return plan, judged_again(branch=branch, plan=plan, stays=stays_of(plan))


def document_stays(plan: Plan) -> tuple[Stay, ...]:
    """The stays a stored plan holds in its document."""
    return tuple(
        Stay(
            task=one["task"],
            start_at=datetime.fromisoformat(one["start"]),
            end_at=datetime.fromisoformat(one["end"]),
            crews=tuple(one["crews"]),
            prepared=prepared_of(one),
            paid=paid_of(one),
        )
        for one in plan.document["stays"]
    )


def put_in_force(*, branch: Branch, plan: Plan, now: datetime) -> Plan:
    """Make a proposal the plan in force, guarded by the plan number and by the branch's input revision.

    The checker runs again on today's inputs inside the transaction. Of two people who press at once, one wins.

    Raises
    ------
    CannotDo
        ``plans.overtaken`` where another plan came into force or inputs changed since; ``plans.breaks_rules``.
    """
    with transaction.atomic():
        moved = Branch.objects.filter(
            pk=branch.pk, plan_number=plan.follows, input_revision=plan.input_revision
        ).update(plan_number=plan.number)
        if moved != 1:
            raise CannotDo("plans.overtaken", field="plan", number=plan.number, changed=_what_changed(branch, plan))
        breaches = judged_again(branch=branch, plan=plan, stays=document_stays(plan))
        if breaches:
            raise CannotDo(
                "plans.breaks_rules", field="plan", number=plan.number, says=" ".join(b.says for b in breaches[:3])
            )
        Plan.objects.filter(branch=branch, state=Plan.State.IN_FORCE).update(state=Plan.State.PAST)
        taken = Plan.objects.filter(pk=plan.pk, state=Plan.State.PROPOSED).update(
            state=Plan.State.IN_FORCE, in_force_at=now
        )
        if taken != 1:
            raise CannotDo("plans.overtaken", field="plan", number=plan.number, changed="It is no proposal any more.")
        Plan.objects.filter(branch=branch, state=Plan.State.PROPOSED, follows=plan.follows).update(
            state=Plan.State.DROPPED
        )
        _write_assignments(branch, plan)
    plan.refresh_from_db()
    branch.refresh_from_db()
    return plan


def _what_changed(branch: Branch, plan: Plan) -> str:
    now = Branch.objects.get(pk=branch.pk)
    if now.plan_number != plan.follows:
        return f"Plan {now.plan_number} came into force since."
    breaches = judged_again(branch=branch, plan=plan, stays=document_stays(plan))
    return " ".join(breach.says for breach in breaches[:3]) or "Jobs, crews, bookings or reports changed since."


def _write_assignments(branch: Branch, plan: Plan) -> None:
    crews = {crew.key: crew.pk for crew in Crew.objects.filter(branch=branch)}
    stays = document_stays(plan)
    rows = Assignment.objects.bulk_create(
        [Assignment(plan=plan, task_id=stay.task, start_at=stay.start_at, end_at=stay.end_at) for stay in stays]
    )
    through = cast(Any, Assignment.crews.through)
    through.objects.bulk_create(
        [
            through(assignment_id=row.pk, crew_id=crews[key])
            for row, stay in zip(rows, stays, strict=True)
            for key in stay.crews
        ]
    )
