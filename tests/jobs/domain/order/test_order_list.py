"""The order list of the worked pool, line by line, and the table a spreadsheet opens without danger."""

import csv
import io
from typing import cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from jobs.domain.order.buying import Buying
from jobs.domain.order.finish import Finish
from jobs.domain.order.lines import OrderLine, as_csv, as_text, bought, pieces
from jobs.domain.order.take import order_list
from tests.jobs.domain.pools import design_of, worked_design
from tests.jobs.domain.shapes.any_pool import pools

FINISHES: tuple[Finish, ...] = ("liner", "plaster", "sprayed")
LINER = {line.item.partition(",")[0]: line for line in order_list(worked_design(), finish="liner")}


@pytest.mark.parametrize(
    ("item", "needed", "buy"),
    [
        # Each by hand from the 16 x 32 ft pool: 124.44 m3 x 1.30 in 9.17 m3 trucks; 5.60 m3 x 1.15 x 1.6 t is
        # 10.31 t or 11.36 tons of 2000 lb, twelve of them 10.886 t.
        ("Spoil to haul", 161.77, 18),
        ("Stone under the floor", 5.601, 10.886),
        # 7.58 m3 x (1.05 + 0.805 x 0.03) = 8.14, up to quarter yards 10.75 yd3; 5.855 x 1.074 = 6.29, 8.25 yd3.
        ("Concrete for the floor", 7.581, 8.219),
        ("Concrete for walls and coping", 5.855, 6.308),
        ("Braces", 29.26, 1),
        # 74 m in lengths of 6.096 m.
        ("Pipe", 74.0, 13),
        ("Return", 2, 2),
        # 87.23 m2 and 8 %; 31.2 m2 and 5 % on one roll of 37.2; 56.01 m2 and 5 % in sheets of 2.97.
        ("Liner", 87.23, 94.3),
        ("Wall sheet", 31.22, 1),
        ("Floor foam", 56.01, 20),
        # 67.19 m3 x 3.2 kg is 215 kg in bags of 18.14; 67.19 x 0.03 is 2.0 kg.
        ("Salt for the water", 215.0, 12),
        ("Stabiliser for the water", 2.016, 1),
        # 44.6 m2 x 0.102 m = 4.55 m3, x 1.074 = 4.89, 6.5 yd3.
        ("Concrete for the deck", 4.549, 4.970),
    ],
)
def test_line_by_hand(item, needed, buy):
    assert LINER[item].quantity == pytest.approx(needed, abs=0.01)
    assert LINER[item].bought_quantity == pytest.approx(buy, abs=0.001)


def test_bars_of_the_worked_pool_by_hand():
    """Floor 4.877 x 9.754 m at 0.305 m: 17 and 33 bars; true floor 56.01 on 47.57 m2 in plan. Long ones lap once."""
    net = (17 * 9.7536 + 33 * 4.8768) * 56.010 / 47.566
    lapped = net + 17 * 40 * 0.0095 * 56.010 / 47.566
    uncounted = order_list(worked_design(floor_steel_kg=0.0), finish="liner")
    floor = next(line for line in uncounted if line.item.startswith("Floor bars"))
    assert floor.quantity == pytest.approx(lapped * 0.560, rel=1e-4)
    assert floor.bought_quantity == pieces(lapped, 6.096)
    # What the drawing counts goes before: 300 kg at 0.560 kg a m in bars of 6.096 m.
    assert (LINER["Floor bars"].quantity, LINER["Floor bars"].bought_quantity) == (300.0, 88)
    assert f"{lapped:.1f} m with laps" in LINER["Floor bars"].how
    # Three level rings of 30.38 m, six laps each; 75 upright bars of 1.067 m and a lap of 40 x 12.7 mm.
    walls = 3 * (30.377 + 6 * 0.508) + 75 * (1.0668 + 0.508)
    assert LINER["Wall bars"].quantity == pytest.approx(walls * 0.994, rel=1e-4)
    assert "on the drawing, which governs" in LINER["Floor bars"].how


