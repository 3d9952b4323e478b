"""Where a sheet's cautions come from, each source once, by number: a sentence reads aloud without them."""

import re
from collections.abc import Iterable

from planner.dayplans.facts import Caution
from planner.dayplans.presenters.views import Cited

# Said of sources in the data; on site it would only raise a question nobody there can answer.
FROM_MEMORY = re.compile(r"\s*\(from memory\)")


class Sources:
    """The sources of one sheet in the order they are first named."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def number(self, source: str) -> int:
        """The number of a source, counted from one."""
        shown = FROM_MEMORY.sub("", source)
        return self._numbers.setdefault(shown, len(self._numbers) + 1)

    def cited(self, cautions: Iterable[Caution]) -> tuple[Cited, ...]:
        """Cautions with the numbers of their sources."""
        return tuple(Cited(sentence=one.sentence, source=self.number(one.source)) for one in cautions)

    @property
    def listed(self) -> tuple[str, ...]:
        """Every source named so far, the first as number one."""
        return tuple(self._numbers)
