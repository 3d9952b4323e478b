"""Pages of a running service, opened as a person of the office does."""

import re
from html import unescape

import requests


def signed_in(address: str) -> requests.Session:
    """A browser after signing in with the form."""
    session = requests.Session()
    session.trust_env = False
    form = session.get(f"{address}sign-in/", timeout=20)
    entered = {"username": "office", "password": "office", "csrfmiddlewaretoken": session.cookies["csrftoken"]}
    session.post(form.url, data=entered, headers={"Referer": form.url}, timeout=30).raise_for_status()
    return session


def page(address: str, name: str) -> str:
    """A page of the office."""
    with signed_in(address) as session:
        found = session.get(f"{address}{name}/", timeout=60)
    found.raise_for_status()
    return found.text


def table_rows(html: str) -> list[str]:
    """The text of each row of the page's tables."""
    texts = (re.sub(r"<[^>]+>", " ", row) for row in re.findall(r"<tr>.*?</tr>", html, re.DOTALL))
    return [" ".join(unescape(text).split()) for text in texts]
