"""What came of a trial: the branch as it is and each trial side by side, in dollars and in days."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from planner.plans.asking.wishes import Wish
from planner.web.presenters.pages.trying.layers import PoolLayers, Reached, draw_layers
from planner.web.presenters.pages.trying.words import wish_words
from planner.web.presenters.pools.reader import Reader

AS_IT_IS = "0"
MOST_DRAWN = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialFacts:
    """A stored trial: ``outcomes`` as they were kept, the branch as it is first."""

    id: int
    asked_by: str
    asked_at: datetime
    plan_number: int
    state: str
    says: str
    wishes: tuple[tuple[Wish, ...], ...]
    outcomes: tuple[Mapping[str, Any], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One plan: ``wishes`` are what was tried in it; ``clashes`` say why there is none."""

    letter: str
    title: str
    wishes: tuple[str, ...]
    planned: bool
    clashes: tuple[str, ...]
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    words: str
    change: str
    worse: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareRow:
    title: str
    cells: tuple[Cell, ...]
    total: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialView:
    """Context ``trial`` of ``planner/try/trial.html``."""

    id: int
    head: str
    state: str
    says: str
    overtaken: bool
    columns: tuple[Column, ...] = ()
    dollars: tuple[CompareRow, ...] = ()
    handovers: tuple[CompareRow, ...] = ()
    drawn: tuple[PoolLayers, ...] = ()
    not_drawn: int = 0


def present_trial(reader: Reader, facts: TrialFacts, *, in_force: int) -> TrialView:
    """A stored trial as a page shows it."""
    say = reader.gettext
    head = say("Asked by {who}, {when}, against plan {number}").format(
        who=facts.asked_by, when=reader.when(facts.asked_at), number=facts.plan_number
    )
    titles = tuple("; ".join(wish_words(reader, wish) for wish in wishes) for wishes in facts.wishes)
    view = _Compared(reader, facts)
    if not facts.outcomes:
        columns = tuple(
            Column(letter=letter, title=title, wishes=(), planned=False, clashes=(), verdict="")
            for letter, title in zip("ABC", titles, strict=False)
        )
        return TrialView(id=facts.id, head=head, state=facts.state, says=facts.says, overtaken=False, columns=columns)
    drawn = tuple(view.drawn())
    return TrialView(
        id=facts.id,
        head=head,
        state=facts.state,
        says=facts.says,
        overtaken=facts.plan_number != in_force,
        columns=view.columns(),
        dollars=view.dollars(),
        handovers=view.handovers(),
        drawn=drawn[:MOST_DRAWN],
        not_drawn=max(0, len(drawn) - MOST_DRAWN),
    )


