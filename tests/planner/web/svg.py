"""Reading drawings back: well-formed, inside their box, words that fit."""

import xml.etree.ElementTree as ET
from dataclasses import fields, is_dataclass
from typing import Any

from django.template.loader import render_to_string

SVG = "{http://www.w3.org/2000/svg}"


def draw(template: str, **context: Any) -> ET.Element:
    """The root element of the first svg a template draws; fails when the markup is not well formed."""
    html = render_to_string(f"planner/drawings/{template}", context)
    start = html.index("<svg")
    end = html.index("</svg>", start) + len("</svg>")
    return ET.fromstring(html[start:end].replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1))


def words_of(root: ET.Element) -> list[str]:
    return [" ".join("".join(node.itertext()).split()) for node in root.iter(f"{SVG}text")]


def numbers_in(value: Any) -> list[str]:
    """Every coordinate text of a drawing's dataclass, to look for a comma where a dot belongs."""
    if is_dataclass(value) and not isinstance(value, type):
        return [found for field in fields(value) for found in numbers_in(getattr(value, field.name))]
    if isinstance(value, tuple):
        return [found for one in value for found in numbers_in(one)]
    return [str(value)] if isinstance(value, float) else []


def rows_of(template: str, **context: Any) -> list[list[str]]:
    """The cells of every table row a template writes."""
    html = render_to_string(f"planner/drawings/{template}", context)
    start = html.index("<table")
    root = ET.fromstring(f"<all>{_tables(html[start:])}</all>")
    return [[" ".join("".join(cell.itertext()).split()) for cell in row] for row in root.iter("tr")]


def _tables(html: str) -> str:
    parts = []
    while "<table" in html:
        start, end = html.index("<table"), html.index("</table>") + len("</table>")
        parts.append(html[start:end])
        html = html[end:]
    return "".join(parts)
