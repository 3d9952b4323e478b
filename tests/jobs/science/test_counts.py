"""Enough of the checked numbers were published by somebody else, in every section."""

import pytest

from tests.jobs.science.counting import (
    COMPUTED,
    FROM_MEMORY,
    LEAST_A_SECTION,
    LEAST_PUBLISHED,
    LIBRARY,
    PRACTICE,
    PUBLISHED,
    SECTIONS,
    counts_by_file,
    counts_by_section,
    kind_of,
    table_lines,
)


def test_enough_rows_are_published() -> None:
    assert sum(kinds[PUBLISHED] for kinds in counts_by_file().values()) >= LEAST_PUBLISHED


@pytest.mark.parametrize("section", SECTIONS)
def test_every_section_has_its_published_rows(section: str) -> None:
    assert counts_by_section()[section][PUBLISHED] >= LEAST_A_SECTION


def test_every_table_belongs_to_one_section() -> None:
    named = [name for names in SECTIONS.values() for name in names]
    assert sorted(named) == sorted(counts_by_file()), "name the section of a new table in counting.py"


@pytest.mark.parametrize(
    ("source", "kind"),
    [
        ("published table, commercial page", PUBLISHED),
        ("psu_setting", PUBLISHED),
        ("published problem set, answer computed by hand", COMPUTED),
        ("published problem: cost 100, price 140, salvage 90", COMPUTED),
        ("computed by hand from the printed equation (aci_347)", COMPUTED),
        ("computed from the printed formula with PsychroLib (carrier)", LIBRARY),
        ("ACI 306R table of concrete temperatures (aci_306_protection; from memory)", FROM_MEMORY),
        ("aci_347", FROM_MEMORY),
        ("eight hours at 21 °C: common practice, no source", PRACTICE),
    ],
)
def test_words_of_a_source_say_its_kind(source: str, kind: str) -> None:
    assert kind_of(source) == kind


def test_a_source_that_says_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="does not say whether"):
        kind_of("somewhere")


def test_the_printed_table_adds_up() -> None:
    *rows, total = table_lines()[1:]
    numbers = [[int(cell) for cell in line[-85:].split()] for line in rows]
    assert [sum(column) for column in zip(*numbers, strict=True)] == [int(cell) for cell in total[-85:].split()]
