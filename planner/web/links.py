"""Addresses of pages for presenters, which know no routes."""

from datetime import date

from django.urls import NoReverseMatch, reverse

from planner.web.presenters.pools.links import Links


def links(*, may_say: bool = True) -> Links:
    """Links into the pages of the signed-in branch; to the forms of any task only for who may fill in them all."""
    return Links(pool=_pool, crew_day=_crew_day, page=_page, say=_say if may_say else _nothing_to_say)


def _pool(job_id: int) -> str:
    return reverse("pool", args=[job_id])


def _crew_day(key: str, on: date) -> str:
    return reverse("crew_day", args=[key, on.isoformat()])


def _say(task_id: int, form: str) -> str:
    return f"{reverse('report_task', args=[task_id])}?say={form}#say-{form}"


def _nothing_to_say(_task_id: int, _form: str) -> str:
    return ""


def _page(name: str) -> str:
    """The address of a page by its name; empty where this installation has none of that name."""
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
