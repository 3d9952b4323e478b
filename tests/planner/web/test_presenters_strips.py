"""Layers of work under the sky: nothing overlaps, a hold bars the way until passed, drawing and table agree."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.web.presenters.canvas import words_width
from planner.web.presenters.strips import COVER, SIZE, THICK, HoldAt, Strips, draw_strips
from tests.planner.web.samples import at, holds, scale, sky, strip, strips
from tests.planner.web.svg import SVG, draw, rows_of, words_of


def drawn() -> Strips:
    return draw_strips(strips(), scale=scale(), holds=holds(), sky=sky(), now=at(1, 10), promised_at=at(16, 17))


def boxes_of(shown: Strips) -> list[tuple[float, float, float]]:
    return [(one.label_x, one.label_x + words_width(one.label, SIZE), one.label_y) for one in shown.strips if one.label]


def words_touch(shown: Strips) -> bool:
    pairs = itertools.combinations(boxes_of(shown), 2)
    return any(one[2] == other[2] and one[0] < other[1] and other[0] < one[1] for one, other in pairs)


def leaders_cross_words(shown: Strips) -> bool:
    """A leader runs down from its layer to its words; it may cross nobody else's."""
    for one in shown.strips:
        if one.label:
            x = one.layer.x + 3
            if any(start < x < end and y < one.label_y for start, end, y in boxes_of(shown)):
                return True
    return False


def test_every_task_is_drawn_and_listed_with_the_same_words() -> None:
    rows = rows_of("strips_table.html", strips=drawn())
    listed = {row[0] for row in rows}
    root = draw("strips.html", strips=drawn())
    said = [(node.text or "") for node in root.iter(f"{SVG}title")]
    for one in strips():
        assert one.title in listed
        assert any(title.startswith(one.title) for title in said)
    assert [cell for row in rows if row[0] == "Stack form courses" for cell in row[:5]] == [
        "Stack form courses",
        "concrete forms",
        "Shell crew one",
        "Mon Jun 22 7:00 am",
        "Tue Jun 23 3:00 pm",
    ]


def test_a_layer_lies_between_its_moments() -> None:
    layer = next(one for one in drawn().strips if one.key == "forms").layer
    assert layer.x == pytest.approx(scale().x(at(7)), abs=0.06)
    assert layer.x + layer.width == pytest.approx(scale().x(at(8, 15)), abs=0.11)


def test_what_lies_in_the_same_hours_shares_the_thickness_and_never_overlaps() -> None:
    layers = [one.layer for one in drawn().strips]
    for one, other in itertools.combinations(layers, 2):
        if one.x < other.x + other.width - 0.2 and other.x < one.x + one.width - 0.2:
            assert one.bottom <= other.top + 0.1 or other.bottom <= one.top + 0.1
    steel, bond = (next(one.layer for one in drawn().strips if one.key == key) for key in ("steel", "bond"))
    assert bond.bottom - bond.top == pytest.approx((steel.bottom - steel.top), abs=0.11) == THICK / 2


def test_a_pour_tapers_until_it_is_strong_enough() -> None:
    shape = next(one for one in drawn().strips if one.key == "pour_floor")
    assert shape.tail is not None
    corners = [tuple(float(n) for n in pair.split(",")) for pair in shape.tail.points.split()]
    assert corners[1][0] == pytest.approx(scale().x(at(7, 2)), abs=0.06)
    assert corners[0][0] == corners[2][0] == pytest.approx(scale().x(at(4, 14)), abs=0.06)
    assert corners[0][1] < corners[1][1] < corners[2][1]
    assert corners[0][1] >= shape.layer.bottom
    row = next(row for row in drawn().rows if row.title.startswith("Pour and finish"))
    assert row.cures == "Mon Jun 22 2:00 am"


