"""The watch: every exposed start of the next days with its verdict and its dollars, and what stands and can be hurt."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from jobs.words import sentence_for
from planner.dayplans.presenters.hours import SkyRow
from planner.dayplans.presenters.measures import clock, gettext_noop, number
from planner.dayplans.presenters.measures import day as day_words
from planner.forecast.domain.freshness import Freshness
from planner.watch.domain.report import (
    OfficialWarning,
    StartWatch,
    Verdict,
    WatchReport,
)
from planner.watch.presenters.text import amount, bought_words
from planner.web.presenters.pages.hours import hour_rows, hours_between
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.skies.sky import HourSky, SkyMark, draw_hours
from planner.web.presenters.trades import LegendEntry, legend
from planner.web.presenters.watched.readings import TROUBLED, LineRow, ReadingRow, present_line, present_reading
from planner.web.presenters.watched.standing import StandingView, calm, present_standing
from planner.web.presenters.watched.told import Kept, ToldView, present_told

BEFORE, AFTER, SHORTEST, LONGEST = timedelta(hours=2), timedelta(hours=2), timedelta(hours=16), timedelta(hours=22)
# Dollars of moving below this are lost in the estimate. Common practice, no source.
LEAST_SAID_DOLLARS = 20
MARKS = {Verdict.NO_LIMIT: "clear", Verdict.PREPARE: "prepare", Verdict.MOVE: "move", Verdict.UNKNOWN: "unknown"}
VERDICTS = {
    Verdict.NO_LIMIT: gettext_noop("no limit reached"),
    Verdict.PREPARE: gettext_noop("prepare"),
    Verdict.MOVE: gettext_noop("move"),
    Verdict.UNKNOWN: gettext_noop("unknown"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureView:
    title: str
    price: str
    hours: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WarningView:
    """A public warning: what is warned of, who says so, when it holds, what it asks of this work (or nothing)."""

    headline: str
    sender: str
    span: str
    asks: str
    instruction: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StartView:
    """One start. ``mark`` is the verdict's class, ``verdict`` its word, ``because`` the reason in a sentence.

    ``quiet``: nothing of it asks for anybody. ``pressing``: it must not go on as planned, or nobody has said what was
    asked. ``moving`` is empty where the dollars of moving say nothing.
    """

    task: int
    title: str
    pool: str
    where: str
    starts: str
    ends: str
    prepared: str
    crews: str
    mark: str
    verdict: str
    short: str
    because: str
    since: str
    warnings: tuple[WarningView, ...]
    told: tuple[ToldView, ...]
    unreported: bool
    quiet: bool
    pressing: bool
    chance: str
    safe: str
    known: str
    going: str
    moving: str
    move_to: str
    deadline: str
    fee_lost: bool
    sky: HourSky | None
    hours: tuple[SkyRow, ...]
    measures: tuple[MeasureView, ...]
    troubled: tuple[ReadingRow, ...]
    readings: tuple[ReadingRow, ...]
    drying: tuple[LineRow, ...]
    arithmetic: tuple[LineRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastAge:
    sites: str
    words: str
    old: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PoursPage:
    """Context ``page`` of ``planner/pours.html``."""

    plan_number: int
    phone: str
    ages: tuple[ForecastAge, ...]
    asking: tuple[StartView, ...]
    quiet: tuple[StartView, ...]
    standing: tuple[StandingView, ...]
    calm: tuple[str, ...]
    last_on: str
    free: str
    goes_home_today: bool
    weekend: tuple[StandingView, ...]
    weekend_calm: tuple[str, ...]
    told: tuple[ToldView, ...]
    unread: int
    legend: tuple[LegendEntry, ...]
    defers: str


def present_pours(reader: Reader, links: Links, report: WatchReport, kept: Kept) -> PoursPage:
    """The page of one watch; ``kept`` is what was stored of earlier ones."""
    stretch = report.stretch
    told = present_told(reader, kept.warned)
    shown = {start.task for start in report.starts}
    starts = [_start(reader, links, start, kept, told) for start in report.starts]
    concerned = [reader.tasks[start.task][1] for start in report.starts]
    return PoursPage(
        plan_number=report.plan_number,
        phone=report.phone,
        ages=tuple(_ages(reader, report)),
        asking=tuple(one for one in starts if not one.quiet),
        quiet=tuple(one for one in starts if one.quiet),
        standing=present_standing(reader, report.states),
        calm=calm(report.states),
        last_on=day_words(stretch.last_on, reader.gettext) if stretch is not None else "",
        free=reader.gettext("Nobody works from {start} to {end}.").format(
            start=reader.when(stretch.from_at), end=reader.when(stretch.until_at)
        )
        if stretch is not None
        else "",
        goes_home_today=stretch is not None and stretch.last_on == reader.today,
        weekend=present_standing(reader, report.weekend),
        weekend_calm=calm(report.weekend),
        told=tuple(one for one in told if one.task not in shown),
        unread=sum(one.may_note for one in told),
        legend=legend((task.trade, reader.trade_title(task.trade)) for task in concerned),
        defers=sentence_for("watch.defers", {})[0],
    )


def _ages(reader: Reader, report: WatchReport) -> Iterator[ForecastAge]:
    gettext = reader.gettext
    by_age: dict[tuple[str, str], list[str]] = {}
    for one in report.forecasts:
        issued = reader.when(one.issued_at) if one.issued_at is not None else ""
        by_age.setdefault((one.freshness.value, issued), []).append(one.site)
    for (freshness, issued), sites in by_age.items():
        if not issued:
            words = gettext("no forecast is known")
        else:
            words = gettext("forecast {freshness}, issued {when}").format(freshness=gettext(freshness), when=issued)
        yield ForecastAge(
            sites=", ".join(sites), words=words, old=freshness in (Freshness.STALE.value, Freshness.DOWN.value)
        )


def _start(reader: Reader, links: Links, start: StartWatch, kept: Kept, told: Sequence[ToldView]) -> StartView:
    job, task = reader.tasks[start.task]
    begins = start.start_at - BEFORE
    until = min(max(start.safe_at + AFTER, start.end_at + AFTER, begins + SHORTEST), begins + LONGEST)
    hours = hours_between(reader, task.site, begins, until)
    mark = SkyMark(
        title=start.title,
        trade=task.trade,
        from_at=start.work_at,
        until_at=start.end_at,
        safe_at=max(start.safe_at, start.end_at),
    )
    unread = any(one.task == start.task and one.may_note for one in told)
    return StartView(
        task=start.task,
        title=start.title,
        pool=start.job or start.site,
        where=links.task(job.id, task.key),
        starts=reader.when(start.start_at),
        ends=_until(reader, start),
        prepared=bought_words(start, reader.time),
        crews=", ".join(reader.crews[key].name if key in reader.crews else key for key in start.crews),
        mark=MARKS[start.verdict],
        verdict=reader.gettext(VERDICTS[start.verdict]),
        short=_short(reader, start),
        because=_because(reader, start),
        since=_since(reader, start, kept),
        warnings=tuple(_warning(reader, one) for one in start.warnings),
        told=tuple(one for one in told if one.task == start.task),
        unreported=start.unreported,
        quiet=_is_quiet(start) and not unread,
        pressing=start.verdict is Verdict.MOVE or start.unreported or bool(start.warnings) or unread,
        chance=amount(start.chance_hit, "share"),
        safe=reader.when(start.safe_at),
        known=amount(start.known_share, "share"),
        going=amount(start.going_dollars, "dollars"),
        moving=_moving(reader, start),
        move_to=reader.when(start.move_to) if start.move_to is not None else "",
        deadline=_deadline(reader, start),
        fee_lost=start.fee_lost,
        sky=draw_hours(hours, zone=reader.zone, marks=(mark,), gettext=reader.gettext),
        hours=hour_rows(reader, hours),
        measures=tuple(
            MeasureView(
                title=one.title,
                price=amount(one.dollars, "dollars"),
                hours=amount(one.hours, "h") if one.hours else "",
            )
            for one in start.measures
        ),
        troubled=tuple(
            present_reading(reader, one) for state in TROUBLED for one in start.readings if one.state == state
        ),
        readings=tuple(present_reading(reader, one) for one in start.readings if one.state not in TROUBLED),
        drying=_drying(reader, start),
        arithmetic=tuple(present_line(reader, one) for one in start.arithmetic),
    )


def _short(reader: Reader, start: StartWatch) -> str:
    """What to do, in a few words: where it should go, or what to prepare."""
    gettext = reader.gettext
    if start.verdict is Verdict.MOVE and start.move_to is not None:
        return gettext("Better: {to}.").format(to=reader.when(start.move_to))
    if start.verdict is Verdict.UNKNOWN:
        return gettext("Call the office.")
    if start.verdict is Verdict.PREPARE:
        return "; ".join(one.title for one in start.measures) or gettext("Look again before it starts.")
    return ""


def _is_quiet(start: StartWatch) -> bool:
    return start.verdict is Verdict.NO_LIMIT and not start.unreported and not start.warnings


def _moving(reader: Reader, start: StartWatch) -> str:
    """What moving costs; a few dollars are said as few where it is on the table, else not at all."""
    if start.moving_dollars >= LEAST_SAID_DOLLARS:
        return amount(start.moving_dollars, "dollars")
    if _is_quiet(start):
        return ""
    return reader.gettext("under {dollars}").format(dollars=amount(LEAST_SAID_DOLLARS, "dollars"))


def _until(reader: Reader, start: StartWatch) -> str:
    if reader.date_of(start.start_at) == reader.date_of(start.end_at):
        return clock(start.end_at, reader.zone, reader.gettext)
    return reader.when(start.end_at)


def _because(reader: Reader, start: StartWatch) -> str:
    gettext = reader.gettext
    if start.verdict is Verdict.UNKNOWN:
        said = gettext("{reason} Call the office; nothing is moved by itself.").format(reason=_unknown(reader, start))
    elif start.raised:
        names = ", ".join(one.event for one in start.warnings if one.least is start.verdict)
        said = gettext("An official warning is out: {names}.").format(names=names)
    elif start.verdict is Verdict.MOVE and start.lifted:
        said = gettext("The forecast forbids it as it is, and preparing for it costs more than moving.")
    elif start.verdict is Verdict.MOVE and start.forbidden:
        said = gettext("The forecast forbids it.")
    elif start.verdict is Verdict.MOVE:
        said = gettext("Going costs more than moving.")
    elif start.verdict is Verdict.PREPARE and not start.measures:
        said = gettext("It is near a limit, and nothing to prepare is worth its price: look again before it starts.")
    elif start.verdict is Verdict.PREPARE and start.lifted:
        said = gettext("The forecast forbids it as it is; prepared for {price}, it may go.").format(
            price=amount(sum(one.dollars for one in start.measures), "dollars")
        )
    elif start.verdict is Verdict.PREPARE:
        said = gettext("Going, prepared, is the cheaper way.")
    else:
        said = gettext("Look again with the next forecast.")
    if start.eased_not_enough and not start.raised:
        return f"{said} {gettext('The forecast has eased, not yet by enough to count on.')}"
    return said


def _since(reader: Reader, start: StartWatch, kept: Kept) -> str:
    """Since when the verdict stands, where it was kept; not for one that has just become another."""
    since_at = kept.since.get((start.task, start.start_at, start.verdict.value))
    return reader.gettext("So since {when}.").format(when=reader.when(since_at)) if since_at is not None else ""


def _warning(reader: Reader, one: OfficialWarning) -> WarningView:
    gettext = reader.gettext
    return WarningView(
        headline=one.headline,
        sender=one.sender,
        span=gettext("{start} to {end}").format(start=reader.when(one.starts_at), end=reader.when(one.until_at)),
        asks=sentence_for(one.reason, {})[0] if one.reason else "",
        instruction=one.instruction,
    )


def _unknown(reader: Reader, start: StartWatch) -> str:
    if start.freshness is Freshness.DOWN:
        return reader.gettext("There is no forecast.")
    if start.freshness is Freshness.STALE:
        return reader.gettext("The forecast is stale.")
    return reader.gettext("The forecast leaves hours out.")


def _deadline(reader: Reader, start: StartWatch) -> str:
    gettext = reader.gettext
    if start.free_until is not None and start.fee_lost:
        return gettext("A fee is due already; the next one falls due {when}.").format(
            when=reader.when(start.free_until)
        )
    if start.free_until is not None:
        return gettext("Moving is free of fees until {when}.").format(when=reader.when(start.free_until))
    if start.fee_lost:
        return gettext("A booking can no longer be called off free of charge.")
    return gettext("No booking costs a fee if it moves.")


def _drying(reader: Reader, start: StartWatch) -> tuple[LineRow, ...]:
    unknown = reader.gettext("not known")
    return tuple(
        LineRow(
            label=reader.when(one.at),
            value=unknown if one.rate_kg_m2_h is None else number(one.rate_kg_m2_h, "kg_m2_h"),
            source=""
            if one.low_kg_m2_h is None or one.high_kg_m2_h is None
            else f"{number(one.low_kg_m2_h, 'kg_m2_h')} – {number(one.high_kg_m2_h, 'kg_m2_h')}",
        )
        for one in start.drying
    )
