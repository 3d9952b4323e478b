"""Reads typed values out of one table of a method file, and says exactly which one is wrong."""

import math
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from jobs.domain.errors import CannotDo

KEY = re.compile(r"[a-z][a-z0-9_]{0,59}")


class Entry:
    """One table of a file.

    Parameters
    ----------
    values : Mapping[str, Any]
        The table as read.
    file, where : str
        File name and place in it, for errors: ``task pour_floor``.
    """

    def __init__(self, values: Mapping[str, Any], *, file: str, where: str) -> None:
        self.values = values
        self.file = file
        self.where = where
        self._asked: set[str] = set()

    def wrong(self, code: str, name: str, **facts: object) -> CannotDo:
        """A failure that names file, place and field."""
        return CannotDo(code, field=name, file=self.file, where=self.where, **facts)

    def has(self, name: str) -> bool:
        """Whether the field is given."""
        self._asked.add(name)
        return name in self.values

    def _get(self, name: str, kind: type | tuple[type, ...], expected: str, default: Any) -> Any:
        self._asked.add(name)
        if name not in self.values:
            if default is None:
                raise self.wrong("method.missing", name, expected=expected)
            return default
        value = self.values[name]
        if not isinstance(value, kind) or (isinstance(value, bool) and kind is not bool):
            raise self.wrong("method.wrong_type", name, expected=expected, value=value)
        return value

    def text(self, name: str, default: str | None = None) -> str:
        """A text; a given one is not empty."""
        value = str(self._get(name, str, "a text in quotes", default)).strip()
        if name in self.values and not value:
            raise self.wrong("method.empty", name)
        return value

    def key(self, name: str = "key", default: str | None = None) -> str:
        """A short lower-case code."""
        value = self.text(name, default)
        if value and not KEY.fullmatch(value):
            raise self.wrong("method.bad_key", name, value=value)
        return value

    def choice(self, name: str, choices: tuple[str, ...], default: str | None = None) -> str:
        """One of a few texts."""
        value = self.text(name, default)
        if value not in choices:
            raise self.wrong("method.wrong_choice", name, value=value, choices=", ".join(filter(None, choices)))
        return value

    def number(self, name: str, default: float | None = None, *, least: float = 0.0, above: bool = False) -> float:
        """A number of at least ``least`` (or above it)."""
        value = float(self._get(name, (int, float), "a number", default))
        if not math.isfinite(value) or value < least or (above and value == least):
            raise self.wrong("method.too_small", name, value=value, least=("above " if above else "") + f"{least:g}")
        return value

    def whole(self, name: str, default: int | None = None, *, least: int = 0) -> int:
        """A whole number of at least ``least``."""
        value = int(self._get(name, int, "a whole number", default))
        if value < least:
            raise self.wrong("method.too_small", name, value=value, least=f"{least}")
        return value

    def flag(self, name: str, *, default: bool = False) -> bool:
        """True or false."""
        return bool(self._get(name, bool, "true or false", default))

    def keys(self, name: str) -> tuple[str, ...]:
        """A list of codes, empty if not given, none twice."""
        found = self._get(name, list, "a list of codes in quotes", [])
        for value in found:
            if not isinstance(value, str) or not KEY.fullmatch(value):
                raise self.wrong("method.wrong_type", name, expected="a list of codes in quotes", value=value)
        if len(set(found)) != len(found):
            raise self.wrong("method.twice_in_list", name, value=", ".join(found))
        return tuple(found)

    def table(self, name: str) -> "Entry":
        """A table inside this one."""
        found = self._get(name, dict, "a table { name = value }", None)
        return Entry(found, file=self.file, where=f"{self.where}, {name}")

    def tables(self, name: str, *, at_least: int = 0) -> tuple["Entry", ...]:
        """The tables of a list, each named by its key (or its two ends, or its place)."""
        found = self._get(name, list, f"tables headed [[{name}]]", [])
        if len(found) < at_least:
            raise self.wrong("method.missing", name, expected=f"tables headed [[{name}]]")
        made = []
        for place, values in enumerate(found, start=1):
            if not isinstance(values, dict):
                raise self.wrong("method.wrong_type", name, expected=f"tables headed [[{name}]]", value=values)
            called = values.get("key") or " to ".join(str(values[end]) for end in ("before", "after") if end in values)
            made.append(Entry(values, file=self.file, where=f"{name} {called or place}"))
        return tuple(made)

    def texts(self, name: str) -> dict[str, str]:
        """A table whose values are all texts."""
        inner = self.table(name)
        return {key: inner.text(key) for key in inner.values}

    def done(self) -> None:
        """Refuses a field nobody asked for: most often a misspelt one."""
        unknown = sorted(set(self.values) - self._asked)
        if unknown:
            raise self.wrong("method.unknown_field", unknown[0], known=", ".join(sorted(self._asked)))


def read_file(path: Path) -> Entry:
    """A TOML file as an entry.

    Raises
    ------
    CannotDo
        ``method.no_file``, ``method.not_toml``.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as failure:
        raise CannotDo("method.no_file", field="file", file=path.name, reason=str(failure)) from failure
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as failure:
        raise CannotDo("method.not_toml", field="file", file=path.name, reason=str(failure)) from failure
    return Entry(values, file=path.name, where="the file itself")