def test_only_a_passed_hold_is_open() -> None:
    shown = {one.label: one for one in drawn().gates}
    assert {label: one.state for label, one in shown.items()} == {
        "Locate: open": "open",
        "Floor hold: shut": "shut",
        "Wall hold: failed, shut": "shut",
        "Barrier hold: shut": "shut",
    }
    # A shut gate has rails from post to post; an open one has none across.
    assert shown["Floor hold: shut"].bars.count("H") == 3
    assert "H" not in shown["Locate: open"].bars
    assert ["Wall hold", "Thu Jun 25 11:00 am", "Failed, shut"] in rows_of("strips_table.html", strips=drawn())


def test_gate_words_do_not_touch() -> None:
    close = tuple(HoldAt(title=f"Hold {at_}", at=at(3, 8 + at_), result="open") for at_ in range(4))
    shown = draw_strips((), scale=scale(), holds=close)
    assert len({one.label_y for one in shown.gates}) == 4


def test_a_gate_says_how_sure_its_visit_is() -> None:
    asked = HoldAt(title="Floor", at=at(3, 11), result="open", visit="visit confirmed")
    shown = draw_strips((), scale=scale(), holds=(asked,))
    assert shown.gates[0].label == "Floor: shut, visit confirmed"
    assert shown.gate_rows[0].word == "shut, visit confirmed"


def test_words_of_the_work_stand_below_the_gates() -> None:
    shown = drawn()
    low = shown.floor + COVER + THICK + 2
    assert all(one.label_y - SIZE >= low for one in shown.strips if one.label)


def test_shade_and_dots_follow_the_sky() -> None:
    root = draw("strips.html", strips=drawn())
    height = drawn().work_height
    shades = {
        (node.get("x"), float(node.get("height") or 0)) for node in root.iter() if node.get("class") == "rain-fall"
    }
    wednesday = scale().x(at(2, 6))
    assert any(x == f"{wednesday:.1f}" and tall == pytest.approx(0.8 * height, abs=0.06) for x, tall in shades)
    words = words_of(root)
    assert "80%" in words
    assert "~30%" in words
    assert "?" in words


def test_days_without_sky_are_unknown_not_clear() -> None:
    shown = draw_strips((), scale=scale(days=4), sky=())
    assert {cell.reach for cell in shown.sky} == {"unknown"}
    covered = sum(cell.width for cell in shown.sky)
    assert covered == pytest.approx(shown.width, abs=1)
    assert {row.chance for row in shown.sky_rows} == {"not known"}
    assert draw_strips((), scale=scale(days=4)).sky == ()


def test_frost_heat_and_wind_are_marked() -> None:
    cells = drawn().sky
    assert (sum(one.frost for one in cells), sum(one.hot for one in cells), sum(one.windy for one in cells)) == (
        1,
        1,
        1,
    )


def test_what_lies_outside_is_left_out() -> None:
    outside = (strip("old", "Old", "layout", at(-9), at(-8)), strip("far", "Far", "layout", at(99), at(100)))
    assert draw_strips(outside, scale=scale()).rows == ()


@given(
    st.lists(
        st.tuples(st.integers(0, 17), st.integers(1, 5), st.text(st.characters(categories=("L", "Zs")), max_size=60)),
        max_size=25,
    )
)
def test_words_never_touch_and_stay_inside(work: list[tuple[int, int, str]]) -> None:
    tasks = tuple(
        strip(str(number), title, "liner", at(day), at(day + days, 15))
        for number, (day, days, title) in enumerate(work)
    )
    shown = draw_strips(tasks, scale=scale())
    assert not words_touch(shown)
    assert not leaders_cross_words(shown)
    for one in shown.strips:
        assert one.label_x >= 0
        assert one.label_x + words_width(one.label, SIZE) <= shown.width
        assert shown.floor < one.layer.top < one.layer.bottom <= shown.floor + COVER + THICK + 0.1
        assert one.label_y <= shown.height


def test_equal_facts_draw_equal_pictures() -> None:
    assert draw_strips(tuple(reversed(strips())), scale=scale(), holds=holds(), sky=sky()) == draw_strips(
        strips(), scale=scale(), holds=holds(), sky=sky()
    )
