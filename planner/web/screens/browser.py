"""A real browser and a real server for it, both on this machine only."""

import shutil
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import waitress
from playwright.sync_api import Browser, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
# No look-ups of its own: the browser talks to our server and to nobody else.
SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
)


def find_browser() -> str | None:
    """The path of a Chromium on this machine, if there is one."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


@contextmanager
def open_browser(path: str) -> Iterator[Browser]:
    """A headless browser that is closed again."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, headless=True, args=list(SWITCHES))
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def serve(application: Any) -> Iterator[str]:
    """Serve an application on a free port of the loopback address; yields its address."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.bind(("127.0.0.1", 0))
    server = waitress.create_server(application, sockets=[listener], threads=4, ident=None)
    thread = threading.Thread(target=server.run, name="pages", daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{listener.getsockname()[1]}"
    finally:
        server.close()
        thread.join(timeout=5)
