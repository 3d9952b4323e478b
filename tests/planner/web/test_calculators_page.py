"""The calculator's pages: a form that works by its address alone, its answer, its mistakes, its pictures."""

import html
import re
import xml.etree.ElementTree as ET
from datetime import time
from urllib.parse import urlencode

import pytest
from django.contrib.auth.models import User
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse
from django.utils import translation

from jobs.models import Branch
from planner.calculators.catalog import CALCULATORS
from planner.web.models import Membership
from planner.web.presenters.calculators.page import CalculatorPage, present_calculator
from planner.web.presenters.calculators.plan import DrawnPlan, grown
from planner.web.presenters.calculators.section import DrawnSection
from planner.web.presenters.canvas import words_width

SVG = re.compile(r"<svg.*?</svg>", re.DOTALL)
NAMES = pytest.mark.parametrize("name", CALCULATORS)

# Numbers at the edges of what can be drawn.
EDGES = [
    ("strength", {"concrete_temp": "32 F", "percent": "100"}),
    ("strength", {"concrete_temp": "170 F", "percent": "1", "cement": "type-iii"}),
    ("pour-rate", {"rating": "4,000 psf", "height": "8 ft"}),
    ("pour-rate", {"rating": "700 psf", "height": "30 ft", "concrete_temp": "99 F"}),
    ("pour-rate", {"rating": "601 psf", "height": "4 ft", "concrete_temp": "40 F"}),
    ("evaporation", {"concrete_temp": "110 F", "humidity": "5", "wind": "25"}),
    ("evaporation", {"concrete_temp": "50 F", "humidity": "100", "air_temp": "90 F"}),
    ("saturation", {"ph": "9", "calcium": "1000", "alkalinity": "1000"}),
    ("saturation", {"ph": "6", "calcium": "5", "alkalinity": "5", "water_temp": "32 F"}),
    ("heat", {"air_temp": "-45 C", "wind": "60"}),
    ("heat", {"air_temp": "60 F"}),
    ("heat", {"air_temp": "105 F", "humidity": "50"}),
    ("salt", {"now": "0", "wanted": "1", "volume": "100 gal"}),
    ("salt", {"now": "5000", "wanted": "3000"}),
    ("uplift", {"head": "19 ft", "slab": "2 in"}),
    ("uplift", {"head": "0"}),
    ("setting", {"concrete_temp": "30 F"}),
    ("setting", {"concrete_temp": "100 F", "hours_at_70": "0"}),
    ("drying", {"rain": "0", "dry_for": "0"}),
    ("drying", {"dry_for": "168"}),
    ("concrete", {"length": "0.5", "width": "0.5", "thickness": "1 in"}),
    ("concrete", {"length": "600", "width": "30", "thickness": "6 in"}),
    ("fill", {"flow": "800 gpm"}),
    ("fill", {"flow": "1 gpm", "start": "7 ft"}),
    ("pool", {"level": "0"}),
    ("pool", {"ledges": "4, 1, 18; 20, 6, 9; 30, 2, 20", "stairs": "6, 12, 6; 3, 1, 12"}),
    ("pool", {"shape": "kidney", "narrow": "14", "side_slope": "", "ledges": "20, 6, 9; 4, 2, 20"}),
    ("pool", {"shape": "l-shape", "leg_length": "80", "leg_width": "6", "leg_depth": "3", "leg_from": "34"}),
    (
        "fill",
        {"shape": "stations", "stations": "0, 0, 3; 1, 4, 3.5; 40, 3, 8, 2", "read_after": "1", "read_level": "4"},
    ),
    ("fill", {"runs": "1", "flow": "100 gpm", "finish": "liner"}),
    ("fill", {"water": "several", "clock": "24", "sources": "12, 20, 6; 12, 20, 6; 880, 5.5, 5.75"}),
    ("fill", {"water": "several", "tankers": "6000, 24, 23, 1; 133, 1, 0, 0.1, 1.94", "flow": ""}),
    ("measures", {"trouble": "cold", "chance": "0"}),
    ("measures", {"trouble": "rain", "chance": "100", "loss": "1", "work": "backfill"}),
    ("maturity", {"history": "-22, 1"}),
    ("maturity", {"history": "; ".join(["176, 1", "-10 C, 3"] * 25), "percent": "1", "cement": "class-s"}),
    ("wall-pour", {"height": "1 ft", "rating": "4,000 psf", "core_length": "60 ft"}),
    (
        "wall-pour",
        {
            "height": "19 ft",
            "rating": "2,000 psf",
            "rise": "2",
            "trucks": "3",
            "round_trip": "30 min",
            "light": "24",
            "lift": "2",
        },
    ),
    ("cold", {"air_temp": "-40", "section": "6 ft", "transit": "3 h", "carrier": "drum"}),
    ("cold", {"air_temp": "104", "transit": "0", "service": "full-load"}),
    ("mixture", {"water_temp": "190", "cement_temp": "190", "aggregate_temp": "190"}),
    ("mixture", {"ice": "120", "water": "130"}),
    ("keeping-warm", {"coldest": "-40", "warmest": "122", "member": "slab", "days": "28", "thickness": "2"}),
    ("keeping-warm", {"coldest": "122", "warmest": "122", "placed": "104", "days": "1", "percent": "100"}),
    ("steel", {"length": "300", "width": "3", "spacing": "3"}),
    ("steel", {"length": "3", "width": "300", "spacing": "36", "lap": "0"}),
    ("forms", {"shape": "l-shape", "leg_length": "12", "leg_width": "10", "leg_depth": "3.5", "leg_from": "0"}),
    ("forms", {"course": "48", "wall_height": "20 ft", "waste": "0", "side_slope": "", "back_slope": ""}),
    ("forms", {"shape": "oval", "side_slope": "", "freeboard": "0", "course": "42"}),
    ("liner", {"shape": "stations", "stations": "0, 0, 3; 9, 14, 4; 30, 12, 8, 6; 38, 4, 7"}),
    ("plaster", {"tile_band": "0", "ledges": "20, 6, 9"}),
    ("deck", {"deck_width": "0", "coping_width": "2"}),
    ("deck", {"deck_width": "32", "shape": "kidney", "narrow": "14", "side_slope": ""}),
    ("deck", {"shape": "l-shape", "leg_length": "12", "leg_width": "10", "leg_depth": "3.5", "leg_from": "9"}),
    ("whole-order", {"finish": "sprayed", "deck_width": "0", "pipe": "0", "ledges": "20, 6, 9"}),
    ("whole-order", {"shape": "kidney", "narrow": "14", "side_slope": "", "finish": "plaster", "soil": "clay"}),
    (
        "pool",
        {"shape": "l-shape", "leg_length": "20", "leg_width": "6", "leg_depth": "3", "leg_from": "3", "leg_deep": "9"},
    ),
    ("pipe", {"runs": "0.5, 0"}),
    ("pipe", {"runs": ";".join(["1000, 60, 60"] * 20), "stock": "60"}),
    ("gravel", {"area": "1", "thickness": "0.5"}),
    ("gravel", {"area": "50000", "thickness": "3 in", "truck": "40"}),
    ("over-order", {"drawn": "0.01"}),
    ("over-order", {"drawn": "10000", "spread": "50", "loss": "50", "waste": "0.01", "short": "100000"}),
    ("over-order", {"spread": "0", "loss": "0"}),
    ("over-order", {"need": "between", "least": "8", "most": "8", "sold": "bags"}),
    ("over-order", {"need": "between", "least": "0", "most": "150", "sold": "pieces", "step": "12"}),
    ("spoil", {"depth": "0.25", "length": "1", "width": "1"}),
    ("spoil", {"length": "300", "width": "300", "depth": "20"}),
]


