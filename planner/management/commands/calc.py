"""``manage.py calc NAME``: one question of the trade answered on the command line."""

import re
import textwrap
from argparse import ArgumentParser
from collections.abc import Iterator, Sequence
from typing import Any, NoReturn

from django.core.management.base import CommandError, CommandParser

from jobs.domain.errors import CannotDo
from jobs.domain.order.lines import as_csv, as_text
from jobs.domain.order.sold import sold_in_us
from planner.calculators.answering.answer import Answer
from planner.calculators.asking.inputs import Ask, AskRows, Choose, Input
from planner.calculators.calculator import Calculator
from planner.calculators.catalog import CALCULATORS, calculator
from planner.management.plain import PlainCommand

WIDTH = 92
# A value that starts with a minus is no option: -5C, -12.5, -.3.
MINUS = re.compile(r"-\.?\d")


class Questions(ArgumentParser):
    """The options of one calculator: a value may be negative, and a mistake is one sentence."""

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> tuple[Any, list[str]]:
        return super().parse_known_args(_joined(args or ()), namespace)

    def error(self, message: str) -> NoReturn:
        raise CommandError(
            f"{message[0].upper()}{message[1:]}. See: manage.py {self.prog.split(maxsplit=1)[-1]} --help"
        )


class Command(PlainCommand):
    help = (
        "Answers one question of the trade from the numbers given, with its formula, range, source and cautions."
        " Units may stand in a value: --height 8ft, --air-temp 68F, --air-temp=-5C, --length '20 ft 6 in'."
    )

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        # A mistake in the options is raised as a sentence; the usage is what --help is for.
        parser.called_from_command_line = False
        return parser

    def run_from_argv(self, argv: list[str]) -> None:
        try:
            super().run_from_argv(argv)
        except CommandError as refusal:
            # Options are read before a command runs: their mistakes are told as every other.
            self.stderr.write(f"CommandError: {refusal}")
            raise SystemExit(1) from refusal

    def add_arguments(self, parser: ArgumentParser) -> None:
        names = parser.add_subparsers(dest="name", metavar="NAME", required=True, parser_class=Questions)
        for one in CALCULATORS.values():
            questions = names.add_parser(one.name, help=one.question, description=one.question)
            for asked in one.inputs:
                questions.add_argument(
                    f"--{asked.name.replace('_', '-')}",
                    dest=_dest(asked),
                    default="",
                    metavar=_metavar(asked),
                    help=_help(asked),
                )
            if one.orders:
                questions.add_argument("--csv", action="store_true", help="only what to order, for a spreadsheet")

    def handle(self, *args: Any, **options: Any) -> None:
        chosen = calculator(options["name"])
        given = {asked.name: str(options.get(_dest(asked)) or "") for asked in chosen.inputs}
        try:
            answer = chosen.answer(given)
        except CannotDo as refusal:
            if refusal.field not in given:
                raise
            raise CommandError(f"--{refusal.field.replace('_', '-')}: {refusal}") from refusal
        if options.get("csv"):
            # The table ends its own lines, as spreadsheets expect them.
            self.stdout.write(as_csv(answer.order, sold_in_us), ending="")
            return
        for line in answer_lines(chosen, answer):
            self.stdout.write(line)


def answer_lines(chosen: Calculator, answer: Answer) -> Iterator[str]:
    """An answer as plain text that reads aloud."""
    yield chosen.question
    yield from _wrapped(answer.says, "  ")
    yield ""
    wide = max(len(line.label) for line in answer.lines)
    for line in answer.lines:
        also = f"  ({line.also})" if line.also else ""
        yield from _wrapped(f"{line.label:<{wide}}  {line.words}{also}", "  ", hanging=wide + 4)
    if answer.order:
        yield ""
        yield "To order"
        for row in as_text(answer.order, sold_in_us).splitlines():
            yield from _wrapped(row, "  ", hanging=6)
    for head, sentences in (
        ("Why", answer.why),
        ("Formula", answer.formula),
        ("Range", answer.valid),
        ("Source", answer.sources),
        ("Caution", answer.cautions),
    ):
        if not sentences:
            continue
        yield ""
        yield head
        for sentence in sentences:
            yield from _wrapped(sentence, "  ", hanging=4)


def _wrapped(text: str, indent: str, *, hanging: int = 2) -> list[str]:
    # Columns are kept as they are: only the spaces at a break go.
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=" " * hanging, replace_whitespace=False)


def _joined(args: Sequence[str]) -> list[str]:
    """``--air-temp -5C`` as one word, for otherwise -5C looks like an option."""
    joined: list[str] = []
    for word in args:
        if joined and MINUS.match(word) and joined[-1].startswith("--") and "=" not in joined[-1]:
            joined[-1] += f"={word}"
        else:
            joined.append(word)
    return joined


def _dest(asked: Input) -> str:
    # Apart from the names of the options that every command has.
    return f"input_{asked.name}"


def _metavar(asked: Input) -> str:
    if isinstance(asked, Ask):
        return asked.unit.symbol or "NUMBER"
    return "CHOICE" if isinstance(asked, Choose) else "ROWS"


def _help(asked: Input) -> str:
    if isinstance(asked, Choose):
        known = ", ".join(value for value, _ in asked.options)
        return f"{asked.label}: {known} (else {asked.default}). {asked.help}".strip().replace("%", "%%")
    if isinstance(asked, AskRows):
        told = f"{asked.label}: {asked.row_words}; numbers apart by commas, rows by semicolons: '{asked.sample}'."
        return f"{told} {asked.help}".strip().replace("%", "%%")
    return " ".join(
        part for part in (f"{asked.label}, {asked.allowed()}", _units(asked), _else(asked), asked.help) if part
    ).replace("%", "%%")


def _units(asked: Ask) -> str:
    others = [symbol for symbol in asked.kind.symbols[1:] if symbol]
    return f"(or {', '.join(others)})" if others else ""


def _else(asked: Ask) -> str:
    if asked.default:
        return f"[else {asked.default}]"
    return "[may be left out]" if asked.optional else ""
