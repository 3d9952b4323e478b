"""A crew's day plan out of the plan in force and the world as it stands."""

from collections.abc import Sequence
from datetime import date

from jobs.domain.facts import SiteFacts
from planner.dayplans.domain.cautions import EVERY_DAY, cautions_by_key
from planner.dayplans.domain.changes import changed_since
from planner.dayplans.domain.coming import coming_days, next_days
from planner.dayplans.domain.day import Day, Piece, PlanHead, day_of, pieces_on
from planner.dayplans.domain.felt import cold_of, heat_of
from planner.dayplans.domain.sky import forecast_of, sky_hours
from planner.dayplans.domain.stand_by import stand_by_of
from planner.dayplans.domain.stops import stops_of
from planner.dayplans.facts import DayPlanFacts
from planner.plans.domain.world import Stay, World

CLOSING = (
    "This page says what was computed from the plan, the reports and a forecast; it does not say that anything is "
    "safe. Whoever sees a danger stops the work and calls the office."
)


def day_plan_facts(
    world: World,
    *,
    plan: PlanHead,
    stays: tuple[Stay, ...],
    crew: str,
    on: date,
    told_stays: tuple[Stay, ...] = (),
) -> DayPlanFacts:
    """Everything one crew must know of one day.

    Parameters
    ----------
    world : World
        The branch as it stands at ``world.as_of``, from which state, ages and what is past are judged.
    plan : PlanHead
        The plan the stays come from.
    stays : tuple of Stay
        Every stay of that plan, visits and clock time too.
    crew : str
        Key of the crew.
    on : date
        Local date of the branch.
    told_stays : tuple of Stay
        The stays the crew was told last, compared only where ``plan.told_number`` is set.

    Returns
    -------
    DayPlanFacts
        Without stops where nothing is planned. What is not known is ``None``, or said so in words.

    Raises
    ------
    CannotDo
        ``dayplans.unknown_crew``.
    """
    day = day_of(world, plan, stays, crew, on)
    pieces = pieces_on(day, on, crew=crew)
    site = _site_of(day, pieces)
    light = day.daylight(site) if site is not None else None
    days = next_days(day)
    return DayPlanFacts(
        company=world.branch.company,
        branch=world.branch.name,
        crew=day.crew.name,
        foreman=day.crew.foreman or "not entered",
        on=on,
        zone=day.zone,
        plan_number=plan.number,
        made_at=plan.made_at,
        office_phone=world.branch.phone,
        forecast=forecast_of(day, site),
        closing=CLOSING,
        deferring=day.vocabulary.ends_every_caution,
        banner=world.branch.banner,
        head_count=day.head_count if day.window is not None else 0,
        stops=stops_of(day, pieces),
        sky=sky_hours(day, site),
        sunrise_at=light.sunrise_at if light is not None else None,
        sunset_at=light.sunset_at if light is not None else None,
        heat=heat_of(day, site),
        cold=cold_of(day, site),
        stand_by=stand_by_of(day),
        changed=changed_since(day, told_stays, days[-1]),
        told_plan_number=plan.told_number,
        coming=coming_days(day, days),
        cautions=cautions_by_key(EVERY_DAY, day.vocabulary),
    )


def _site_of(day: Day, pieces: Sequence[Piece]) -> SiteFacts | None:
    """The site whose sky stands for the day: the first stop, else the first site of the branch with a forecast."""
    if pieces:
        return pieces[0].task.site
    sites = {task.site.id: task.site for _, task in day.tasks.values()}
    known = [site for key, site in sorted(sites.items()) if key in day.world.skies and day.world.skies[key].series]
    return known[0] if known else None
