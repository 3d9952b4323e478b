"""What is bought: published rows, pools worked by hand, and the same numbers as the order list of a job."""

import csv
import io

import pytest
from django.core.management import call_command
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from jobs.domain.order.concrete import expected_cost, expected_cost_between
from jobs.domain.order.forms import form_pieces
from jobs.domain.order.sold import sold_in_us
from jobs.domain.order.take import order_list
from jobs.domain.units import m_from_ft, m_from_in
from planner.calculators.answering.answer import Answer
from planner.calculators.catalog import CALCULATORS
from tests.jobs.domain.pools import hopper_16x32, worked_design
from tests.jobs.science.worked_examples import rows_of
from tests.planner.calculators.asked import ask, filled, printed

# The 16 x 32 ft hopper of the order list's own tests.
HOPPER = {
    "length": "32", "width": "16", "shallow_depth": "3", "deep_depth": "8", "freeboard": "6 in",
    "shallow_length": "10", "deep_length": "6", "back_slope": "6", "side_slope": "5",
}  # fmt: skip
LEVEL = {"shallow_length": "", "deep_length": "", "back_slope": "", "side_slope": ""}
BOX = {**LEVEL, "shallow_depth": "4", "deep_depth": "4"}
ORDERS = [name for name, found in CALCULATORS.items() if found.orders]


def rows(*quantities: str) -> list[dict[str, str]]:
    return [row for row in rows_of("takeoff") if row["quantity"] in quantities]


def bought(answer: Answer, item: str) -> float:
    (line,) = (line for line in answer.order if line.item == item)
    return line.bought_quantity


@pytest.mark.parametrize("row", rows("forms_straight", "forms_corners"), ids=lambda row: row["quantity"])
def test_forms_of_a_maker_s_example(row: dict[str, str]) -> None:
    wall, height, corners, leg = (float(row[name]) for name in "abcd")
    found = form_pieces(
        length_m=m_from_ft(wall),
        height_m=m_from_ft(height),
        deep_m2=0.0,
        corners=(int(corners), 0),
        course_m=m_from_in(16.0),
        piece_m=m_from_ft(4.0),
        corner_leg_m=m_from_ft(leg),
        waste=0.0,
    )
    pieces = found.straight if row["quantity"] == "forms_straight" else found.corners_out
    assert pieces == float(row["expected"])


@pytest.mark.parametrize(
    "row", rows("stone_yd3", "stone_tons", "stone_loose_yd3"), ids=lambda row: f"{row['quantity']}-{row['expected']}"
)
def test_stone(row: dict[str, str]) -> None:
    pounds = row["d"] if row["quantity"] == "stone_tons" else "2700"
    answer = ask(
        "gravel",
        area=float(row["a"]) * float(row["b"]),
        thickness=f"{row['c']} in",
        compacts=row["d"] if row["quantity"] == "stone_loose_yd3" else "0",
        density=f"{float(pounds) / 2000} ton/yd³",
    )
    label = {
        "stone_yd3": "Placed and compacted",
        "stone_tons": "Exactly",
        "stone_loose_yd3": "Loose, as it comes",
    }[row["quantity"]]
    assert printed(answer, label) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + 0.005)


@pytest.mark.parametrize("row", rows("deck_ft2"), ids=lambda row: row["expected"])
def test_deck_round_a_rectangle(row: dict[str, str]) -> None:
    """The walk of the example lies beyond a coping of 2 in, so that is left off the water line."""
    length, width = (f"{float(row[name]) * 12 - 4} in" for name in "ab")
    answer = ask("deck", **BOX, length=length, width=width, coping_width="2 in", deck_width=row["c"])
    assert printed(answer, "Deck") == float(row["expected"])


@pytest.mark.parametrize("row", rows("deck_round_ft2"), ids=lambda row: row["expected"])
def test_deck_round_a_round_pool(row: dict[str, str]) -> None:
    across = f"{float(row['a']) * 12 - 4} in"
    answer = ask("deck", **BOX, shape="oval", length=across, width=across, coping_width="2 in", deck_width=row["c"])
    assert printed(answer, "Deck") == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + 0.5)


def test_forms_and_braces_of_a_pool_by_hand() -> None:
    """Common practice, no source: 96 ft of water line and 8 half forms of 11 in are 99.67 ft along the middle; 8 legs
    of 20 in leave 86.33; three courses with 5 % are 271.95 ft, 68 forms. 3.5 ft of wall take three of 16 in, 6 in off.
    """
    answer = ask("forms", **HOPPER)
    assert bought(answer, "Straight forms") == 68
    assert bought(answer, "Corner forms, outside") == 12
    assert printed(answer, "Round the middle of the form") == 99.7
    assert printed(answer, "Cut off the top course") == 6.0
    # 96 ft every 6 ft, and within one set of 130 ft.
    assert printed(answer, "Braces") == 16
    assert bought(answer, "Braces") == 1


