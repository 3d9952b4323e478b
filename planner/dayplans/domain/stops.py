"""The day's road: pieces of work grouped by site visit, with the drive to each."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import groupby

from crews.domain.travel import Place, TravelRules, Trip, trip_between
from crews.domain.travel import Stop as Corner
from jobs.domain.facts import SiteFacts
from planner.dayplans.domain.advice import advice_on
from planner.dayplans.domain.day import Day, Piece, pieces_on
from planner.dayplans.domain.loads.water import water_notes
from planner.dayplans.domain.work import day_task, visit_called_in
from planner.dayplans.facts import Stop
from planner.dayplans.presenters.measures import minutes
from planner.plans.domain.people import site_stop


def stops_of(day: Day, pieces: Sequence[Piece]) -> tuple[Stop, ...]:
    """Stops in order of arrival; going back to a site is a stop of its own."""
    elsewhere = [piece for piece in pieces_on(day, day.on) if not piece.crews]
    stops: list[Stop] = []
    previous: SiteFacts | None = None
    for _, group in groupby(pieces, key=lambda piece: piece.task.site.id):
        here = tuple(group)
        left_at = stops[-1].leave_at if stops else None
        trip = _trip(day, previous, here[0].task.site)
        stops.append(_stop(day, here, trip, elsewhere, left_at=left_at))
        previous = here[0].task.site
    return tuple(stops)


def _stop(
    day: Day, here: tuple[Piece, ...], trip: Trip, elsewhere: Sequence[Piece], *, left_at: datetime | None
) -> Stop:
    site = here[0].task.site
    around = [piece for piece in elsewhere if piece.task.site.id == site.id]
    visits = tuple(visit_called_in(day, piece) for piece in around if piece.task.kind == "visit")
    other = tuple(
        " ".join(
            (
                f"{piece.task.title}: planned {day.said(piece.start_at)} to {day.said(piece.stay_end_at)}.",
                *water_notes(day, piece),
            )
        )
        for piece in around
        if piece.task.kind in ("clock", "delivery")
    )
    advice = tuple(advice_on(day, piece) for piece in here)
    stop = Stop(
        site=here[0].job.name or site.name,
        address=site.address,
        arrive_at=here[0].start_at,
        leave_at=max(piece.end_at for piece in here),
        left_at=left_at,
        prepare_minutes=advice[0].minutes if advice[0] is not None else 0,
        travel_minutes=trip.minutes,
        travel_m=trip.km * 1000,
        access=access_words(site),
    )
    notes = (_late(day, stop), _early(day, stop), *other)
    tasks = tuple(
        day_task(day, piece, advice[at], also_called=visits if at == 0 else (), notes=notes if at == 0 else ())
        for at, piece in enumerate(here)
    )
    return replace(stop, tasks=tasks)


def access_words(site: SiteFacts) -> str:
    """The access note and the hours in which people may be there."""
    hours = ""
    if site.work_from is not None and site.work_until is not None:
        hours = f"Work only from {site.work_from:%H:%M} to {site.work_until:%H:%M}."
    elif site.work_from is not None:
        hours = f"No work before {site.work_from:%H:%M}."
    elif site.work_until is not None:
        hours = f"No work after {site.work_until:%H:%M}."
    return " ".join(part for part in (site.access_note, hours) if part)


def _trip(day: Day, previous: SiteFacts | None, site: SiteFacts) -> Trip:
    """The drive from the site before, else from the yard; where an outside crew sets off from is not known."""
    if previous is not None:
        return trip_between(site_stop(previous), site_stop(site), TravelRules(), crew_cents_per_hour=0)
    if not day.crew.own:
        return Trip(km=0.0, minutes=0, cents=0)
    branch = day.world.branch
    yard = Corner(key="yard", place=Place(latitude_deg=branch.yard_latitude, longitude_deg=branch.yard_longitude))
    return trip_between(yard, site_stop(site), TravelRules(), crew_cents_per_hour=0)


def _early(day: Day, stop: Stop) -> str:
    """Preparing begins before the crew's day does."""
    if not stop.prepare_minutes or stop.left_at is not None or day.window is None or stop.here_at >= day.window[0]:
        return ""
    return (
        f"Preparing begins {day.said(stop.here_at)}, before the crew's day at {day.said(day.window[0])}: agree it with "
        "the office, or expect to start later."
    )


def _late(day: Day, stop: Stop) -> str:
    """What the drive, and what is to prepare, do to a start that leaves no time for them."""
    if stop.left_at is None or not stop.is_late:
        return ""
    left = max(0, (stop.arrive_at - stop.left_at) // timedelta(minutes=1))
    takes = f"The drive takes about {minutes(stop.travel_minutes)}"
    if stop.prepare_minutes:
        takes += f", preparing {minutes(stop.prepare_minutes)}"
    return f"{takes}, and the plan leaves {minutes(left)}: expect to start about {day.said(stop.begins_at)}."
