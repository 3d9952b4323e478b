"""Whom the watch tells: the office, the foremen of the crews concerned, the owners."""

from collections.abc import Collection, Iterable

from crews.domain.reachable import Reachable, text_number_of
from crews.models import Crew
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.web.models import Membership

Role = Membership.Role


def office_of(branch: Branch) -> tuple[Reachable, ...]:
    """Who plans in a branch: those with the role of the office, else its owners."""
    return _members(branch, Role.OFFICE) or owners_of(branch)


def owners_of(branch: Branch) -> tuple[Reachable, ...]:
    """The owners of a branch."""
    return _members(branch, Role.OWNER)


def foremen_of(branch: Branch, keys: Collection[str]) -> dict[str, Reachable]:
    """The foremen of crews by the key of the crew; a crew nobody wrote a foreman for goes by its own name."""
    rows = Crew.objects.filter(branch=branch, key__in=set(keys), active=True).order_by("pk")
    return {
        row.key: Reachable(
            key=f"crew:{row.pk}",
            name=row.foreman or row.name,
            mail=row.email,
            text_number=_text_number(row.phone, branch.country),
            language=row.language,
        )
        for row in rows
    }


def each_once(people: Iterable[Reachable]) -> tuple[Reachable, ...]:
    """People without repeats, in the order they come."""
    return tuple({person.key: person for person in people}.values())


def _members(branch: Branch, role: str) -> tuple[Reachable, ...]:
    rows = Membership.objects.filter(branch=branch, role=role, user__is_active=True).select_related("user")
    return tuple(
        Reachable(
            key=f"member:{row.pk}",
            name=row.user.get_full_name() or row.user.get_username(),
            mail=row.user.email,
        )
        for row in rows.order_by("pk")
    )


def _text_number(phone: str, country: str) -> str:
    """Empty where a phone takes no text messages: a number with an extension, or one of an unknown country."""
    if not phone:
        return ""
    try:
        return text_number_of(phone, country)
    except CannotDo:
        return ""