def test_an_l_has_one_corner_in_and_a_wedge_forms_its_deep_walls() -> None:
    """Six corners of an L: five out, one in. A wedge 16 x 32 ft, 3 to 8 ft over 14 ft with 6 ft deep: upright below
    the shallow floor 2 x (14 x 5 / 2 + 6 x 5) + 16 x 5 = 210 ft2, 157.5 ft of 16 in courses (common practice, no
    source)."""
    chosen = CALCULATORS["forms"]
    l_shape = chosen.answer({**filled(chosen, {"shape": "l-shape"}), **BOX, "wall_height": "4 ft"})
    assert (bought(l_shape, "Corner forms, outside"), bought(l_shape, "Corner forms, inside")) == (15, 3)
    wedge = {**HOPPER, "shallow_length": "12", "back_slope": "", "side_slope": ""}
    upright = ask("forms", **wedge, waste="0")
    assert printed(upright, "Upright deep walls") == 210
    # 3 courses of 99.67 - 13.33 ft and 157.5 ft, in forms of 4 ft.
    assert bought(upright, "Straight forms") == -(-(3 * (99 + 8 / 12 - 13 - 4 / 12) + 157.5) // 4)


def test_liner_sheet_and_foam_of_a_pool_by_hand() -> None:
    """Pool of 20 x 40 ft, hopper 8 x 8 ft at 8 ft, worked by hand: floor 881.0, walls 420, face 1,301 ft2 with the
    coping at the water. Liner 8 % over; 441 ft2 in rolls of 400; 925 ft2 in sheets of 32 (common practice, no source).
    """
    pool = {
        "length": "40", "width": "20", "shallow_depth": "3.5", "deep_depth": "8", "shallow_length": "14",
        "deep_length": "8", "back_slope": "8", "side_slope": "6", "freeboard": "0",
    }  # fmt: skip
    answer = ask("liner", **pool)
    assert printed(answer, "Inner face it covers") == 1301
    assert printed(answer, "Liner to order") == pytest.approx(1.08 * 1301.0, abs=1.6)
    assert bought(answer, "Wall sheet") == 2
    assert bought(answer, "Floor foam") == 29
    assert "40 feet x 20 feet, 8 feet deep" in answer.order[0].how


def test_plaster_and_tile_of_a_pool_by_hand() -> None:
    """Box of 40 x 20 ft, 4 ft deep, coping 6 in over the water: 800 ft2 and 120 x 4.5 ft of wall are 1,340; a band of
    6 in takes 60; 120 ft of tile are 12 boxes of 10 ft."""
    answer = ask("plaster", **BOX, length="40", width="20", freeboard="6 in")
    assert printed(answer, "Plaster") == 1280
    assert printed(answer, "Waterproofing, two coats") == pytest.approx(2680, abs=1)
    assert bought(answer, "Water-line tile") == 12


def test_coping_of_a_pool_by_hand() -> None:
    """2 x (32 + 16) + 4 x 1 ft are 100 ft, 50 units of 24 in; a deck of 4 ft is 42 x 26 less 34 x 18 ft, 480 ft2, 5.93
    yd3 at 4 in, and 7.4 % over that 6.5."""
    answer = ask("deck", **HOPPER, coping_width="12 in", deck_width="4 ft")
    assert printed(answer, "Middle of the coping, all round") == 100.0
    assert bought(answer, "Coping units") == 50
    assert printed(answer, "Deck") == 480
    assert printed(answer, "Deck concrete in place") == 5.93
    assert printed(answer, "Deck concrete to order") == 6.5
    bare = ask("deck", **HOPPER, deck_width="0")
    assert [line.item for line in bare.order] == ["Coping units"]


def test_pipe_of_runs_by_hand() -> None:
    """62 + 58 + 45 + 20 ft are 185, with 5 % 194.25, ten lengths of 20 ft; 4 + 4 + 3 + 2 elbows, 2 tees."""
    answer = ask("pipe", runs="62, 4; 58, 4; 45, 3, 2; 20, 2")
    items = {line.item: line.bought_quantity for line in answer.order}
    assert items == {"Pipe": 10, "Pipe couplings": 10, "Elbows": 13, "Tees": 2}
    assert [line.item for line in ask("pipe", runs="62").order] == ["Pipe", "Pipe couplings"]


def test_the_same_pool_is_bought_alike_by_question_and_by_its_list() -> None:
    """What the questions take without being told is what the list takes without an office's own sizes."""
    listed = {line.item: line for line in order_list(worked_design(), finish="liner", say=sold_in_us)}
    forms, liner = ask("forms", **HOPPER, form_thickness="0.279 m"), ask("liner", **HOPPER)
    deck = ask(
        "deck",
        **HOPPER,
        coping_width="0.305 m",
        deck_width=f"{worked_design().deck_width_m} m",
        deck_thickness="0.102 m",
    )
    pipe = ask("pipe", runs="74 m, 0")
    for answer in (forms, liner, deck, pipe):
        for line in answer.order:
            if line.item in listed:
                twin = listed[line.item]
                assert line.bought_quantity == pytest.approx(twin.bought_quantity, abs=1e-9), line.item
                assert line.bought_unit == twin.bought_unit
    assert {line.item for line in (*forms.order, *liner.order)} <= set(listed)
    assert worked_design().basin.water_volume_m3 == pytest.approx(hopper_16x32().water_volume_m3)


@pytest.mark.parametrize(
    "row",
    [row for row in rows_of("orders") if row["quantity"] in ("normal", "uniform")],
    ids=lambda row: row["expected"],
)
def test_published_orders_are_asked_alike(row: dict[str, str]) -> None:
    first, second, short, waste = (float(row[name]) for name in "abcd")
    need = (
        {"need": "varies", "drawn": first, "loss": "0", "spread": 100 * second / first}
        if row["quantity"] == "normal"
        else {"need": "between", "least": first, "most": second}
    )
    answer = ask("over-order", sold="pieces", short=short, waste=waste, **need)
    assert printed(answer, "Best before rounding") == pytest.approx(
        float(row["expected"]), abs=float(row["tolerance"]) + 0.005
    )


@given(st.floats(60, 140), st.floats(1, 1000), st.floats(1, 1000))
def test_what_an_order_costs_is_the_integral_over_what_may_be_needed(order: float, short: float, waste: float) -> None:
    """Integrated by scipy over its own normal density, and over even chances."""
    density = norm(100.0, 12.0).pdf
    lack = quad(lambda need: (need - order) * density(need), order, 220.0)[0]
    rest = quad(lambda need: (order - need) * density(need), 0.0, order)[0]
    assert expected_cost(order, mean=100.0, spread=12.0, short_dollars=short, waste_dollars=waste) == pytest.approx(
        short * lack + waste * rest, rel=1e-5, abs=1e-4
    )
    even = quad(lambda need: max(need - order, 0.0) * short + max(order - need, 0.0) * waste, 80.0, 130.0,
                points=[order] if 80 < order < 130 else None)[0] / 50.0  # fmt: skip
    assert expected_cost_between(
        order, least=80.0, most=130.0, short_dollars=short, waste_dollars=waste
    ) == pytest.approx(even, rel=1e-6)


@pytest.mark.parametrize("name", ORDERS)
def test_the_table_of_a_question_is_its_order(name: str) -> None:
    found, out = CALCULATORS[name], io.StringIO()
    options = [f"--{key.replace('_', '-')}={value}" for key, value in found.examples().items()]
    call_command("calc", name, *options, "--csv", stdout=out)
    read = list(csv.reader(io.StringIO(out.getvalue(), newline="")))
    order = found.answer(found.examples()).order
    assert order
    assert read[0] == ["item", "needed", "unit", "buy", "sold as", "how", "source"]
    assert [row[0] for row in read[1:]] == [line.item for line in order]
    for row, line in zip(read[1:], order, strict=True):
        assert f"{float(row[3]):g}" == sold_in_us(line.bought_quantity, line.bought_unit).split()[0].replace(",", "")


def test_concrete_steel_and_spoil_stand_in_their_order_as_in_their_answer() -> None:
    for name, label in (("concrete", "Trucks"), ("steel", "Bars to buy"), ("spoil", "Truckloads")):
        answer = ask(name)
        (ordered,) = answer.order
        told = printed(answer, label)
        assert told == ordered.bought_quantity or f"truck loads: {told:.0f}" in ordered.how
    assert ask("spoil", length="10", width="10", depth="2.7", kept="10 yd³").order == ()


@pytest.mark.parametrize("name", ORDERS)
def test_what_is_bought_is_never_less_than_is_needed(name: str) -> None:
    for line in CALCULATORS[name].answer(CALCULATORS[name].examples()).order:
        assert line.bought_quantity > 0
        if line.bought_unit == line.unit and name != "over-order":
            assert line.bought_quantity >= line.quantity - 1e-9