def test_a_cage_counted_on_the_drawing_is_ordered_as_counted():
    """900 kg of #3 at 0.560 kg a m in bars of 6.096 m; no second line for the walls."""
    lines = order_list(worked_design(steel_kg=900.0), finish="sprayed")
    bars = [line for line in lines if "bars" in line.bought_unit]
    assert [(line.item, line.quantity, line.bought_quantity) for line in bars] == [("Bars of the cage", 900.0, 264)]


def test_each_way_to_build_buys_its_own():
    items = {finish: " ".join(line.item for line in order_list(worked_design(), finish=finish)) for finish in FINISHES}
    assert "Liner" in items["liner"]
    assert "foam" in items["liner"]
    assert "Plaster" not in items["liner"]
    for finish in ("plaster", "sprayed"):
        assert "Plaster" in items[finish]
        assert "Coping units" in items[finish]
        assert "Liner" not in items[finish]
    assert "forms" in items["plaster"]
    assert "forms" not in items["sprayed"]
    assert "Concrete to spray" in items["sprayed"]
    assert "Concrete for the shell" in items["plaster"]
    with pytest.raises(CannotDo) as refused:
        order_list(worked_design(), finish=cast(Finish, "tiles"))
    assert refused.value.code == "order.unknown_finish"


def test_the_office_buys_in_its_own_sizes_and_prices():
    dear = Buying(short_dollars_m3=5000.0, waste_dollars_m3=50.0, pour_spread=0.08, coping_piece_m=0.305)
    more = {line.item: line for line in order_list(worked_design(), finish="plaster", buying=dear)}
    usual = {line.item: line for line in order_list(worked_design(), finish="plaster")}
    shell = "Concrete for the shell"
    assert more[shell].bought_quantity > usual[shell].bought_quantity
    assert more["Coping units"].bought_quantity == pieces(30.48, 0.305)


@settings(max_examples=20, deadline=None)
@given(pools, st.sampled_from(FINISHES))
def test_any_shape_can_be_ordered_and_never_less_than_is_needed(basin, finish):
    lines = order_list(design_of(basin), finish=finish)
    assert lines
    for line in lines:
        assert line.how
        assert line.source
        assert line.bought_quantity > 0
        if line.bought_unit == line.unit:
            assert line.bought_quantity >= line.quantity - 1e-3


def test_the_table_reads_back_and_starts_no_formula():
    lines = (
        _line("=HYPERLINK(1)", unit="+1"),
        _line("-2", unit="@sum", how="\t=1"),
        _line('Stone, "washed"', how="a\nb"),
    )
    read = list(csv.reader(io.StringIO(as_csv(lines), newline="")))
    assert [row[0] for row in read] == ["item", "'=HYPERLINK(1)", "'-2", 'Stone, "washed"']
    assert read[1][2] == "'+1"
    assert read[2][2] == "'@sum"
    assert read[2][5] == "'\t=1"
    assert read[3][5] == "a\nb"
    assert all(len(row) == 7 for row in read)
    assert as_csv(lines).count("\r\n") == 4


@given(st.text(max_size=20))
def test_no_text_of_a_table_begins_like_a_formula(text):
    read = list(csv.reader(io.StringIO(as_csv((_line(text),)), newline="")))
    assert not read[1][0].startswith(("=", "+", "-", "@"))


def test_printed_list_is_aligned_and_says_why():
    printed = as_text(order_list(worked_design(), finish="liner"))
    heads = [row for row in printed.splitlines() if not row.startswith("    ")]
    assert len({row.index("(needs") for row in heads}) == 1
    assert "over-order that costs least at 785 dollars a m³ short" in printed
    assert as_text(()) == ""


def test_whole_pieces():
    assert bought(8.0, 0.25) == 8.0
    assert bought(0.1 * 3, 0.3) == pytest.approx(0.3)
    assert pieces(0.0, 5.0) == 0
    with pytest.raises(CannotDo):
        pieces(1.0, 0.0)


def _line(item, *, unit="m", how="by hand"):
    return OrderLine(
        item=item, quantity=1.0, unit=unit, bought_quantity=2.0, bought_unit="pieces", how=how, source="none"
    )
