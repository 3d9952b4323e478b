"""What stands and weather can hurt: each kind of work with what protects it once, then the sites it stands on."""

from collections.abc import Sequence
from dataclasses import dataclass

from jobs.words import sentence_for
from planner.watch.domain.report import StateAtRisk
from planner.watch.presenters.text import WORDS_OF_STATE
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.watched.readings import TROUBLED, ReadingRow, present_line, present_reading


@dataclass(frozen=True, slots=True, kw_only=True)
class StateView:
    """One site. ``worst`` is the reading that comes nearest to its limit, in a few words."""

    pool: str
    since: str
    state: str
    word: str
    worst: str
    readings: tuple[ReadingRow, ...]
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingView:
    """One kind of work that stands, what protects it, and who could."""

    what: str
    protect: str
    crews: str
    states: tuple[StateView, ...]


def present_standing(reader: Reader, states: Sequence[StateAtRisk]) -> tuple[StandingView, ...]:
    """Those near a limit, past it or unknown, by kind, the kind with the worst first."""
    troubled = sorted((one for one in states if one.state in TROUBLED), key=lambda one: TROUBLED.index(one.state))
    return tuple(
        _kind(reader, [one for one in troubled if one.kind == kind]) for kind in dict.fromkeys(o.kind for o in troubled)
    )


def calm(states: Sequence[StateAtRisk]) -> tuple[str, ...]:
    """Those with no limit near, in a few words each."""
    return tuple(
        f"{one.job or one.site}: {sentence_for(f'watch.state.{one.kind}', {})[0].rstrip('.').lower()}"
        for one in states
        if one.state not in TROUBLED
    )


def _kind(reader: Reader, states: Sequence[StateAtRisk]) -> StandingView:
    what, protect = sentence_for(f"watch.state.{states[0].kind}", {})
    able = dict.fromkeys(crew for one in states for crew in one.crews)
    return StandingView(
        what=what.rstrip("."),
        protect=protect,
        crews=", ".join(able) or reader.gettext("nobody of ours has the trade"),
        states=tuple(_state(reader, one) for one in states),
    )


def _state(reader: Reader, state: StateAtRisk) -> StateView:
    gettext = reader.gettext
    since = gettext("planned from {when}") if state.expected else gettext("since {when}")
    caution = ""
    if state.caution is not None:
        row = present_line(reader, state.caution)
        caution = f"{row.label}: {row.value} ({row.source})"
    readings = tuple(present_reading(reader, one) for one in state.readings)
    return StateView(
        pool=state.job or state.site,
        since=since.format(when=reader.when(state.from_at)),
        state=state.state,
        word=gettext(WORDS_OF_STATE[state.state]),
        worst=next((_worst(reader, one) for one in readings if one.state == state.state), ""),
        readings=readings,
        caution=caution,
    )


def _worst(reader: Reader, row: ReadingRow) -> str:
    """The reading in a few words; its chance where there is no amount to compare."""
    gettext = reader.gettext
    said = row.forecast or (gettext("chance {chance}").format(chance=row.chance) if row.chance else "")
    what = row.what[:1].upper() + row.what[1:]
    words = f"{what}: {said}" if said else what
    if row.limit:
        words = gettext("{reading}, limit {limit}").format(reading=words, limit=row.limit)
    return f"{words} ({row.at})" if row.at else words
