"""How often a forecast forbids a morning that then was fine, and one that was not, by days of lead.

Every weekday of a season one kind of work would start at seven; the judge of the service says at six, one to six days
before, whether it may, and the record says what would have come of it. A judge that forbids fine mornings as often as
bad ones knows nothing at that lead, and plans that follow it move for nothing.
"""

from collections import Counter
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from jobs.domain.exposure import Soil
from jobs.methods.loader import load_exposures
from planner.demo.company import ZONE, read_company
from planner.forecast.chain import recorded_weather, replay
from planner.forecast.domain.climate import Climate, ObservedHour
from planner.forecast.domain.judge import Judge
from planner.forecast.domain.judgement import StartJudgement
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.forecast.domain.station import climate_from_hours
from planner.forecast.domain.truth import TrueWeather
from tests.benchmarks.season.truth import Truth

LEADS = range(1, 7)
PLACE = Place(latitude=40.5, longitude=-74.57)
SOIL: Soil = "loam"
WORK_HOURS = 6


def climate_of(record: TrueWeather) -> Climate:
    """The climate of a record, as the service makes it."""
    names = ("air_temp_c", "dew_point_c", "wind_m_s", "gust_m_s", "rain_mm")
    hours = (
        ObservedHour(start_at=record.start_at + at * HOUR, **{name: getattr(record, name)[at] for name in names})
        for at in range(record.hours)
    )
    return climate_from_hours(hours, zone=ZoneInfo(record.zone))


def measured(record: TrueWeather, now: datetime) -> HourlySeries:
    """The ten days before a moment."""
    cut = record.between(now - timedelta(days=10), now)
    unknown = (None,) * cut.hours
    return HourlySeries(
        source="observed", issued_at=now, start_at=cut.start_at, air_temp_c=cut.air_temp_c,
        dew_point_c=cut.dew_point_c, wind_m_s=cut.wind_m_s, gust_m_s=cut.gust_m_s, rain_chance=unknown,
        rain_mm=cut.rain_mm, thunder_chance=unknown, sky_cover=unknown,
    )  # fmt: skip


def mornings(work: str, *, first: date, weeks: int) -> None:
    """Print the table for one kind of work (exposure) of ``WORK_HOURS``, over weeks of the record from a Monday on."""
    head = read_company()["sky"]
    record, source = recorded_weather(head["record"], ZONE), replay(head["record"], ZONE, 0, head["seed"])
    climate, truth, exposure = climate_of(record), Truth(record), load_exposures()[work]
    seen: Counter[tuple[int, bool]] = Counter()
    forbidden: Counter[tuple[int, bool]] = Counter()
    limits: Counter[tuple[int, str]] = Counter()
    for at in (at for at in range(weeks * 7) if at % 7 < 5):
        on = first + timedelta(days=at)
        start_at = datetime(on.year, on.month, on.day, 7, tzinfo=ZoneInfo(ZONE))
        end_at = start_at + WORK_HOURS * HOUR
        fine = not truth.happened(exposure, SOIL, start_at, end_at).by
        for lead in LEADS:
            now = start_at - timedelta(days=lead, hours=1)
            judge = Judge(
                series=source.fetch(PLACE, now).series, climate=climate, zone=ZoneInfo(ZONE),
                observed=measured(record, now),
            )  # fmt: skip
            found = judge.start(exposure, start_at=start_at, end_at=end_at, soil=SOIL)
            seen[lead, fine] += 1
            forbidden[lead, fine] += found.forbidden
            limits.update((lead, name) for name in _limits(found) if fine)
    print(f"{exposure.title}: {seen[1, True]} fine mornings, {seen[1, False]} that were not")
    print("days before  fine and forbidden  not fine and forbidden  what forbade the fine ones")
    for lead in LEADS:
        by = ", ".join(f"{name} {count}" for (day, name), count in limits.most_common() if day == lead)
        well, badly = (forbidden[lead, kind] / max(1, seen[lead, kind]) for kind in (True, False))
        print(f"{lead:>11}  {well:>18.0%}  {badly:>22.0%}  {by}")


def _limits(found: StartJudgement) -> list[str]:
    if not found.forbidden:
        return []
    return [part.limit for part in found.parts if part.forbids] or ["chance of rain"]
