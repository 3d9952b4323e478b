"""Reads a folder of project instances in Patterson's text with the best known makespans beside them."""

import csv
from dataclasses import dataclass
from pathlib import Path

BEST_KNOWN = "best_known.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    """Activities numbered from 0, the first and last without work: their lengths, demands, and who follows whom."""

    name: str
    counts: tuple[int, ...]
    lengths: tuple[int, ...]
    demands: tuple[tuple[int, ...], ...]
    after: tuple[tuple[int, ...], ...]
    best_known: int
    activities: int


def read_folder(folder: Path) -> tuple[Instance, ...]:
    """Every instance named in the folder's ``best_known.csv``, smallest first.

    Raises
    ------
    SystemExit
        If the folder, the list or a file it names is not there or not as it should be.
    """
    table = folder / BEST_KNOWN
    if not table.is_file():
        raise SystemExit(f"{table} is not there: it must name each file with its best known makespan.")
    with table.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    wanted = {"file", "best_known_ub"}
    if not rows or not wanted <= set(rows[0]):
        raise SystemExit(f"{table} needs the columns {' and '.join(sorted(wanted))}.")
    found = [read_file(folder / row["file"], int(float(row["best_known_ub"]))) for row in rows]
    return tuple(sorted(found, key=lambda one: (one.activities, one.name)))


def read_file(path: Path, best_known: int) -> Instance:
    """One instance.

    Patterson's format: count of activities and of resources; the counts of each resource; then for each activity its
    length, its demands, how many activities follow it, and which (from 1). Line breaks mean nothing.
    """
    try:
        numbers = [int(word) for word in path.read_text(encoding="utf-8").split()]
        return _parsed(path.name, numbers, best_known)
    except (OSError, ValueError, IndexError) as failure:
        raise SystemExit(f"{path} is not an instance in Patterson's text: {failure}.") from failure


def _parsed(name: str, numbers: list[int], best_known: int) -> Instance:
    size, kinds = numbers[:2]
    at = 2 + kinds
    lengths, demands, after = [], [], []
    for _ in range(size):
        lengths.append(numbers[at])
        demands.append(tuple(numbers[at + 1 : at + 1 + kinds]))
        count = numbers[at + 1 + kinds]
        at += 2 + kinds
        following = numbers[at : at + count]
        if len(following) != count or not all(1 <= other <= size for other in following):
            raise ValueError(f"activity {len(lengths)} names followers that are not there")
        after.append(tuple(other - 1 for other in following))
        at += count
    return Instance(
        name=Path(name).stem,
        counts=tuple(numbers[2 : 2 + kinds]),
        lengths=tuple(lengths),
        demands=tuple(demands),
        after=tuple(after),
        best_known=best_known,
        activities=sum(length > 0 for length in lengths),
    )
