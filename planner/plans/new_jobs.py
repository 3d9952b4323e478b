"""Pools that are not signed yet, opened for a try and forgotten at once."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from django.db import transaction

from jobs.models import Branch
from jobs.services.entries import open_entry, read_entries
from planner.plans.asking.trying import Change
from planner.plans.domain.world import World
from planner.plans.services import world_of


def new_jobs(*, branch: Branch, file: Path, as_of: datetime) -> Change:
    """The pools of a file, as ``open_pool`` would open them; their rows are rolled back before this returns.

    Raises
    ------
    CannotDo
        As ``jobs.services.entries`` says of the file and its entries.
    """
    entries = read_entries(file)
    with transaction.atomic():
        names = [open_entry(branch=branch, entry=entry, file=file, as_of=as_of).name for entry in entries]
        opened = world_of(branch=branch, as_of=as_of)
        transaction.set_rollback(True)
    branch.refresh_from_db()

    def made(world: World) -> World:
        known = {job.id for job in world.jobs}
        jobs = tuple(job for job in opened.jobs if job.id not in known)
        # A sky that was tried on the world stays; only sites nobody knew bring their own.
        return replace(
            world,
            jobs=(*world.jobs, *jobs),
            skies={**opened.skies, **world.skies},
            reports=(*world.reports, *(one for one in opened.reports if one not in world.reports)),
        )

    return Change(title=f"{' and '.join(names)} signed too", made=made)
