"""A crew's pieces of work on single days as the road that is drawn."""

from datetime import date

from crews.domain.facts import CrewFacts
from crews.domain.travel import Place, Stop, TravelRules, trip_between
from planner.dayplans.domain.day import Piece, pieces_on
from planner.plans.domain.people import site_stop
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.road import RoadStop


def pieces_of(reader: Reader, crew: CrewFacts, on: date) -> tuple[Piece, ...]:
    """A crew's work on a date, in order of start."""
    return pieces_on(reader.day_of(crew, on), on, crew=crew.key)


def road_stops(reader: Reader, crew: CrewFacts, on: date, links: Links) -> tuple[RoadStop, ...]:
    """Stops of a crew on a date, each with the drive that leads there and its place on the page of its pool."""
    stops: list[RoadStop] = []
    before = _yard(reader) if crew.own else None
    for piece in pieces_of(reader, crew, on):
        here = site_stop(piece.task.site)
        trip = trip_between(before, here, TravelRules(), crew_cents_per_hour=0) if before is not None else None
        before = here
        others = tuple(key for key in piece.crews if key != crew.key)
        stops.append(
            RoadStop(
                site=piece.job.name or piece.task.site.name,
                title=piece.task.title,
                trade=piece.task.trade,
                trade_title=reader.trade_title(piece.task.trade),
                from_at=piece.start_at,
                until_at=piece.end_at,
                state=reader.state(piece.job, piece.task),
                travel_minutes=trip.minutes if trip is not None else 0,
                travel_m=trip.km * 1000 if trip is not None else 0.0,
                where=links.task(piece.job.id, piece.task.key),
                with_crews=tuple(reader.crews[key].name for key in others if key in reader.crews),
            )
        )
    return tuple(stops)


def _yard(reader: Reader) -> Stop:
    branch = reader.world.branch
    return Stop(key="yard", place=Place(latitude_deg=branch.yard_latitude, longitude_deg=branch.yard_longitude))
