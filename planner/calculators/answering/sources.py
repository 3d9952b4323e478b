"""Sources as sentences."""

from jobs.science.sources import COMMON_PRACTICE, SOURCES


def said_source(key: str) -> str:
    """A source key spelt out; common practice says that it has no source.

    >>> said_source("menzel_1954")
    'Menzel (1954), Causes and prevention of crack development in plastic concrete, evaporation equation'
    >>> said_source("common practice, no source")
    'common practice, no source'
    """
    if key == COMMON_PRACTICE:
        return key
    source = SOURCES[key]
    year = f" ({source.year})" if source.year is not None else ""
    memory = ", from memory" if source.from_memory else ""
    return f"{source.author}{year}, {source.title}, {source.where}{memory}"
