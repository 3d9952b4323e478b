"""Pictures of every page as a person would see it: at a desk and on a phone, by day, by night and on paper."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from playwright.sync_api import Browser, BrowserContext, Page

DESK = (1280, 900)
PHONE = (390, 844)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A page to be pictured: a name for its files, and its path on the server."""

    name: str
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One way of seeing a page."""

    name: str
    size: tuple[int, int]
    scheme: Literal["light", "dark"] = "light"
    media: Literal["screen", "print"] = "screen"


LOOKS = (
    Look(name="desk-light", size=DESK),
    Look(name="desk-dark", size=DESK, scheme="dark"),
    Look(name="phone-light", size=PHONE),
    Look(name="phone-dark", size=PHONE, scheme="dark"),
    Look(name="paper", size=(816, 1056), media="print"),
)


def take_pictures(
    browser: Browser,
    address: str,
    pages: Sequence[Shown],
    folder: Path,
    *,
    enter: Callable[[BrowserContext], None],
) -> Iterator[Path]:
    """Write one picture of each page in each look; yields their paths.

    Parameters
    ----------
    enter : callable
        Signs a fresh browser context in.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for look in LOOKS:
        context = browser.new_context(
            viewport={"width": look.size[0], "height": look.size[1]}, color_scheme=look.scheme, device_scale_factor=1
        )
        enter(context)
        page = context.new_page()
        page.emulate_media(media=look.media, color_scheme=look.scheme)
        for shown in pages:
            yield _picture(page, address, shown, folder / f"{shown.name}.{look.name}.png")
        context.close()


def _picture(page: Page, address: str, shown: Shown, path: Path) -> Path:
    answer = page.goto(f"{address}{shown.path}", wait_until="networkidle")
    if answer is None or not answer.ok:
        raise RuntimeError(f"{shown.path} answered {answer.status if answer else 'nothing'}")
    page.screenshot(path=str(path), full_page=True)
    return path
