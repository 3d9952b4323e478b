"""The usual cautions of a task, each with its source; whoever shows them ends each list by deferring."""

import re
from collections.abc import Iterable

from jobs.domain.exposure import Exposure
from jobs.domain.facts import TaskFacts
from jobs.domain.vocabulary import Vocabulary
from planner.dayplans.facts import Caution
from planner.dayplans.presenters.measures import worded

SOURCE_KEY = re.compile(r"S-[A-Z0-9]+")
EVERY_DAY = ("site_people",)


def cautions_of(task: TaskFacts, exposure: Exposure, vocabulary: Vocabulary) -> tuple[Caution, ...]:
    """The task's own cautions, thunder for all work that stops for it, frost for concrete."""
    keys = [key for key in task.cautions if key not in EVERY_DAY]
    if exposure.exposed and exposure.stops_for_thunder:
        keys.append("thunder")
    if exposure.sets:
        keys.append("frost")
    return cautions_by_key(keys, vocabulary)


def cautions_by_key(keys: Iterable[str], vocabulary: Vocabulary) -> tuple[Caution, ...]:
    """Cautions in the order given, once each.

    Raises
    ------
    KeyError
        If the vocabulary has no such caution: a caution is never left out in silence.
    """
    found = []
    for key in dict.fromkeys(keys):
        caution = vocabulary.cautions[key]
        found.append(Caution(sentence=worded(caution.sentence), source=source_words(caution.source, vocabulary)))
    return tuple(found)


def source_words(source: str, vocabulary: Vocabulary) -> str:
    """A source with its keys spelt out."""

    def spelt(found: re.Match[str]) -> str:
        title = vocabulary.sources.get(found.group(), found.group())
        return f"{title} " if source[found.end() :].startswith("(") else title

    return SOURCE_KEY.sub(spelt, source)
