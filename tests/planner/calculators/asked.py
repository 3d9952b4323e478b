"""Asking a calculator and reading its printed numbers back."""

import re
from collections.abc import Mapping

from planner.calculators.answering.answer import Answer
from planner.calculators.asking.inputs import AskRows, Choose, Input
from planner.calculators.calculator import Calculator
from planner.calculators.catalog import CALCULATORS

NUMBER = re.compile(r"[+−-]?[\d,]+(?:\.\d+)?")
LENGTH_OF_TIME = re.compile(r"(?:(\d+) days? ?)?(?:(\d+) h ?)?(?:(\d+) min)?")


def filled(chosen: Calculator, choices: Mapping[str, str]) -> dict[str, str]:
    """Examples with other choices, and for everything that then counts and is needed something right to type."""
    typed = {**chosen.examples(), **choices}
    answers = {one.name: typed[one.name] for one in chosen.inputs if isinstance(one, Choose)}
    for one in chosen.inputs:
        if not isinstance(one, Choose) and one.when is not None and one.when.holds(answers) and not one.optional:
            typed[one.name] = typed[one.name] or SAMPLES.get(one.name, one.sample)
    if answers.get("water") == "several" and not typed["tankers"]:
        typed["sources"] = typed["sources"] or "12, 20, 6; 167, 9, 10"
    if answers.get("shape") in ("oval", "round-ends", "kidney"):
        typed["side_slope"] = ""
    return typed


# What fits the other numbers of an example, where the first thing that is right by itself does not.
SAMPLES = {"leg_length": "12 ft", "leg_width": "10 ft", "leg_depth": "3.5 ft", "leg_from": "0 ft", "narrow": "14 ft"}


def counting(chosen: Calculator, asked: Input) -> dict[str, str]:
    """Examples in which an input counts: what it hangs on is chosen."""
    when = None if isinstance(asked, Choose) else asked.when
    return filled(chosen, {} if when is None else {when.choice: when.values[0]})


def rows_asked() -> list[tuple[str, AskRows]]:
    """Every input of rows with the calculator that asks for it."""
    return [(name, one) for name, found in CALCULATORS.items() for one in found.inputs if isinstance(one, AskRows)]


def ask(name: str, **given: object) -> Answer:
    """The answer to an example with some of its inputs given otherwise; ``None`` takes one out."""
    chosen = CALCULATORS[name]
    typed = {**chosen.examples(), **{key: "" if value is None else str(value) for key, value in given.items()}}
    return chosen.answer(typed)


def printed(answer: Answer, label: str) -> float:
    """The number printed in the line of a label."""
    (line,) = (line for line in answer.lines if line.label == label)
    return number_in(line.value)


def also(answer: Answer, label: str) -> float:
    """The number printed beside the line of a label, in its other unit."""
    (line,) = (line for line in answer.lines if line.label == label)
    return number_in(line.also)


def number_in(words: str) -> float:
    found = NUMBER.search(words)
    assert found is not None, words
    return float(found[0].replace(",", "").replace("−", "-"))


def hours_in(answer: Answer, label: str) -> float:
    """The length of time printed in the line of a label [h]."""
    (line,) = (line for line in answer.lines if line.label == label)
    found = LENGTH_OF_TIME.fullmatch(line.value)
    assert found is not None, line.value
    days, hours, minutes = (int(part or 0) for part in found.groups())
    return 24 * days + hours + minutes / 60
