"""Every source is stated once and in full."""

import re
from pathlib import Path

from jobs.science.sources import CONCRETE, LAW, SOURCES, WATER_AND_GROUND, WEATHER

PACKAGES = Path(__file__).parents[3] / "jobs"


def test_no_key_is_given_twice():
    assert len(SOURCES) == len(CONCRETE) + len(WATER_AND_GROUND) + len(WEATHER) + len(LAW)


def test_every_source_says_who_what_and_where():
    for key, source in SOURCES.items():
        assert source.author, key
        assert source.title, key
        assert source.where, key


def test_every_key_a_formula_names_exists():
    named = {
        (module.name, key)
        for folder in ("science", "domain")
        for module in (PACKAGES / folder).glob("*.py")
        for key in re.findall(
            r"""[Ss]ource keys? [`']*([a-z][a-z0-9_]*\w)|source="([a-z0-9]+_[a-z0-9_]+)\"""", module.read_text()
        )
        for key in key
        if key
    }
    assert named
    assert {(module, key) for module, key in named if key not in SOURCES} == set()
