"""What the watch asks of an exposed start: the measures with the hours they take, or a call before anybody begins."""

from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.facts import Preparing, WeatherAdvice
from planner.watch.domain.report import Verdict
from planner.watch.domain.starts import watch_start
from planner.watch.domain.thresholds import WATCHED


def advice_on(day: Day, piece: Piece) -> WeatherAdvice | None:
    """The watch's word on a start; ``None`` where it asks for nothing, or the start is not watched (yet)."""
    world, task = day.world, piece.task
    now = world.as_of
    stay = day.stays[task.id]
    if not world.exposures[task.exposure].exposed or not task.is_open or task.started_at is not None:
        return None
    if not stay.start_at < now + WATCHED or stay.end_at <= now:
        return None
    start = watch_start(world, day.judges, job=piece.job, task=task, stay=stay, stays=day.stays, now=now)
    if start.verdict is Verdict.NO_LIMIT:
        return None
    if start.verdict is not Verdict.PREPARE:
        return WeatherAdvice(verdict=start.verdict.value)
    if piece.start_at > stay.start_at:
        # What is prepared is prepared before the first of several days.
        return None
    bought = stay.prepared.titles if stay.prepared is not None else ()
    preparing = tuple(Preparing(title=one.title, hours=one.hours, bought=one.title in bought) for one in start.measures)
    return WeatherAdvice(verdict=start.verdict.value, preparing=preparing)
