"""Who signs in to a branch, from the file of an office."""

import secrets
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from django.contrib.auth import get_user_model

from crews.models import Crew
from crews.services.offices import Place
from jobs.models import Branch
from planner.web.models import Membership

KNOWN = ("name", "role", "crew", "email", "admin_pages")


def give_roles(*, branch: Branch, people: Iterable[Mapping[str, Any]], path: Path) -> list[tuple[str, str]]:
    """Give each person the role in the branch, and those who are new a random password.

    Returns
    -------
    list of (name, password)
        The new ones.

    Raises
    ------
    CannotDo
        ``office.entry_field``.
    """
    made = []
    for entry in people:
        at = Place(path=path, what="person", name=str(entry.get("name", "?")))
        user, new = get_user_model().objects.get_or_create(
            username=_name(entry, at), defaults={"email": str(entry.get("email", ""))}
        )
        if new:
            password = secrets.token_urlsafe(12)
            user.set_password(password)
            made.append((user.get_username(), password))
        if entry.get("admin_pages") is True:
            user.is_staff = user.is_superuser = True
        user.save()
        Membership.objects.create(user=user, branch=branch, role=entry["role"], crew=_crew(branch, entry, at))
    return made


def _name(entry: Mapping[str, Any], at: Place) -> str:
    for key in entry:
        if key not in KNOWN:
            raise at.wrong(key, f"there is no such value; a person has {', '.join(KNOWN)}.")
    if not str(entry.get("name", "")).strip():
        raise at.wrong("name", "is missing.")
    if entry.get("role") not in Membership.Role.values:
        raise at.wrong("role", f"choose one of {', '.join(Membership.Role.values)}.")
    return str(entry["name"]).strip()


def _crew(branch: Branch, entry: Mapping[str, Any], at: Place) -> Crew | None:
    if "crew" not in entry:
        if entry["role"] == Membership.Role.FOREMAN:
            raise at.wrong("crew", "a foreman needs the key of a crew.")
        return None
    crew = Crew.objects.filter(branch=branch, key=entry["crew"]).first()
    if crew is None:
        raise at.wrong("crew", f"no [[crew]] of the file has the key {entry['crew']}.")
    return crew
