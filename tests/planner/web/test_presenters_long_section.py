"""A pool's long section: what is built is drawn and said, nothing else; drawing and table agree."""

import itertools
from dataclasses import replace

import pytest

from planner.web.presenters.long_section import Built, FittingLevel, LongSection, draw_long_section
from planner.web.presenters.profile import BuiltIn, PoolShape
from tests.planner.web.svg import SVG, draw, rows_of, words_of

WEDGE = PoolShape(stations=((0, 1.07), (3.05, 1.07), (7.3, 2.44), (9.75, 2.44)))
DONE = Built(
    marked=True, dig=True, stone=True, floor=True, walls=True, backfill=True, deck=True, liner=True, water_level_m=2.44
)
FITTINGS = (
    FittingLevel(kind="main_drain", title="Main drain", level_m=0.0),
    FittingLevel(kind="light", title="Light", level_m=1.853, note="Fri 7:00 am"),
    FittingLevel(kind="return", title="Returns", level_m=2.01),
    FittingLevel(kind="skimmer", title="Skimmer", level_m=2.256),
)


def kinds(section: LongSection) -> list[str]:
    return [layer.kind for layer in section.layers]


@pytest.mark.parametrize(
    ("built", "drawn"),
    [
        (Built(), ["soil"]),
        (Built(dig=True), ["soil", "hollow"]),
        (Built(dig=True, stone=True, floor=True), ["soil", "hollow", "stone", "concrete"]),
        (Built(dig=True, floor=True, forms=True), ["soil", "hollow", "concrete", "forms", "forms"]),
        (Built(dig=True, floor=True, forms=True, walls=True), ["soil", "hollow", "concrete", "concrete", "concrete"]),
    ],
)
def test_only_what_stands_is_solid(built: Built, drawn: list[str]) -> None:
    assert kinds(draw_long_section(WEDGE, built)) == drawn


def test_what_is_to_come_is_in_broken_lines() -> None:
    # Dig, floor, two walls, two decks; nothing is left when all is built.
    assert len(draw_long_section(WEDGE, Built()).ahead) == 6
    assert draw_long_section(WEDGE, DONE).ahead == ()


def test_ledges_and_stairs_come_with_the_walls() -> None:
    """A ledge across the shallow end is cut; a bench at the side stands beyond, in broken lines."""
    ledge = BuiltIn(from_m=0.0, until_m=1.5, foot_m=1.37, top_m=2.2, cut=True)
    bench = BuiltIn(from_m=1.5, until_m=3.0, foot_m=1.37, top_m=2.0, cut=False)
    shape = replace(WEDGE, built_in=(ledge, bench))
    before, after = draw_long_section(shape, Built()), draw_long_section(shape, DONE)
    assert (len(before.ahead), before.beyond) == (8, ())
    assert kinds(after).count("concrete") == kinds(draw_long_section(WEDGE, DONE)).count("concrete") + 1
    assert len(after.beyond) == 1
    told = {row.part: (row.state, row.done) for row in after.rows}
    assert told["Ledges and stairs"] == ("done", True)
    assert "Ledges and stairs" not in {row.part for row in draw_long_section(WEDGE, DONE).rows}
    assert [row.done for row in before.rows if row.part == "Ledges and stairs"] == [False]


def test_it_is_to_scale() -> None:
    near, far = (draw_long_section(WEDGE, Built(), px_per_m=scale, words=False) for scale in (20.0, 40.0))
    assert far.width == pytest.approx(2 * near.width, abs=0.2)


def test_words_of_depth_and_fittings() -> None:
    words = words_of(draw("long_section.html", section=draw_long_section(WEDGE, DONE, fittings=FITTINGS)))
    # 1.07 m and 2.44 m are 3 ft 6 in and 8 ft to the nearest inch (0.0254 m an inch, exact).
    assert words[:2] == ["3 ft 6 in", "8 ft"]
    assert words[2:] == ["Skimmer 7 ft 5 in", "Returns 6 ft 7 in", "Light 6 ft 1 in, Fri 7:00 am", "Main drain 0 in"]


def test_fitting_words_never_touch() -> None:
    crowd = tuple(FittingLevel(kind="return", title=f"Return {at}", level_m=2.0) for at in range(9))
    section = draw_long_section(WEDGE, DONE, fittings=crowd)
    heights = [label.y for label in section.labels]
    assert min(after - before for before, after in itertools.pairwise(heights)) >= 14
    assert max(heights) <= section.height


def test_the_table_says_what_the_drawing_shows() -> None:
    half = Built(dig=True, stone=True, floor=True, forms=True, water_level_m=0.3)
    rows = rows_of("long_section_table.html", section=draw_long_section(WEDGE, half))
    assert dict(rows) == {
        "Dig": "Done",
        "Stone under the floor": "Done",
        "Floor slab": "Done",
        "Walls": "Forms up, not poured",
        "Backfill": "To come",
        "Deck": "To come",
        "Inner face": "To come",
        "Water": "1 ft at the deepest of 8 ft",
    }


def test_marked_is_not_dug() -> None:
    section = draw_long_section(WEDGE, Built(marked=True))
    assert len(section.stakes) == 2
    assert section.rows[0].state == "marked, not dug"
    assert draw_long_section(WEDGE, Built(marked=True, dig=True)).stakes == ()


def test_the_picture_says_itself_in_one_sentence() -> None:
    root = draw("long_section.html", section=draw_long_section(WEDGE, DONE, words=False))
    assert root.get("role") == "img"
    said = root.get("aria-label") or ""
    assert said.startswith("Long section, 32 ft long, 3 ft 6 in to 8 ft deep. Built: dig, stone under the floor,")
    assert not list(root.iter(f"{SVG}text"))