def drawn(page: CalculatorPage) -> str:
    return render_to_string("planner/calculate/page.html", {"page": page})


def pictures(text: str) -> list[ET.Element]:
    """Every picture of a page's answer; fails when its markup is not well formed."""
    answer = text[text.index("calc-answer") : text.index("</main>")]
    found = [
        ET.fromstring(one.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)) for one in SVG.findall(answer)
    ]
    return [one for one in found if one.get("role") == "img"]


@pytest.fixture
def client(db: None) -> Client:
    branch = Branch.objects.create(
        name="Yard",
        slug="yard",
        company="Builders",
        zone="America/New_York",
        opens=time(7),
        closes=time(15, 30),
        yard_latitude=40.0,
        yard_longitude=-75.0,
    )
    user = User.objects.create_user(username="reader")
    Membership.objects.create(user=user, branch=branch, role=Membership.Role.READER)
    client = Client()
    client.force_login(user)
    return client


def test_the_list_leads_to_every_question(client: Client) -> None:
    text = client.get(reverse("calculators")).content.decode()
    for name, one in CALCULATORS.items():
        assert f'href="{reverse("calculator", args=[name])}"' in text
        assert html.escape(one.question) in text
    assert 'aria-current="page">Calculate' in text


@NAMES
def test_a_page_opens_with_an_example_that_says_so(client: Client, name: str) -> None:
    answer = client.get(reverse("calculator", args=[name]))
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "An example: put in your own numbers." in text
    assert html.escape(CALCULATORS[name].answer(CALCULATORS[name].examples()).says) in text


