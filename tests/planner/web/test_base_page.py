"""The frame of every page: where you are, a way past the head, no address but our own."""

import re
from pathlib import Path

import pytest
from django.template.loader import render_to_string
from django.test import Client
from django.utils import translation

pytestmark = pytest.mark.urls("tests.planner.web.page_names")
STATIC = Path(__file__).resolve().parents[3] / "planner" / "web" / "static" / "planner"


def test_the_head_names_only_pages_that_exist_and_marks_the_one_you_are_on() -> None:
    html = render_to_string("planner/base.html", {"title": "Pools", "here": "pools"})
    nav = html[html.index("<nav") : html.index("</nav>")]
    assert re.findall(r">([A-Z][a-z ]+)</a>", nav) == ["Today", "Pools", "Crews", "Sky"]
    assert re.findall(r'href="([^"]+)" aria-current="page"', nav) == ["/pools/"]


def test_the_first_link_skips_to_the_content() -> None:
    html = render_to_string("planner/base.html", {})
    target = re.search(r'<a class="skip" href="#([a-z]+)"', html)
    assert target is not None
    assert f'<main id="{target[1]}"' in html


def test_the_banner_stands_inside_the_page_and_is_escaped() -> None:
    html = render_to_string("planner/base.html", {"banner": "Recorded <weather>"})
    assert "Recorded &lt;weather&gt;" in html[html.index("<main") : html.index("</main>")]


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_page_says_its_language(language: str) -> None:
    with translation.override(language):
        assert f'<html lang="{language}">' in render_to_string("planner/base.html", {})


@pytest.mark.urls("planner.urls")
@pytest.mark.django_db
def test_whoever_asks_for_a_language_the_words_are_not_in_gets_english_and_is_told_so(client: Client) -> None:
    html = client.get("/sign-in/", headers={"accept-language": "es"}).content.decode()
    assert '<html lang="en">' in html or '<html lang="en-us">' in html
    assert "Password" in html


def test_nothing_is_fetched_from_elsewhere() -> None:
    html = render_to_string("planner/base.html", {})
    files = re.findall(r'(?:href|src)="/static/planner/([^"]+)"', html)
    assert {"tokens.css", "page.css", "drawings.css", "paper.css", "htmx.min.js", "fold.js", "mark.svg"} == set(files)
    for name in files:
        assert (STATIC / name).is_file()
    assert "//" not in re.sub(r"<!doctype html>|/\*.*?\*/", "", html)
    for sheet in STATIC.glob("*.css"):
        assert "http" not in sheet.read_text()
        assert "@import" not in sheet.read_text()


def test_colours_are_named_once_for_light_and_once_for_dark() -> None:
    light, dark = (STATIC / "tokens.css").read_text().split("@media (prefers-color-scheme: dark)")
    used = {name for sheet in STATIC.glob("*.css") for name in re.findall(r"var\((--[a-z-]+)\)", sheet.read_text())}
    named = set(re.findall(r"(--[a-z-]+):", light))
    assert used <= named
    shapes = {"--sans", "--gap", "--reach", "--round", "--left"}
    assert named - shapes == set(re.findall(r"(--[a-z-]+):", dark))


def test_the_licence_of_what_others_wrote_is_beside_it() -> None:
    assert "Zero-Clause BSD" in (STATIC / "htmx.LICENSE.txt").read_text()


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2 definition."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("scheme", [0, 1])
def test_words_stand_out_on_every_paper(scheme: int) -> None:
    sheet = (STATIC / "tokens.css").read_text().split("@media (prefers-color-scheme: dark)")[scheme]
    tokens = dict(re.findall(r"(--[a-z-]+):\s*(#[0-9a-f]{6})", sheet))
    papers = ("--paper", "--sheet", "--air", "--note-sheet", "--stop-sheet", "--unknown-sheet", "--faint", "--rain")
    pairs = [(ink, paper) for ink in ("--ink",) for paper in papers]
    pairs += [(ink, paper) for ink in ("--soft", "--link") for paper in ("--paper", "--sheet", "--air", "--faint")]
    pairs += [("--stop", "--stop-sheet"), ("--stop", "--sheet")]
    for ink, paper in pairs:
        low, high = sorted((luminance(tokens[ink]), luminance(tokens[paper])))
        # WCAG 2.2 success criterion 1.4.3: at least 4.5 to 1.
        assert (high + 0.05) / (low + 0.05) >= 4.5, (ink, paper)


def test_a_page_that_travels_alone_carries_its_styles() -> None:
    html = render_to_string("planner/base.html", {"inline_styles": "p > b { color: red }"})
    assert "<style>p > b { color: red }</style>" in html
    assert "<link" not in html
