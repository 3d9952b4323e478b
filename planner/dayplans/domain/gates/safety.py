"""Gates that protect people: opened only by a named person's report, or set aside with a name and a reason.

A report of kind ``gate`` names its gate in ``values["gate"]`` by a key of ``SafetyGate``; ``values["set_aside"]``
holds the reason where the gate was set aside instead.
"""

from collections.abc import Iterator
from enum import StrEnum

from jobs.domain.facts import JobFacts
from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.domain.known_hours import HOUR, values_between
from planner.dayplans.facts import Gate, GateKind, GateState
from planner.forecast.domain.climate import MEASURABLE_MM
from planner.plans.domain.assemble import OPEN_DIG
from planner.plans.domain.world import ReportFacts


class SafetyGate(StrEnum):
    """What a named person records before people go on."""

    DIG_LOOK = "dig_look"
    BARRIER = "barrier"
    BONDING = "bonding"
    BACKFILL = "backfill_release"
    LICENCE = "licence"


# A passed inspection says as much as a report: of the barrier, and of the bonding.
HOLD_OF = {SafetyGate.BARRIER: "hold_barrier", SafetyGate.BONDING: "hold_bond"}
OPENS = {
    SafetyGate.BARRIER: "the approved barrier stands and that is recorded",
    SafetyGate.BONDING: "the bonding is done and that is recorded",
    SafetyGate.BACKFILL: "a named person has released the backfill and that is recorded",
}
LICENSED = {"licensed_electric": "electrician", "licensed_gas": "gas fitter"}


def safety_gates(day: Day, piece: Piece) -> Iterator[Gate]:
    """The safety gates of one task on the day."""
    cautions = piece.task.cautions
    if "dig_collapse" in cautions or dig_is_open(day, piece):
        yield _look(day, piece)
    if piece.task.exposure == "fill" or "drowning" in cautions:
        wants = "Before any water: an approved barrier"
        yield _once(day, piece, SafetyGate.BARRIER, "barrier", wants)
        yield _once(day, piece, SafetyGate.BONDING, "safety", "Before any water: bonding")
    if piece.task.key == OPEN_DIG[1]:
        wants = "Before fill goes beside the wall: release by a named person"
        yield _once(day, piece, SafetyGate.BACKFILL, "safety", wants)
    for caution, who in LICENSED.items():
        if caution in cautions:
            yield _licence(day, piece, who)


def dig_is_open(day: Day, piece: Piece) -> bool:
    """Whether the job's dig stands open at the start of a piece: begun, or planned before it, and not filled."""
    by_key = {task.key: task for task in piece.job.tasks}
    dig, fill = by_key.get(OPEN_DIG[0]), by_key.get(OPEN_DIG[1])
    if dig is None or dig.dropped or (fill is not None and not fill.is_open):
        return False
    planned = day.stays.get(dig.id)
    begun = dig.started_at is not None or dig.finished_at is not None
    return begun or (planned is not None and planned.start_at < piece.start_at)


def _reports(day: Day, job: JobFacts, piece: Piece, gate: SafetyGate) -> list[ReportFacts]:
    """Reports of a gate for this job, or for this site where the work has no job, oldest first."""
    here = {task.id for task in job.tasks if task.site.id == piece.task.site.id}
    found = [
        one
        for one in day.world.reports
        if one.kind == "gate" and one.task in here and one.values.get("gate") == gate and one.said_by.strip()
    ]
    return sorted(found, key=lambda one: one.happened_at)


def _set_aside(report: ReportFacts) -> str:
    return str(report.values.get("set_aside", "")).strip()


def _look(day: Day, piece: Piece) -> Gate:
    wants = "Nobody enters the dig until a competent person's look is recorded on this day, and again after rain"
    today = [
        one for one in _reports(day, piece.job, piece, SafetyGate.DIG_LOOK) if day.date_of(one.happened_at) == day.on
    ]
    if not today:
        return Gate(
            kind="safety",
            state=GateState.SHUT,
            sentence=f"{wants}. None is recorded.",
            opens="a competent person has looked at the dig today and that is recorded",
            record=SafetyGate.DIG_LOOK,
        )
    last = today[-1]
    said = f"{last.said_by}, {day.said(last.happened_at)}"
    if _set_aside(last):
        sentence = f"{wants}. Set aside by {said}: {_set_aside(last)}."
        return Gate(kind="safety", state=GateState.OPEN, sentence=sentence)
    if _rained_since(day, piece, last):
        sentence = f"{wants}. The last look was by {said}; rain was measured or forecast since: look again."
        opens = "a competent person has looked at the dig again, after the rain, and that is recorded"
        return Gate(kind="safety", state=GateState.SHUT, sentence=sentence, opens=opens, record=SafetyGate.DIG_LOOK)
    sentence = f"A competent person's look is recorded: {said}. After rain, or when a face changes, look again."
    return Gate(kind="safety", state=GateState.OPEN, sentence=sentence)


def _rained_since(day: Day, piece: Piece, look: ReportFacts) -> bool:
    """Rain in the hours after the look, measured, or forecast where nothing was; its own hour cannot be told apart."""
    sky = day.world.skies.get(piece.task.site.id)
    hours = values_between(sky, "rain_mm", look.happened_at + HOUR, day.world.as_of)
    return sum(mm for _, mm in hours if mm is not None) >= MEASURABLE_MM


def _once(day: Day, piece: Piece, gate: SafetyGate, kind: GateKind, wants: str) -> Gate:
    for hold in piece.job.holds:
        if hold.key == HOLD_OF.get(gate) and hold.result == "passed" and hold.decided_at is not None:
            sentence = f"{wants}. {hold.title}: passed by {hold.decided_by}, {day.said(hold.decided_at)}."
            return Gate(kind=kind, state=GateState.OPEN, sentence=sentence)
    reports = _reports(day, piece.job, piece, gate)
    if not reports:
        sentence = f"{wants}. It is not recorded yet."
        return Gate(kind=kind, state=GateState.SHUT, sentence=sentence, opens=OPENS[gate], record=gate)
    last = reports[-1]
    said = f"by {last.said_by}, {day.said(last.happened_at)}"
    words = f"Set aside {said}: {_set_aside(last)}." if _set_aside(last) else f"Recorded {said}."
    return Gate(kind=kind, state=GateState.OPEN, sentence=f"{wants}. {words}")


def _licence(day: Day, piece: Piece, who: str) -> Gate:
    reports = _reports(day, piece.job, piece, SafetyGate.LICENCE)
    wants = f"Only a licensed {who} does this, where local law asks for one"
    if not reports:
        sentence = f"{wants}. The plan holds no licences: the foreman checks."
        opens = f"the licence of the {who} is checked and that is recorded"
        return Gate(kind="licence", state=GateState.UNKNOWN, sentence=sentence, opens=opens, record=SafetyGate.LICENCE)
    last = reports[-1]
    words = f"Set aside: {_set_aside(last)}." if _set_aside(last) else "Checked."
    sentence = f"{wants}. {words} By {last.said_by}, {day.said(last.happened_at)}."
    return Gate(kind="licence", state=GateState.OPEN, sentence=sentence)
