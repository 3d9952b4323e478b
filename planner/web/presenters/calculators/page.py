"""A calculator's page: its form as typed, its answer, its pictures."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from jobs.domain.errors import CannotDo
from planner.calculators.answering.answer import Answer
from planner.calculators.answering.pictures import (
    Courses,
    Curve,
    Gauge,
    Loads,
    Mesh,
    Picture,
    PoolPlan,
    PoolSection,
    PressureDiagram,
    Spans,
    Uplift,
)
from planner.calculators.asking.inputs import Ask, AskRows, Choose, Input
from planner.calculators.asking.reading import split_typed
from planner.calculators.asking.sizes import USUAL
from planner.calculators.calculator import UNIT_ENDING, Calculator
from planner.web.presenters.calculators.courses import DrawnCourses, draw_courses
from planner.web.presenters.calculators.curve import DrawnCurve, draw_curve
from planner.web.presenters.calculators.gauge import DrawnGauge, draw_gauge
from planner.web.presenters.calculators.loads import DrawnLoads, draw_loads
from planner.web.presenters.calculators.mesh import DrawnMesh, draw_mesh
from planner.web.presenters.calculators.plan import DrawnPlan, draw_plan
from planner.web.presenters.calculators.pressure import DrawnPressure, draw_pressure
from planner.web.presenters.calculators.section import DrawnSection, draw_section
from planner.web.presenters.calculators.spans import DrawnSpans, draw_spans
from planner.web.presenters.calculators.uplift import DrawnUplift, draw_uplift
from planner.web.presenters.pages.supplies.order import OrderRow, order_rows

Drawn = (
    DrawnCourses
    | DrawnCurve
    | DrawnGauge
    | DrawnLoads
    | DrawnMesh
    | DrawnPlan
    | DrawnPressure
    | DrawnSection
    | DrawnSpans
    | DrawnUplift
)


# What is typed on the command line with semicolons stands in lines on the page.
ROW_END = re.compile(r"\s*[;\n]\s*")
LINES_SHOWN = 4
WITH_UNIT = re.compile(r"[A-Za-z°'\";]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A choice of a field, or one of its units."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One input of the form as it was typed, with what is wrong with it; ``lines`` are those of a field for rows."""

    name: str
    label: str
    typed: str
    unit: str
    units: tuple[Option, ...]
    options: tuple[Option, ...]
    hint: str
    needed: bool
    error: str
    lines: int = 0

    @property
    def described_by(self) -> str:
        """Ids of the hint and the error."""
        return " ".join(
            part
            for part in (f"{self.name}-hint" if self.hint else "", f"{self.name}-error" if self.error else "")
            if part
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Fields under one heading, which may be empty; ``folded`` where a heading is enough."""

    title: str
    fields: tuple[Field, ...]
    folded: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """What is wrong, and the field to go to; empty where it is no field's."""

    field: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CalculatorPage:
    """Context ``page`` of ``planner/calculate/page.html``.

    ``asked`` are the numbers that count, for paper, where there is no form; ``query`` asks the same again.
    """

    name: str
    title: str
    question: str
    groups: tuple[Group, ...]
    problems: tuple[Problem, ...]
    answer: Answer | None
    drawn: tuple[Drawn, ...]
    example: bool
    asked: tuple[tuple[str, str], ...] = ()
    order: tuple[OrderRow, ...] = ()
    query: str = ""


def present_calculator(calculator: Calculator, given: Mapping[str, str]) -> CalculatorPage:
    """What was typed with its answer or its problems; with nothing typed, an example that is marked as one.

    Parameters
    ----------
    calculator : Calculator
        Whose page it is.
    given : mapping
        The query, by name of the input and ``<name>_unit``.
    """
    example = not given
    typed = calculator.examples() if example else given
    answer, problems = _answer(calculator, typed)
    errors = {problem.field: str(problem) for problem in reversed(problems)}
    groups = _groups(calculator, typed, errors)
    return CalculatorPage(
        name=calculator.name,
        title=calculator.title,
        question=calculator.question,
        groups=groups,
        problems=tuple(
            Problem(
                field=one.field if any(one.field == asked.name for asked in calculator.inputs) else "", words=str(one)
            )
            for one in problems
        ),
        answer=answer,
        drawn=tuple(_drawn(picture) for picture in answer.pictures) if answer else (),
        example=example,
        asked=tuple(_asked(calculator, groups)) if answer else (),
        order=order_rows(answer.order) if answer else (),
        query=urlencode(typed),
    )


def _answer(calculator: Calculator, typed: Mapping[str, str]) -> tuple[Answer | None, tuple[CannotDo, ...]]:
    reading = calculator.read(typed)
    if reading.problems:
        return None, reading.problems
    try:
        return calculator.answer_for(reading.values), ()
    except CannotDo as problem:
        return None, (problem,)


def _groups(calculator: Calculator, typed: Mapping[str, str], errors: Mapping[str, str]) -> tuple[Group, ...]:
    titles = dict.fromkeys(asked.group for asked in calculator.inputs)
    choices = {one.name: typed.get(one.name, "") or one.default for one in calculator.inputs if isinstance(one, Choose)}
    return tuple(
        Group(
            title=title,
            fields=tuple(_field(asked, typed, errors, counts=_counts(asked, choices)) for asked in asked_here),
            folded=bool(title) and _may_fold(asked_here, typed, choices),
        )
        for title in titles
        if (asked_here := [asked for asked in calculator.inputs if asked.group == title])
    )


def _asked(calculator: Calculator, groups: Sequence[Group]) -> Iterator[tuple[str, str]]:
    """What was asked with, label and value, the usual values among them."""
    fields = {field.name: field for group in groups for field in group.fields}
    choices = {name: field.typed for name, field in fields.items() if field.options}
    for asked in calculator.inputs:
        field = fields[asked.name]
        typed = field.typed or asked.default
        # What nobody typed and is nothing is not worth a line.
        if not typed or typed == asked.default == "0" or not _counts(asked, choices):
            continue
        words = next((one.words for one in field.options if one.chosen), "")
        # Feet and inches are typed with their units, and so are defaults.
        bare = bool(field.typed) and not WITH_UNIT.search(field.typed)
        unit = next((one.words for one in field.units if one.chosen), field.unit) if bare else ""
        yield asked.label, words or f"{typed.replace(chr(10), '; ')} {unit}".strip()


def _may_fold(group: Sequence[Input], typed: Mapping[str, str], choices: Mapping[str, str]) -> bool:
    """Whether a heading is enough: nothing under it counts, or all of it may be left out and nothing was typed."""
    counting = [asked for asked in group if _counts(asked, choices)]
    if not counting:
        return True
    untouched = all(typed.get(asked.name, "").strip() in ("", asked.default) for asked in counting)
    usual = any(asked.group in USUAL for asked in counting)
    return untouched and (usual or any(not isinstance(asked, Choose) and asked.optional for asked in counting))


def _counts(asked: Input, choices: Mapping[str, str]) -> bool:
    return isinstance(asked, Choose) or asked.when is None or asked.when.holds(choices)


def _field(asked: Input, typed: Mapping[str, str], errors: Mapping[str, str], *, counts: bool) -> Field:
    error = errors.get(asked.name, "")
    if isinstance(asked, Choose):
        chosen = typed.get(asked.name, "") or asked.default
        return Field(
            name=asked.name,
            label=asked.label,
            typed=chosen,
            unit="",
            units=(),
            options=tuple(Option(value=value, words=words, chosen=value == chosen) for value, words in asked.options),
            hint=asked.help,
            needed=False,
            error=error,
        )
    written = typed.get(asked.name, "").strip()
    if isinstance(asked, AskRows):
        return _rows_field(asked, written, error, counts=counts)
    chosen_unit = asked.kind.unit(typed.get(asked.name + UNIT_ENDING, "")) or asked.unit
    # A unit typed with its number is shown as chosen, for it is the one that counts.
    text, unit = split_typed(asked, written) or (written, chosen_unit)
    symbols = asked.kind.symbols
    return Field(
        name=asked.name,
        label=asked.label,
        typed=text,
        unit=symbols[0] if len(symbols) == 1 else "",
        units=tuple(Option(value=one, words=one, chosen=one == unit.symbol) for one in symbols)
        if len(symbols) > 1
        else (),
        options=(),
        hint=_hint(asked, counts=counts),
        needed=counts and not asked.optional and not asked.default,
        error=error,
    )


def _rows_field(asked: AskRows, written: str, error: str, *, counts: bool) -> Field:
    told = f"A line each: {asked.row_words}. Commas between the numbers, for example {asked.sample}."
    return Field(
        name=asked.name,
        label=asked.label,
        typed=ROW_END.sub("\n", written),
        unit="",
        units=(),
        options=(),
        hint=f"{told} {asked.help}".strip(),
        needed=counts and not asked.optional,
        error=error,
        lines=max(LINES_SHOWN, asked.least),
    )


def _hint(asked: Ask, *, counts: bool) -> str:
    if not counts:
        return f"{asked.allowed()}. Not used for what is chosen above."
    default = f"Empty is {asked.default}." if asked.default and asked.default != "0" else ""
    optional = "May be left empty." if asked.optional else ""
    return " ".join(part for part in (f"{asked.allowed()}.", asked.help, default, optional) if part)


def _drawn(picture: Picture) -> Drawn:
    match picture:
        case Courses():
            return draw_courses(picture)
        case Curve():
            return draw_curve(picture)
        case Gauge():
            return draw_gauge(picture)
        case PressureDiagram():
            return draw_pressure(picture)
        case Mesh():
            return draw_mesh(picture)
        case PoolPlan():
            return draw_plan(picture)
        case PoolSection():
            return draw_section(picture)
        case Uplift():
            return draw_uplift(picture)
        case Loads():
            return draw_loads(picture)
        case Spans():
            return draw_spans(picture)
