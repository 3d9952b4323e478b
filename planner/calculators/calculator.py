"""A calculator: what it asks, what it computes, and how its refusals are put in the words of who asked."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.science.sources import COMMON_PRACTICE, SOURCES
from planner.calculators.answering.answer import Answer
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Input, Values, bounds_shown, read_choice, read_number
from planner.calculators.asking.units import SHOWN, Unit

UNIT_ENDING = "_unit"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was typed, read: values as far as they could be read, and every problem."""

    values: Values
    problems: tuple[CannotDo, ...]


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
    """

    name: str
    title: str
    question: str
    inputs: tuple[Input, ...]
    compute: Callable[[Values], Answer]
    derived: tuple[Derived, ...] = ()

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
        numbers: dict[str, float] = {}
        units: dict[str, Unit] = {}
        choices: dict[str, str] = {}
        problems: list[CannotDo] = []
        for unknown in sorted(given.keys() - self.known()):
            names = ", ".join(one.name for one in self.inputs)
            problems.append(CannotDo("calculator.no_such_input", field=unknown, given=unknown, known=names))
        for one in self.inputs:
            typed = given.get(one.name, "").strip() or one.default
            try:
                if isinstance(one, Choose):
                    choices[one.name] = read_choice(one, typed)
                elif typed:
                    # A default is written in its own unit, whatever unit stands beside the empty field.
                    chosen = given.get(one.name + UNIT_ENDING, "") if given.get(one.name, "").strip() else ""
                    numbers[one.name], units[one.name] = read_number(one, typed, chosen)
                elif not one.optional:
                    raise CannotDo("calculator.missing", field=one.name, label=one.label, sample=one.sample)
            except CannotDo as problem:
                problems.append(problem)
        return Reading(values=Values(numbers=numbers, units=units, choices=choices), problems=tuple(problems))

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
        return replace(answer, valid=self.valid())

    def valid(self) -> tuple[str, ...]:
        """The range of every number asked, in words, under the source it comes from."""
        by_source: dict[str, list[str]] = {}
        for ask in self.asks:
            by_source.setdefault(ask.source, []).append(f"{ask.label.lower()} {ask.allowed()}")
        return tuple(
            f"{(said := '; '.join(ranges))[0].upper()}{said[1:]} ({said_source(source)})"
            for source, ranges in by_source.items()
        )

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