class _Compared:
    """The outcomes of one trial against the branch as it is."""

    def __init__(self, reader: Reader, facts: TrialFacts) -> None:
        self._reader = reader
        self._facts = facts
        self._outcomes = facts.outcomes
        self._days = [
            {pool: date.fromisoformat(text) for pool, text in one["handovers"].items()} for one in facts.outcomes
        ]

    def columns(self) -> tuple[Column, ...]:
        say = self._reader.gettext
        found = []
        for at, one in enumerate(self._outcomes):
            wishes = self._facts.wishes[at - 1] if at else ()
            found.append(
                Column(
                    letter=" ABC"[at].strip() or AS_IT_IS,
                    title=say("As it is") if not at else say("Trial {letter}").format(letter=" ABC"[at]),
                    wishes=tuple(wish_words(self._reader, wish) for wish in wishes),
                    planned=one["planned"],
                    clashes=tuple(one["clashes"]),
                    verdict=self._verdict(at) if at else "",
                )
            )
        return tuple(found)

    def dollars(self) -> tuple[CompareRow, ...]:
        say = self._reader.gettext
        terms = (
            ("late", say("Late hand-overs")),
            ("weather", say("Expected loss to weather")),
            ("prepare", say("Preparing for the weather")),
            ("paid", say("Overtime and Saturdays")),
            ("crews", say("Driving")),
            ("open_days", say("Open digs")),
            ("moves", say("Moving what people were told")),
            ("total", say("In all")),
        )
        rows = [
            CompareRow(
                title=words,
                cells=tuple(self._amount(one, term) for one in self._outcomes),
                total=term == "total",
            )
            for term, words in terms
        ]
        counts = (
            ("moved", say("Starts and crews changed")),
            ("told_again", say("Tasks told again")),
            ("crews_told_again", say("Crews told again")),
        )
        rows += [
            CompareRow(
                title=words,
                cells=tuple(
                    Cell(words=str(one[name]) if one["planned"] else say("no plan"), change="", worse=False)
                    for one in self._outcomes
                ),
            )
            for name, words in counts
        ]
        return tuple(rows)

    def handovers(self) -> tuple[CompareRow, ...]:
        return tuple(
            CompareRow(title=pool, cells=tuple(self._day(pool, at) for at in range(len(self._outcomes))))
            for pool in self._pools()
        )

    def drawn(self) -> Sequence[PoolLayers]:
        """Pools whose hand-over is not the same in every plan."""
        until_on = max((on for days in self._days for on in days.values()), default=self._reader.today)
        promised = {job.name: job.promised_on for job in self._reader.world.jobs}
        until_on = max([until_on, *(on for on in promised.values() if on is not None)])
        found = []
        for pool in self._pools():
            ends = [days.get(pool) for days in self._days]
            if len(set(ends)) == 1:
                continue
            cells = [self._day(pool, at) for at in range(len(ends))]
            names = [self._reader.gettext("as it is"), "A", "B", "C"]
            reached = [
                Reached(name=name, on=on, words=" ".join(filter(None, (cell.words, cell.change))))
                for name, on, cell in zip(names, ends, cells, strict=False)
            ]
            found.append(draw_layers(self._reader, pool, reached, until_on=until_on, promised_on=promised.get(pool)))
        return found

    def _pools(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(pool for days in self._days for pool in days))

    def _amount(self, one: Mapping[str, Any], term: str) -> Cell:
        base = self._outcomes[0]
        if not one["planned"]:
            return Cell(words=self._reader.gettext("no plan"), change="", worse=False)
        amount = _of(one, term)
        change = amount - _of(base, term) if base["planned"] else 0
        return Cell(words=_dollars(amount), change=_signed(change, _dollars(abs(change))), worse=change > 0)

    def _day(self, pool: str, at: int) -> Cell:
        say = self._reader.gettext
        on, before = self._days[at].get(pool), self._days[0].get(pool)
        if on is None:
            words = say("not in this plan") if self._outcomes[at]["planned"] else say("no plan")
            return Cell(words=words, change="", worse=False)
        days = (on - before).days if before is not None else 0
        return Cell(words=self._reader.day(on), change=_signed(days, f"{abs(days)} d"), worse=days > 0)

    def _verdict(self, at: int) -> str:
        """One sentence: what the trial costs or saves, and how many pools it moves."""
        say, one, base = self._reader.gettext, self._outcomes[at], self._outcomes[0]
        if not one["planned"]:
            return say("No plan keeps every rule.")
        if not base["planned"]:
            return say("There is a plan; as it is there is none.")
        change = one["dollars"]["total"] - base["dollars"]["total"]
        cost = say("costs as much")
        if change:
            words = say("costs {dollars} more") if change > 0 else say("saves {dollars}")
            cost = words.format(dollars=_dollars(abs(change)))
        days = [
            (self._days[at][pool] - before).days for pool, before in self._days[0].items() if pool in self._days[at]
        ]
        later, sooner = sum(day > 0 for day in days), sum(day < 0 for day in days)
        return say("It {cost}; hand-overs later: {later}, sooner: {sooner}.").format(
            cost=cost, later=later, sooner=sooner
        )


def _of(one: Mapping[str, Any], term: str) -> int:
    """Dollars of a term; a trial kept from before plans bought it knows none of it."""
    amount: int = one["dollars"].get(term, 0)
    return amount


def _dollars(amount: int) -> str:
    return f"${amount:,}"


def _signed(change: int, words: str) -> str:
    return "" if not change else f"{'+' if change > 0 else '−'}{words}"
