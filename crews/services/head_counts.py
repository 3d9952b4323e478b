"""How many people of a crew come on a day."""

from datetime import date

from django.db import transaction

from crews.models import Crew, CrewDay
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from jobs.services.branches import bump_inputs


def set_head_count(*, branch: Branch, crew: Crew, on: date, people: int, reason: str = "") -> CrewDay:
    """Keep how many come on a day; nobody at all is a day off.

    Raises
    ------
    CannotDo
        ``crews.other_branch``; ``crews.head_count_range`` for fewer than none or more than the crew has.
    """
    if crew.branch_id != branch.pk:
        raise CannotDo("crews.other_branch", field="crew", crew=crew.name)
    if not 0 <= people <= crew.size:
        raise CannotDo("crews.head_count_range", field="people", crew=crew.name, value=people, size=crew.size)
    with transaction.atomic():
        day, _ = CrewDay.objects.get_or_create(crew=crew, on=on)
        day.head_count = people
        day.off = people == 0
        if day.off:
            day.opens = day.closes = None
        day.reason = reason[:200]
        day.save()
        bump_inputs(branch_id=branch.pk)
    return day
