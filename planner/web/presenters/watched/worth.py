"""What the forecasts were worth: told beside what came, as a drawing and as a table, source by source."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import sqrt

from planner.dayplans.presenters.measures import Gettext
from planner.forecast.domain.verification.calibration import BANDS, LEAST_WINDOWS, Band, CalibrationMap
from planner.forecast.domain.verification.scores import ReliabilityBin, Tally, reliability_bins, score_of

LEFT, TOP, SIDE, RIGHT, FOOT = 54.0, 14.0, 264.0, 26.0, 56.0
TICKS = (0, 25, 50, 75, 100)
DOT_LEAST, DOT_MOST, DOT_PER_ROOT = 4.0, 15.0, 1.1


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceWorth:
    """One source by its title: counts by day of the lead, and the maps in force."""

    title: str
    tallies: Mapping[int, Sequence[Tally]]
    maps: Mapping[Band, CalibrationMap] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    words: str
    x: float
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One class of told chances; ``words`` says it whole."""

    x: float
    y: float
    radius: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BinRow:
    told: str
    seen: str
    windows: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reliability:
    """Context ``drawn`` of ``planner/sky/reliability.html``: a square from never to always, its diagonal "as told"."""

    title: str
    summary: str
    width: float
    height: float
    left: float
    top: float
    right: float
    foot: float
    ticks: tuple[Tick, ...]
    dots: tuple[Dot, ...]
    corrected: str
    says: str
    rows: tuple[BinRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadRow:
    """One day of the lead; ``skill`` says how much better than always telling the usual share."""

    lead: str
    windows: str
    wet: str
    brier: str
    usual: str
    skill: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthView:
    title: str
    windows: int
    rows: tuple[LeadRow, ...]
    drawings: tuple[Reliability, ...]


def present_worth(sources: Sequence[SourceWorth], gettext: Gettext = str) -> tuple[WorthView, ...]:
    """Every source with a window, in the order given."""
    return tuple(_view(one, gettext) for one in sources if any(one.tallies.values()))


def _view(one: SourceWorth, gettext: Gettext) -> WorthView:
    rows = tuple(row for lead in sorted(one.tallies) if (row := _row(lead, one.tallies[lead], gettext)) is not None)
    drawings = []
    for band, leads in BANDS.items():
        told = [tally for lead in leads for tally in one.tallies.get(lead, ())]
        if told:
            drawings.append(_drawn(one, band, told, gettext))
    return WorthView(
        title=one.title,
        windows=sum(tally.windows for told in one.tallies.values() for tally in told),
        rows=rows,
        drawings=tuple(drawings),
    )


def _row(lead: int, told: Sequence[Tally], gettext: Gettext) -> LeadRow | None:
    score = score_of(told)
    if score is None:
        return None
    if score.skill is None:
        skill = gettext("not known: it was all the same")
    elif score.skill > 0:
        skill = gettext("{share} better").format(share=percent(score.skill))
    else:
        skill = gettext("no better")
    return LeadRow(
        lead=gettext("day {number}").format(number=lead),
        windows=f"{score.windows:,}",
        wet=percent(score.wet_share),
        brier=f"{score.brier:.3f}",
        usual=f"{score.usual:.3f}",
        skill=skill,
    )


def _drawn(one: SourceWorth, band: Band, told: Sequence[Tally], gettext: Gettext) -> Reliability:
    bins = reliability_bins(told)
    windows = sum(each.windows for each in bins)
    made = one.maps.get(band)
    title = gettext("One to three days ahead") if band == "near" else gettext("Four to six days ahead")
    rows = tuple(BinRow(told=percent(each.told), seen=percent(each.seen), windows=f"{each.windows:,}") for each in bins)
    return Reliability(
        title=title,
        summary=gettext("{source}, {title}: {bins}").format(
            source=one.title, title=title.lower(), bins="; ".join(_said(each, gettext) for each in bins)
        ),
        width=LEFT + SIDE + RIGHT,
        height=TOP + SIDE + FOOT,
        left=LEFT,
        top=TOP,
        right=LEFT + SIDE,
        foot=TOP + SIDE,
        ticks=tuple(Tick(words=str(at), x=_x(at / 100), y=_y(at / 100)) for at in TICKS),
        dots=tuple(_dot(each, gettext) for each in bins),
        corrected=" ".join(f"{_x(x):.1f},{_y(y):.1f}" for x, y in made.points) if made is not None else "",
        says=_says(windows, made, gettext),
        rows=rows,
    )


def _says(windows: int, made: CalibrationMap | None, gettext: Gettext) -> str:
    if made is not None:
        said = gettext("Its chances are corrected along the heavy line, made from {count} half-days.")
        return said.format(count=f"{made.windows:,}")
    if windows < LEAST_WINDOWS:
        said = gettext("{count} half-days so far: chances count as told until there are {least}.")
        return said.format(count=f"{windows:,}", least=LEAST_WINDOWS)
    return gettext("Counted as told: over {count} half-days no correction does better.").format(count=f"{windows:,}")


def _dot(each: ReliabilityBin, gettext: Gettext) -> Dot:
    return Dot(
        x=round(_x(each.told), 1),
        y=round(_y(each.seen), 1),
        radius=round(min(DOT_MOST, max(DOT_LEAST, DOT_PER_ROOT * sqrt(each.windows))), 1),
        words=_said(each, gettext),
    )


def _said(each: ReliabilityBin, gettext: Gettext) -> str:
    return gettext("told {told}, came {seen} of {count}").format(
        told=percent(each.told), seen=percent(each.seen), count=f"{each.windows:,}"
    )


def _x(share: float) -> float:
    return LEFT + SIDE * share


def _y(share: float) -> float:
    return TOP + SIDE * (1.0 - share)


def percent(share: float) -> str:
    r"""A share in whole percent, kept on one line.

    >>> percent(0.125), percent(0.0)
    ('13\xa0%', '0\xa0%')
    """
    return f"{int(100 * share + 0.5)}\u00a0%"
