"""Every sentence a failure can say, by code: what is wrong, and the remedy.

One module an area, in a folder for building and one for planning; each holds ``WORDS: dict[str, tuple[str, str]]``
with ``str.format`` fields.
Domain code raises a code with facts, so that words can be changed or translated in one place.
"""

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache


@cache
def all_words() -> Mapping[str, tuple[str, str]]:
    """Every code with its (sentence, remedy); a code in two modules is an error."""
    found: dict[str, tuple[str, str]] = {}
    modules = pkgutil.walk_packages(__path__, f"{__name__}.")
    for name in sorted(module.name for module in modules if not module.ispkg):
        words: dict[str, tuple[str, str]] = importlib.import_module(name).WORDS
        twice = found.keys() & words.keys()
        if twice:
            raise ValueError(f"words defined twice: {sorted(twice)}")
        found.update(words)
    return found


def sentence_for(code: str, facts: Mapping[str, object]) -> tuple[str, str]:
    """The filled sentence and remedy of a code.

    Raises
    ------
    KeyError
        If the code, or a fact the sentence names, is unknown: that is a bug.
    """
    says, remedy = all_words()[code]
    return says.format(**facts), remedy.format(**facts)
