"""What the forecasts are worth: source, issue time, age in words, the days ahead, and every hour of one day."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from jobs.domain.facts import SiteFacts
from planner.dayplans.domain.sky import SOURCES, age_words
from planner.dayplans.presenters.hours import SkyRow
from planner.dayplans.presenters.measures import gettext_noop
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.outside.providers import PROVIDERS
from planner.web.presenters.day_scale import DayColumn, DayScale, short_day
from planner.web.presenters.pages.hours import hour_rows, hours_of_day
from planner.web.presenters.pools.half_days import half_days
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.skies.half_sky import SkyCell, SkyLine, draw_half_days, list_half_days
from planner.web.presenters.skies.sky import HourSky, draw_hours
from planner.web.presenters.watched.alarms import Alarms, FailureFacts, present_alarms
from planner.web.presenters.watched.worth import SourceWorth, WorthView, present_worth

DAYS = 10
PX_PER_DAY = 121.0
HEAD, FALL = 54.0, 92.0

MEANS = {
    Freshness.FRESH: gettext_noop("Counted as it stands."),
    Freshness.AGEING: gettext_noop("Older than usual: chances are widened a little until the next run."),
    Freshness.STALE: gettext_noop("Stale: chances are widened toward past years, and nothing is moved by itself."),
    Freshness.DOWN: gettext_noop("No forecast has come for more than a day: past years stand in. Call the office."),
}
FRESHNESS = {
    Freshness.FRESH: gettext_noop("fresh"),
    Freshness.AGEING: gettext_noop("ageing"),
    Freshness.STALE: gettext_noop("stale"),
    Freshness.DOWN: gettext_noop("down"),
}
CLASSES = {
    Freshness.FRESH: "clear",
    Freshness.AGEING: "waiting",
    Freshness.STALE: "prepare",
    Freshness.DOWN: "failed",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RunFacts:
    """One stored forecast run."""

    id: int
    source: str
    issued_at: datetime
    fetched_at: datetime
    checked_at: datetime
    horizon_end_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteChoice:
    name: str
    id: int
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DayChoice:
    words: str
    iso: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfSky:
    """The days ahead over one place: context ``half`` of ``planner/drawings/half_sky.html``."""

    name: str
    width: float
    height: float
    head: float
    fall: float
    columns: tuple[DayColumn, ...]
    cells: tuple[SkyCell, ...]
    rows: tuple[SkyLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """A run with the sites it serves. ``mark`` and ``word``: its freshness; ``means``: what follows from it.

    ``credit`` is the line its provider asks for; ``instead`` and ``corrected`` say that it stands in for another, and
    that its chances are corrected; empty where not.
    """

    sites: str
    source: str
    credit: str
    instead: str
    corrected: str
    issued: str
    age: str
    fetched: str
    checked: str
    reaches: str
    mark: str
    word: str
    means: str
    half: HalfSky


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyPage:
    """Context ``page`` of ``planner/sky.html``; ``all_fresh``: every site has a forecast that counts as it stands."""

    runs: tuple[RunView, ...]
    all_fresh: bool
    alarms: Alarms
    worth: tuple[WorthView, ...]
    sites: tuple[SiteChoice, ...]
    days: tuple[DayChoice, ...]
    site: str
    site_id: int
    day: str
    day_iso: str
    drawing: HourSky | None
    hours: tuple[SkyRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """What stands behind the forecasts: who is asked first, what fails, and what they were worth."""

    first: str
    asks_warnings: bool
    failures: tuple[FailureFacts, ...] = ()
    worth: tuple[SourceWorth, ...] = ()


def present_sky(
    reader: Reader, *, runs: Mapping[int, RunFacts], behind: Behind, site_id: int | None, on: date | None
) -> SkyPage:
    """Every run with its sites, and the hours of one site on one day."""
    sites = {task.site.id: task.site for _, task in reader.tasks.values()}
    ordered = sorted(sites.values(), key=lambda site: (site.name, site.id))
    groups: dict[int, list[SiteFacts]] = {}
    for site in ordered:
        sky = reader.world.skies.get(site.id)
        groups.setdefault(sky.run if sky is not None else 0, []).append(site)
    chosen = sites.get(site_id) if site_id is not None else None
    chosen = chosen or (ordered[0] if ordered else None)
    day = on or reader.today
    hours = hours_of_day(reader, chosen, day) if chosen is not None else ()
    shown = tuple(_run(reader, runs.get(run), members, behind) for run, members in groups.items())
    return SkyPage(
        runs=shown,
        all_fresh=all(one.mark == CLASSES[Freshness.FRESH] and not one.instead for one in shown),
        alarms=present_alarms(reader, ordered, behind.failures, asks_warnings=behind.asks_warnings),
        worth=present_worth(behind.worth, reader.gettext),
        sites=tuple(SiteChoice(name=one.name, id=one.id, chosen=one == chosen) for one in ordered),
        days=tuple(_day_choice(reader, reader.today + timedelta(days=at), day) for at in range(8)),
        site=chosen.name if chosen is not None else "",
        site_id=chosen.id if chosen is not None else 0,
        day=short_day(day, reader.gettext),
        day_iso=day.isoformat(),
        drawing=draw_hours(hours, zone=reader.zone, gettext=reader.gettext),
        hours=hour_rows(reader, hours),
    )


def _day_choice(reader: Reader, on: date, chosen: date) -> DayChoice:
    return DayChoice(words=short_day(on, reader.gettext), iso=on.isoformat(), chosen=on == chosen)


def _run(reader: Reader, run: RunFacts | None, sites: list[SiteFacts], behind: Behind) -> RunView:
    gettext = reader.gettext
    sky = reader.world.skies.get(sites[0].id)
    freshness = sky.freshness if sky is not None else Freshness.DOWN
    half = _half(reader, sites[0])
    names = ", ".join(site.name for site in sites)
    mark, word, means = CLASSES[freshness], gettext(FRESHNESS[freshness]), gettext(MEANS[freshness])
    if run is None:
        return RunView(
            sites=names,
            source=gettext("no forecast"),
            credit="",
            instead="",
            corrected="",
            issued="",
            age=gettext("age not known"),
            fetched="",
            checked="",
            reaches="",
            mark=mark,
            word=word,
            means=means,
            half=half,
        )
    return RunView(
        sites=names,
        source=gettext(SOURCES.get(run.source, PROVIDERS[run.source].title)),
        credit=gettext(PROVIDERS[run.source].credit),
        instead=gettext("Stands in for {source}, which has nothing usable.").format(source=gettext(behind.first))
        if sky is not None and sky.stands_in
        else "",
        corrected=gettext("Chances of rain are corrected by what came of {count} half-days.").format(
            count=f"{sky.corrected_by:,}"
        )
        if sky is not None and sky.corrected_by
        else "",
        issued=reader.when(run.issued_at),
        age=age_words(run.issued_at, reader.world.as_of),
        fetched=reader.when(run.fetched_at),
        checked=reader.when(run.checked_at),
        reaches=reader.when(run.horizon_end_at),
        mark=mark,
        word=word,
        means=means,
        half=half,
    )


def _half(reader: Reader, site: SiteFacts) -> HalfSky:
    scale = DayScale(from_on=reader.today, days=DAYS, zone=reader.zone, px_per_day=PX_PER_DAY)
    halves = half_days(
        reader.world.skies.get(site.id), reader.world.climate, zone=reader.zone, from_on=reader.today, days=DAYS
    )
    return HalfSky(
        name=site.name,
        width=scale.right,
        height=HEAD + FALL + 4,
        head=HEAD,
        fall=FALL,
        columns=tuple(scale.columns(reader.gettext)),
        cells=tuple(draw_half_days(halves, scale, FALL)),
        rows=tuple(list_half_days(halves, scale, reader.gettext)),
    )
