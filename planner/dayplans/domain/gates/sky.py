"""The sky over a piece of work: the chance that weather hits it before it is safe, and what forbids it."""

from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.domain.limits import LEVELS, stop_limits
from planner.dayplans.facts import Gate, GateState, StopLimit
from planner.dayplans.presenters.measures import measure, measure_beside
from planner.forecast.domain.chance import WIDENING
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.judgement import LimitPart, StartJudgement
from planner.plans.domain.lasting.preparing import lets_go

ALL_KNOWN = 1.0 - 1e-9
PLANNED_AGAIN = "the office has given it another hour or day"
ASKED = "the office has looked at the newest forecast for it"


def judged(day: Day, piece: Piece) -> StartJudgement | None:
    """The verdict on what is left of the day's work, after what is prepared; ``None`` if not exposed, or past."""
    exposure = day.world.exposures[piece.task.exposure]
    from_at = max(piece.work_at, min(day.world.as_of, piece.end_at))
    if not exposure.exposed or from_at >= piece.end_at:
        return None
    return day.judges.at(piece.task.site.id).start(
        exposure, start_at=from_at, end_at=piece.end_at, soil=piece.task.site.soil, admixture=piece.task.admixture
    )


def sky_gate(day: Day, piece: Piece, judgement: StartJudgement | None) -> Gate | None:
    """Shut where a known value or chance forbids the work, not known where any hour is not covered."""
    if not day.world.exposures[piece.task.exposure].exposed:
        return None
    if judgement is None:
        return Gate(kind="sky", state=GateState.UNKNOWN, sentence="These hours are past.", opens=PLANNED_AGAIN)
    chance = f"The chance that weather hits it {_until(day, piece, judgement)}is {_percent(judgement.chance_hit)}."
    prepared = day.stays[piece.task.id].prepared if piece.task.id in day.stays else None
    forbidden = not lets_go(day.world.exposures[piece.task.exposure], judgement, prepared)
    if forbidden:
        sentence = " ".join((*_forbids(day, piece, judgement), chance))
        return Gate(kind="sky", state=GateState.SHUT, sentence=sentence, opens=PLANNED_AGAIN)
    sky = day.world.skies.get(piece.task.site.id)
    freshness = sky.freshness if sky is not None else Freshness.DOWN
    if sky is None or sky.series is None or WIDENING[freshness] >= 1.0:
        gap = "No forecast is known" if sky is None or sky.series is None else "The forecast is too old"
        sentence = f"{gap}: by the usual weather of the month only. {chance} Ask the office before you start."
        return Gate(kind="sky", state=GateState.UNKNOWN, sentence=sentence, opens=ASKED)
    if judgement.known_share < ALL_KNOWN:
        covers = f"A forecast covers only {_percent(judgement.known_share)} of the hours that matter"
        if judgement.known_share == 0.0:
            covers = "No forecast reaches these hours yet"
        sentence = f"{covers}; the rest is the usual weather of the month. {chance} Ask the office before you start."
        return Gate(kind="sky", state=GateState.UNKNOWN, sentence=sentence, opens=ASKED)
    if judgement.forbidden and prepared is not None:
        only = f"It may start only with what is prepared: {prepared.title}."
        sentence = " ".join((only, *_forbids(day, piece, judgement), "Keep it on until the work is safe."))
        return Gate(kind="sky", state=GateState.CARE, sentence=sentence)
    if judgement.chance_hit >= day.world.exposures[piece.task.exposure].forbid_chance:
        sentence = f"Nothing known forbids it, but much of it is not known. {chance} Ask the office before you start."
        return Gate(kind="sky", state=GateState.UNKNOWN, sentence=sentence, opens=ASKED)
    reached = [limit for limit in stop_limits(day, piece, judgement) if limit.reached]
    if reached:
        # The chance of a spoiling amount decides on the start; an amount forecast at a limit still has to be heard.
        limits = " ".join(_reached(day, limit) for limit in reached)
        sentence = f"It may start; be ready to stop and cover. {limits} {chance}"
        return Gate(kind="sky", state=GateState.CARE, sentence=sentence)
    return Gate(kind="sky", state=GateState.OPEN, sentence=f"Nothing known forbids it. {chance}")


def _reached(day: Day, limit: StopLimit) -> str:
    """A limit and the value that reaches it."""
    bound = "" if limit.limit is None else f" {measure(limit.limit, limit.unit)}"
    value = "" if limit.forecast is None else f": {measure_beside(limit.forecast, limit.limit, limit.unit)} is forecast"
    at = "" if limit.worst_at is None else f" {day.said(limit.worst_at)}"
    return f"{limit.words}{bound}{value}{at}."


def _until(day: Day, piece: Piece, judgement: StartJudgement) -> str:
    if judgement.safe_at <= piece.end_at:
        return ""
    return f"before it is rain-safe, {day.said(judgement.safe_at)}, "


def _percent(share: float) -> str:
    return measure(share, "share")


def _forbids(day: Day, piece: Piece, judgement: StartJudgement) -> list[str]:
    said = [_reason(day, part, judgement) for part in judgement.parts if part.forbids]
    if not said:
        limit = day.world.exposures[piece.task.exposure].forbid_chance
        said.append(f"Spoiling rain is too likely: this work is not started from a chance of {_percent(limit)} on.")
    return said


def _reason(day: Day, part: LimitPart, judgement: StartJudgement) -> str:
    at = f" {day.said(part.worst_at)}" if part.worst_at is not None else ""
    worst, limit = part.worst or 0.0, part.limit_value or 0.0
    if part.limit in LEVELS:
        words, unit = LEVELS[part.limit]
        return f"{words} {measure(limit, unit)}: {measure(worst, unit)} is forecast{at}."
    if part.limit == "thunder":
        return f"Thunder is forecast{at} with a chance of {_percent(worst)}."
    if part.limit == "rain_stop":
        return f"Rain of {measure(worst, 'mm_h')} is forecast{at}; the work stops at {measure(limit, 'mm_h')}."
    if part.limit == "rain_before":
        return (
            f"{measure(worst, 'mm').capitalize()} of rain fell before the start; the limit is {measure(limit, 'mm')}."
        )
    if part.limit == "ground":
        return f"The ground needs {measure(worst, 'h')} more to dry after rain, counted from the start."
    raise ValueError(f"limit {part.limit} never forbids; at {judgement.start_at}")