@NAMES
def test_the_form_alone_asks_and_keeps_what_was_typed(client: Client, name: str) -> None:
    """A plain GET form without a script: its own fields, sent as they stand, give the same answer at an address."""
    url = reverse("calculator", args=[name])
    text = client.get(url).content.decode()
    form = text[text.index("<form", text.index("<main")) : text.index("</form>", text.index("<main"))]
    assert 'method="get"' in form
    assert "hx-" not in form
    assert "<script" not in form
    sent = fields(form)
    asked = CALCULATORS[name]
    assert set(sent) == {one.name for one in asked.inputs} | {
        f"{one.name}_unit" for one in asked.asks if len(one.kind.symbols) > 1
    }
    again = client.get(f"{url}?{urlencode(sent)}").content.decode()
    assert html.escape(asked.answer(asked.examples()).says) in again
    assert "An example" not in again
    assert fields(again[again.index("calc-form") : again.index("</form>", again.index("calc-form"))]) == sent


def fields(form: str) -> dict[str, str]:
    found = {
        name: html.unescape(value)
        for name, value in re.findall(r'<input id="[^"]+" name="([^"]+)" value="([^"]*)"', form)
    }
    for name, value in re.findall(r'<textarea id="[^"]+" name="([^"]+)"[^>]*>([^<]*)</textarea>', form):
        found[name] = html.unescape(value)
    for name, options in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        (chosen,) = re.findall(r'<option value="([^"]*)" selected', options)
        found[name] = html.unescape(chosen)
    return found


@NAMES
def test_every_field_has_a_label_and_its_range(client: Client, name: str) -> None:
    text = client.get(reverse("calculator", args=[name])).content.decode()
    for one in CALCULATORS[name].inputs:
        assert f'<label for="{one.name}">{html.escape(one.label)}' in text
    for asked in CALCULATORS[name].asks:
        assert html.escape(asked.allowed()) in text


def test_a_mistake_stands_at_its_field_and_at_the_top(client: Client) -> None:
    url = reverse("calculator", args=["evaporation"])
    answer = client.get(
        url, {"concrete_temp": "80", "air_temp": "x<y", "humidity": "140", "wind": "30", "wind_unit": "mph"}
    )
    text = answer.content.decode()
    assert answer.status_code == 400
    assert 'role="alert"' in text
    assert "x&lt;y" in text
    assert "x<y" not in text
    for field in ("air_temp", "humidity"):
        assert f'href="#{field}"' in text
        place = text[text.index(f'<input id="{field}"') :]
        assert 'aria-invalid="true"' in place[: place.index(">")]
        assert f'id="{field}-error"' in text
        assert f'{field}-error"' in place[: place.index(">")]
    assert 'value="80"' in text
    assert "calc-answer" not in text


def test_missing_numbers_and_strange_names_are_told(client: Client) -> None:
    answer = client.get(reverse("calculator", args=["uplift"]), {"slab": "6 in", "colour": "red"})
    text = html.unescape(answer.content.decode())
    assert answer.status_code == 400
    assert "Groundwater above the underside of the slab is missing." in text
    assert "'colour' is nothing this calculator asks for." in text


def test_only_questions_there_are_have_a_page(client: Client) -> None:
    assert client.get(reverse("calculator", args=["brick"])).status_code == 404
    assert client.post(reverse("calculators")).status_code == 405
    assert Client().get(reverse("calculators")).status_code == 302


@pytest.mark.parametrize(("name", "given"), [*((name, {}) for name in CALCULATORS), *EDGES])
def test_pictures_are_well_formed_inside_their_paper_and_told_in_a_table(name: str, given: dict[str, str]) -> None:
    found = CALCULATORS[name]
    page = present_calculator(found, {**found.examples(), **given})
    assert page.answer is not None, page.problems
    text = drawn(page)
    shown = pictures(text)
    assert len(shown) == len(page.drawn)
    for picture, facts in zip(shown, page.drawn, strict=True):
        assert picture.get("aria-label")
        assert all(len(row) == len(facts.heads) for row in facts.rows)
        assert facts.rows
        if "long-section" not in str(picture.get("class")):
            assert_inside(picture)
    said = " ".join(cell for facts in page.drawn for row in facts.rows for cell in row)
    assert not {"nan", "inf", "-inf", ""} & set(said.split())


def assert_inside(picture: ET.Element) -> None:
    width, height = (float(part) for part in str(picture.get("viewBox")).split()[2:])
    for node in picture.iter("{http://www.w3.org/2000/svg}text"):
        words = "".join(node.itertext())
        run = words_width(words, 0.9 * float(node.get("font-size", "13")))
        x, y = float(node.get("x", "0")), float(node.get("y", "0")) + float(node.get("dy", "0"))
        start = x - {"start": 0.0, "middle": run / 2, "end": run}[node.get("text-anchor", "start")]
        assert start >= -1, words
        assert start + run <= width + 1, words
        assert 0 <= y <= height, words
    for node in picture.iter():
        for pair in (node.get("points") or "").split():
            x, y = (float(part) for part in pair.split(","))
            assert -1 <= x <= width + 1
            assert -1 <= y <= height + 1


