"""Every trade has a hatch of its own shape, and the page defines each hatch once."""

import re
import tomllib
from pathlib import Path

from django.template.loader import render_to_string

from planner.web.presenters.trades import HATCHES, hatch_of, legend

ROOT = Path(__file__).resolve().parents[3]


def patterns() -> dict[str, str]:
    html = render_to_string("planner/drawings/patterns.html")
    return dict(re.findall(r'<pattern id="hatch-([a-z_]+)"[^>]*>(.*?)</pattern>', html))


def test_each_hatch_is_drawn_and_no_two_look_alike() -> None:
    drawn = patterns()
    shapes = [drawn[hatch] for hatch in (*HATCHES, "other")]
    assert len(set(shapes)) == len(HATCHES) + 1


def test_shapes_carry_no_colour_of_their_own() -> None:
    for hatch in HATCHES:
        assert set(re.findall(r'(?:stroke|fill)="(#[0-9a-f]+)"', patterns()[hatch])) == {"#16242e"}


def test_an_unknown_trade_is_drawn_plain() -> None:
    assert hatch_of("rock_work") == "other"


def test_the_legend_names_each_trade_once_in_one_order() -> None:
    entries = legend((("liner", "liner"), ("rock", "rock work"), ("layout", "layout"), ("liner", "liner")))
    assert [(one.hatch, one.title) for one in entries] == [
        ("layout", "layout"),
        ("liner", "liner"),
        ("other", "rock work"),
    ]


def test_every_trade_of_the_build_methods_has_its_hatch() -> None:
    vocabulary = tomllib.loads((ROOT / "jobs" / "methods" / "vocabulary.toml").read_text())
    trades = {entry["key"] for entry in vocabulary["trade"]}
    assert {trade for trade in trades if hatch_of(trade) == "other"} == set()
