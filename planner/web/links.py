"""Addresses of pages for presenters, which know no routes."""

from datetime import date

from django.urls import NoReverseMatch, reverse

from planner.web.presenters.pools.links import Links


def links() -> Links:
    """Links into the pages of the signed-in branch."""
    return Links(pool=_pool, crew_day=_crew_day, page=_page)


def _pool(job_id: int) -> str:
    return reverse("pool", args=[job_id])


def _crew_day(key: str, on: date) -> str:
    return reverse("crew_day", args=[key, on.isoformat()])


def _page(name: str) -> str:
    """The address of a page by its name; empty where this installation has none of that name."""
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
