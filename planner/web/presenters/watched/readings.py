"""What a limit reads in the forecast, and a line of arithmetic, as rows of tables."""

from dataclasses import dataclass

from jobs.words import sentence_for
from planner.watch.domain.report import Line, Reading
from planner.watch.presenters.text import WORDS_OF_STATE, amount
from planner.web.presenters.pages.cited import said_source
from planner.web.presenters.pools.reader import Reader

TROUBLED = ("reached", "near", "unknown")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    what: str
    forecast: str
    at: str
    limit: str
    chance: str
    state: str
    word: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRow:
    label: str
    value: str
    source: str


def present_reading(reader: Reader, one: Reading) -> ReadingRow:
    gettext = reader.gettext
    if one.worst is not None:
        forecast = amount(one.worst, one.unit)
    else:
        forecast = gettext("not known") if one.state == "unknown" else ""
    return ReadingRow(
        what=sentence_for(f"watch.limit.{one.limit}", {})[0],
        forecast=forecast,
        at=reader.when(one.worst_at) if one.worst_at is not None else "",
        limit=amount(one.limit_value, one.unit) if one.limit_value is not None else "",
        chance=amount(one.chance, "share") if one.worst is None or one.limit == "rain_total" else "",
        state=one.state,
        word=gettext(WORDS_OF_STATE[one.state]),
        source=said_source(reader.vocabulary, one.source),
    )


def present_line(reader: Reader, line: Line) -> LineRow:
    return LineRow(
        label=line.label, value=amount(line.value, line.unit), source=said_source(reader.vocabulary, line.source)
    )
