"""Where a number comes from, spelt out for a page."""

from jobs.domain.vocabulary import Vocabulary
from jobs.science.sources import SOURCES
from planner.dayplans.domain.cautions import source_words


def said_source(vocabulary: Vocabulary, source: str) -> str:
    """A source with its keys replaced by author, title and place; words that are no key stay.

    >>> from jobs.methods.loader import load_vocabulary
    >>> said_source(load_vocabulary(), "common practice, no source")
    'common practice, no source'
    """
    parts = [part.strip() for part in source.split(";")]
    return "; ".join(_spelt(vocabulary, part) for part in parts)


def _spelt(vocabulary: Vocabulary, key: str) -> str:
    if key in vocabulary.sources:
        return vocabulary.sources[key]
    known = SOURCES.get(key)
    if known is None:
        return source_words(key, vocabulary)
    year = f" ({known.year})" if known.year is not None else ""
    memory = ", from memory" if known.from_memory else ""
    return f"{known.author}{year}, {known.title}, {known.where}{memory}"
