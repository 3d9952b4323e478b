"""Reading a page back: its text, its links, its drawings and the tables beside them."""

import re
from html.parser import HTMLParser
from typing import Any


class _Outline(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.targets: list[str] = []
        self.headings: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if found.get("id"):
            self.ids.append(str(found["id"]))
        if tag == "a" and found.get("href"):
            self.targets.append(str(found["href"]))
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(tag)


def outline(html: str) -> _Outline:
    """Ids, links and headings of a page, in order."""
    found = _Outline()
    found.feed(html)
    return found


def text(html: str) -> str:
    """The words of a page, every space alike."""
    bare = re.sub(r"<(style|script)\b.*?</\1>|<[^>]+>", " ", html, flags=re.S)
    return " ".join(bare.replace("&quot;", '"').replace("&#x27;", "'").replace("\u00a0", " ").split())


def page_of(response: Any) -> Any:
    """The presenter's value a template was given."""
    return response.context["page"]