@NAMES
def test_paper_tells_what_was_asked(name: str) -> None:
    """A page is printed without its form: everything that counts stands beside the answer, once, with its unit."""
    found = CALCULATORS[name]
    page = present_calculator(found, found.examples())
    labels = [label for label, _ in page.asked]
    assert len(set(labels)) == len(labels)
    assert {one.label for one in found.inputs if found.examples().get(one.name)} >= set(labels)
    assert {one.label for one in found.asks if one.example and one.when is None} <= set(labels)
    text = drawn(page)
    assert all(html.escape(value) in text for _, value in page.asked)
    told = {"Length of the water line": "40 ft", "Water depth, shallow end": "3 ft 6 in", **dict(page.asked)}
    assert (told["Length of the water line"], told["Water depth, shallow end"]) == ("40 ft", "3 ft 6 in")


def test_ledges_and_stairs_are_drawn_and_told() -> None:
    """A ledge across the shallow end is cut, 6 of 40 ft along; a bench along the side stands beyond. On the paper of
    the plan the ledge is 6 by 20 ft, its table says what it takes: 20 x 6 x 2.75 ft3 are 2,469 gal, by hand."""
    found = CALCULATORS["pool"]
    page = present_calculator(found, {**found.examples(), "ledges": "20, 6, 9; 8, 1.5, 18", "stairs": "6, 3, 12"})
    section, plan, *_ = page.drawn
    assert isinstance(section, DrawnSection)
    assert isinstance(plan, DrawnPlan)
    plain = present_calculator(found, found.examples()).drawn[0]
    assert isinstance(plain, DrawnSection)
    bodies = [layer.points for layer in section.section.layers if layer.kind == "concrete"]
    (ledge,) = set(bodies) - {layer.points for layer in plain.section.layers if layer.kind == "concrete"}
    xs, ys = zip(*(tuple(map(float, pair.split(","))) for pair in ledge.split()), strict=True)
    scale = min(40.0, 430 / (40 * 0.3048 + 3))
    assert max(xs) - min(xs) == pytest.approx(6 * 0.3048 * scale, abs=0.2)
    assert max(ys) - min(ys) == pytest.approx(2.75 * 0.3048 * scale, abs=0.2)
    assert len(section.section.beyond) == 1 + 3
    assert len(plan.solids) == 2 + 3
    assert ("Ledge 20 ft × 6 ft", "takes 2,469 gal") in plan.rows
    assert ("Stair 6 ft × 3 ft, 3 treads", "takes 236 gal") in plan.rows
    assert ("0.0 to 6.0, built in", "0.75") in section.rows
    # The shallow depth is told where nothing is built in.
    assert section.section.depths[0].x > max(xs)


def test_the_curve_reaches_its_threshold_at_its_mark() -> None:
    found = CALCULATORS["strength"]
    text = drawn(present_calculator(found, {**found.examples(), "concrete_temp": "50 F"}))
    (picture,) = pictures(text)
    ns = "{http://www.w3.org/2000/svg}"
    threshold = next(node for node in picture.iter(f"{ns}path") if node.get("class") == "threshold")
    level = float(str(threshold.get("d")).split()[1].split("H")[0])
    (mark,) = (node for node in picture.iter(f"{ns}circle") if node.get("class") == "dot")
    assert float(mark.get("cy", "0")) == pytest.approx(level, abs=0.11)


@pytest.mark.parametrize("by", [0.3, 1.5])
def test_a_ring_is_moved_out_on_every_side(by: float) -> None:
    """An L of 10 by 6 m with 4 by 3 m out of its corner: the area of a ring with square corners, A + P d + 4 d²."""
    outline = ((0.0, 0.0), (10.0, 0.0), (10.0, 3.0), (6.0, 3.0), (6.0, 6.0), (0.0, 6.0))
    out = list(grown(outline, by))
    twice = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(out, [*out[1:], out[0]], strict=True))
    assert twice / 2 == pytest.approx(48 + 32 * by + 4 * by**2)


def test_drawings_read_the_same_in_a_language_with_a_comma() -> None:
    found = CALCULATORS["pour-rate"]
    with translation.override("es"):
        text = drawn(present_calculator(found, found.examples()))
    assert re.search(r'="\d+,\d+"', text[text.index("<svg", text.index("calc-answer")) :]) is None
