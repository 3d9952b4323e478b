"""``manage.py screenshots --out DIR``: a picture of every page, as a person sees it."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management.base import CommandError

from crews.snapshots import crews_of
from planner import clock
from planner.management.plain import PlainCommand
from planner.web.screens.catalogue import forget_visitor, pages_of, visitor_session

try:
    from planner.web.screens.browser import find_browser, open_browser, serve
    from planner.web.screens.shots import take_pictures
except ModuleNotFoundError as missing:
    NEEDS: str | None = missing.name
else:
    NEEDS = None


class Command(PlainCommand):
    help = (
        "Writes a picture of every page of a branch at desk and phone width, light, dark and on paper. Needs the dev "
        "extra and a Chromium on this machine."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--out", required=True, type=Path, metavar="DIR", help="folder for the pictures")
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        if NEEDS is not None:
            raise CommandError(f"Pictures need {NEEDS}. Install the dev extra: pip install -e '.[dev]'")
        path = find_browser()
        if path is None:
            raise CommandError("No Chromium was found. Install Debian's package chromium, or put one on the path.")
        branch = self.branch_named(options["branch"])
        on = clock.now().astimezone(ZoneInfo(branch.zone)).date()
        tomorrow = crews_of(branch, on).branch_calendar.next_working_day(on)
        pages = tuple(pages_of(branch, tomorrow))
        key = visitor_session(branch)
        try:
            # Only when needed: the application is made for serving, not for looking at help.
            from planner.wsgi import application  # noqa: PLC0415

            with serve(application) as address, open_browser(path) as browser:
                cookie = {"name": settings.SESSION_COOKIE_NAME, "value": key, "url": address}
                pictures = list(
                    take_pictures(
                        browser,
                        address,
                        pages,
                        options["out"],
                        enter=lambda context: context.add_cookies([cookie]),  # type: ignore[list-item]
                    )
                )
        finally:
            forget_visitor()
        self.stdout.write(f"{len(pictures)} pictures of {len(pages)} pages in {options['out']}.")
