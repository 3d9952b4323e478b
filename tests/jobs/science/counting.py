"""How many rows of the worked examples come from where.

Only a published row checks a formula against somebody else's number. A row computed from a printed formula checks our
typing, one from memory waits for the document, a library is counted apart.
"""

import csv
import re
from collections import Counter

from jobs.science.sources import COMMON_PRACTICE, SOURCES
from tests.jobs.science.worked_examples import FOLDER

PUBLISHED, FROM_MEMORY, PRACTICE, COMPUTED, LIBRARY = (
    "published",
    "from memory",
    "common practice",
    "computed",
    "library",
)
KINDS = (PUBLISHED, FROM_MEMORY, PRACTICE, COMPUTED, LIBRARY)

# Sections of the trade's numbers and their tables; for each of them five published numbers or more were found.
SECTIONS: dict[str, tuple[str, ...]] = {
    "evaporation from concrete": ("evaporation", "evaporation_limits"),
    "cold and hot weather": ("concrete/cold_hot", "concrete/mixture_temperature"),
    "maturity": ("concrete/maturity",),
    "strength and curing": ("concrete/strength", "concrete/curing"),
    "setting and delivery": ("setting",),
    "form pressure and the wall pour": ("concrete/form_pressure", "concrete/form_regimes", "concrete/wall_pour"),
    "pool geometry": ("pools", "pools_shapes"),
    "filling, rain and water loss": ("water/filling", "water/water_loss"),
    "water chemistry": ("water/doses", "water/ph_doses", "water/saturation_factors", "water/saturation_index"),
    "quantities of concrete": ("slabs", "orders"),
    "what is bought": ("takeoff",),
    "safety": ("safety_limits",),
    "heat, cold and moist air": ("heat_index", "wind_chill", "wind_chill_hazards", "vapour_pressure"),
    "drying, pumping out and uplift": ("water/drying",),
}
LEAST_A_SECTION, LEAST_PUBLISHED = 5, 150

COMPUTED_WORDS = re.compile(r"\bcomputed\b|\bworked by hand\b|\bproblem\b")
LIBRARY_WORDS = re.compile(r"\b(psychrolib|metpy|pvlib|thermofeel|fluids|structuralcodes)\b")
PRACTICE_WORDS = re.compile(r"common practice|rule of thumb|\bin the trade\b|\btrade (rule|factor)\b|\bno source\b")
PUBLISHED_WORDS = (
    "published ",
    "us national weather service",
    "meteorological service of canada",
    "us occupational safety and health administration",
    "us department of defense",
    "washington state university",
    "pool operator manual",
    "handbook ",
    "aci 306r table",
    "hurd,",
    "hover 2020",
    "29 cfr ",
    "osha and noaa",
    "american shotcrete association",
    "american concrete pumping association",
)


def kind_of(source: str) -> str:
    """Where the number of a row comes from, by the words of its source.

    Raises
    ------
    ValueError
        The words say none of the kinds.
    """
    words = source.lower()
    if LIBRARY_WORDS.search(words):
        return LIBRARY
    if COMPUTED_WORDS.search(words):
        return COMPUTED
    if "from memory" in words:
        return FROM_MEMORY
    if COMMON_PRACTICE in words or PRACTICE_WORDS.search(words):
        return PRACTICE
    if source in SOURCES:
        return FROM_MEMORY if SOURCES[source].from_memory else PUBLISHED
    if words.startswith(PUBLISHED_WORDS):
        return PUBLISHED
    raise ValueError(f"{source!r} does not say whether it is published, computed, from memory or common practice")


def counts_by_file() -> dict[str, Counter[str]]:
    """Rows by kind of every table, by its name below the folder of worked examples."""
    found = {}
    for path in sorted(FOLDER.rglob("*.csv")):
        with path.open(newline="") as file:
            kinds = Counter(kind_of(row["source"]) for row in csv.DictReader(file))
        found[path.relative_to(FOLDER).with_suffix("").as_posix()] = kinds
    return found


def counts_by_section() -> dict[str, Counter[str]]:
    """Rows by kind of every section; tables of no section stand under their own name."""
    files = counts_by_file()
    named = {name: section for section, names in SECTIONS.items() for name in names}
    found: dict[str, Counter[str]] = {section: Counter() for section in SECTIONS}
    for name, kinds in files.items():
        found.setdefault(named.get(name, name), Counter()).update(kinds)
    return found


def table_lines() -> list[str]:
    """The counts as a table to print."""
    sections = counts_by_section()
    wide = max(len(section) for section in sections)
    lines = [" " * wide + "".join(f"{kind:>17}" for kind in KINDS)]
    for section, kinds in (*sections.items(), ("all", sum(sections.values(), Counter()))):
        few = "  too few published" if section in SECTIONS and kinds[PUBLISHED] < LEAST_A_SECTION else ""
        lines.append(f"{section:<{wide}}" + "".join(f"{kinds[kind]:>17}" for kind in KINDS) + few)
    return lines
