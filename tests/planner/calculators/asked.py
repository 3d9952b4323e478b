"""Asking a calculator and reading its printed numbers back."""

import re

from planner.calculators.answering.answer import Answer
from planner.calculators.catalog import CALCULATORS

NUMBER = re.compile(r"[+−-]?[\d,]+(?:\.\d+)?")
LENGTH_OF_TIME = re.compile(r"(?:(\d+) days? ?)?(?:(\d+) h ?)?(?:(\d+) min)?")


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
