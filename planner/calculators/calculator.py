"""A calculator: what it asks, what it computes, and how its refusals are put in the words of who asked."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.science.sources import COMMON_PRACTICE, SOURCES
from planner.calculators.answering.answer import Answer
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, AskRows, Choose, Input, Values, bounds_shown
from planner.calculators.asking.reading import read_choice, read_number, read_rows
from planner.calculators.asking.units import SHOWN, Unit

UNIT_ENDING = "_unit"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was typed, read: values as far as they could be read, and every problem."""

    values: Values
    problems: tuple[CannotDo, ...]


@dataclass(slots=True)
class Collected:
    """What was read so far."""

    numbers: dict[str, float] = field(default_factory=dict)
    units: dict[str, Unit] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    rows: dict[str, tuple[tuple[float, ...], ...]] = field(default_factory=dict)
    unused: list[str] = field(default_factory=list)

    def take(self, one: Input, typed: str, unit: str) -> None:
        """Read one input; raises ``CannotDo`` where it is wrong or missing."""
        if isinstance(one, Choose):
            self.choices[one.name] = read_choice(one, typed)
        elif not typed:
            if not one.optional:
                raise CannotDo("calculator.missing", field=one.name, label=one.label, sample=one.sample)
        elif isinstance(one, AskRows):
            self.rows[one.name] = read_rows(one, typed)
        else:
            self.numbers[one.name], self.units[one.name] = read_number(one, typed, unit)

    def read(self) -> Values:
        """All of it."""
        return Values(
            numbers=self.numbers,
            units=self.units,
            choices=self.choices,
            rows=self.rows,
            unused=tuple(self.unused),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Derived:
    """A number computed on the way: what a formula calls it, its label, and the input to look at when it is refused."""

    formula_name: str
    label: str
    field: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculator:
    """One question with its inputs and its computation.

    Attributes
    ----------
    name : as in the command and the address of its page.
    title, question : for the list and the head of the page.
    inputs : what is asked, in the order of the form.
    compute : from values to an answer; raises ``CannotDo``.
    derived : numbers that nobody typed but a formula may refuse.
    orders : whether the answer is a list to order, which can be had as a table.
    """

    name: str
    title: str
    question: str
    inputs: tuple[Input, ...]
    compute: Callable[[Values], Answer]
    derived: tuple[Derived, ...] = ()
    orders: bool = False

    @property
    def asks(self) -> tuple[Ask, ...]:
        """The numbers asked for."""
        return tuple(one for one in self.inputs if isinstance(one, Ask))

    def known(self) -> frozenset[str]:
        """Every name that may be given: the inputs, and the unit chosen beside each number."""
        return frozenset(one.name for one in self.inputs) | {one.name + UNIT_ENDING for one in self.asks}

    def examples(self) -> Mapping[str, str]:
        """What to type for the example a page starts with."""
        return {one.name: one.example or one.default for one in self.inputs}

    def read(self, given: Mapping[str, str]) -> Reading:
        """Read what was typed; blank is the same as not given."""
        values, problems = Collected(), list(self._unknown(given))
        for one in self.inputs:
            typed = given.get(one.name, "").strip()
            if not isinstance(one, Choose) and one.when is not None and not one.when.holds(values.choices):
                values.unused += [one.label] if typed else []
                continue
            # A default is written in its own unit, whatever unit stands beside the empty field.
            unit = given.get(one.name + UNIT_ENDING, "") if typed else ""
            try:
                values.take(one, typed or one.default, unit)
            except CannotDo as problem:
                problems.append(problem)
        return Reading(values=values.read(), problems=tuple(problems))

    def _unknown(self, given: Mapping[str, str]) -> Iterator[CannotDo]:
        names = ", ".join(one.name for one in self.inputs)
        for unknown in sorted(given.keys() - self.known()):
            yield CannotDo("calculator.no_such_input", field=unknown, given=unknown, known=names)

    def answer(self, given: Mapping[str, str]) -> Answer:
        """Answer, or refuse with the first problem.

        Parameters
        ----------
        given : mapping
            What was typed, by name of the input; ``<name>_unit`` is the unit chosen beside a number.

        Raises
        ------
        CannotDo
            An input is missing, no number, negative, in a wrong unit, or does not fit the others.
        OutsideValidRange
            A formula was asked outside its range.
        """
        reading = self.read(given)
        if reading.problems:
            raise reading.problems[0]
        return self.answer_for(reading.values)

    def answer_for(self, values: Values) -> Answer:
        """Answer for values that were read without a problem.

        Raises
        ------
        CannotDo, OutsideValidRange
            As ``answer``.
        """
        try:
            answer = self.compute(values)
        except OutsideValidRange as refusal:
            raise self._in_their_units(refusal, values) from refusal
        except CannotDo as refusal:
            ask = self._asked_as(refusal.field)
            raise CannotDo(refusal.code, field=ask.name if ask else refusal.field, **refusal.facts) from refusal
        unused = (f"Not used for what was chosen: {', '.join(values.unused)}.",) if values.unused else ()
        return replace(answer, valid=self.valid(values), formula=answer.formula + unused)

    def valid(self, values: Values) -> tuple[str, ...]:
        """The range of every number that counts for what was chosen, in words, under the source it comes from."""
        by_source: dict[str, list[str]] = {}
        for ask in self._counting(values):
            by_source.setdefault(ask.source, []).append(f"{ask.label[0].lower()}{ask.label[1:]} {ask.allowed()}")
        return tuple(
            f"{(said := '; '.join(ranges))[0].upper()}{said[1:]} ({said_source(source)})"
            for source, ranges in by_source.items()
        )

    def _counting(self, values: Values) -> Iterator[Ask]:
        for one in self.inputs:
            if isinstance(one, Choose) or (one.when is not None and not one.when.holds(values.choices)):
                continue
            if isinstance(one, Ask):
                yield one
            elif values.rows_of(one.name):
                yield from one.columns

    def _in_their_units(self, refusal: OutsideValidRange, values: Values) -> OutsideValidRange:
        facts = {name: str(fact) for name, fact in refusal.facts.items()}
        derived = next((one for one in self.derived if one.formula_name == refusal.field), None)
        ask = self._asked_as(refusal.field)
        if derived is None and ask is not None:
            label, field, unit = ask.label, ask.name, values.units.get(ask.name, ask.unit)
            symbol, convert = unit.symbol, unit.from_si
        else:
            label = derived.label if derived else facts["name"].replace("_", " ")
            field = derived.field if derived else refusal.field
            symbol, convert = SHOWN.get(facts["unit"], (facts["unit"], float))
        low, high = bounds_shown(convert(float(facts["low"])), convert(float(facts["high"])))
        source = facts["source"]
        told = OutsideValidRange(
            name=label,
            value=f"{convert(float(facts['value'])):,.6g}",
            low=low,
            high=high,
            unit=symbol,
            source=said_source(source) if source in SOURCES or source == COMMON_PRACTICE else source,
        )
        told.field = field
        return told

    def _asked_as(self, formula_name: str) -> Ask | None:
        return next((ask for ask in self.asks if formula_name == ask.name or formula_name in ask.formula_names), None)
