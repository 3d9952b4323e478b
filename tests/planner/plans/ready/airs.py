"""Airs, concretes and link rules of the tests of waits."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from jobs.domain.method import LinkRule
from jobs.methods.loader import load_method
from jobs.science.concrete_temperature import Member, slab
from jobs.science.maturity import RateLaw, freiesleben_hansen_rate
from jobs.science.strength import EUROPEAN_LAWS
from planner.forecast.domain.climate import Climate
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.ready.air import SiteAir, air_over, hour_of
from planner.plans.domain.ready.concrete import Poured
from planner.plans.domain.ready.strength import PlacedTemps, StrengthTable, StrengthWait
from tests.planner.forecast_domain.skies import even_climate, sky

ZONE = "America/New_York"
BEGINS = datetime(2026, 6, 1, 4, tzinfo=UTC)
# As warm as the air, hour by hour, with no heat of its own.
FOLLOWS_THE_AIR = Member(time_constant_h=0.5, hydration_rise_c=0.0)


def rule(before: str, after: str, kind: str = "strength") -> LinkRule:
    """A link of the liner method."""
    links = load_method("insulated_form_liner").links
    [found] = [one for one in links if (one.before, one.after, one.kind) == (before, after, kind)]
    return found


def asks(fraction: float, *, fixed_hours: float = 48.0, floor_hours: float = 0.0) -> LinkRule:
    return replace(
        rule("pour_floor", "pour_walls"), fraction=fraction, fixed_hours=fixed_hours, floor_hours=floor_hours
    )


def even_air(temp_c: float) -> SiteAir:
    """The same temperature for ever, known from no forecast."""
    return air_over(None, climate=steady(temp_c), zone=ZONE)


def steady(temp_c: float) -> Climate:
    return even_climate(air=(temp_c, temp_c))


def forecast_air(temp_at: Callable[[datetime], float | None], *, hours: int = 240, usual_c: float = 20.0) -> SiteAir:
    """A forecast from ``BEGINS`` on, then what is usual."""
    series = sky(hours, start_at=BEGINS, air_temp_c=temp_at)
    return air_over(SiteSky(series=series, freshness=Freshness.FRESH), climate=steady(usual_c), zone=ZONE)


def poured(member: Member | None = None, *, rate: RateLaw = freiesleben_hansen_rate) -> Poured:
    return Poured(member=member or slab(0.102), law=EUROPEAN_LAWS["N"], rate=rate)


def waiting(link: LinkRule, air: SiteAir, concrete: Poured) -> StrengthWait:
    """The wait after a pour still to come, reckoned from ``BEGINS`` on."""
    assert link.fraction is not None
    temps = PlacedTemps(air=air, member=concrete.member, anchor=hour_of(BEGINS))
    table = StrengthTable(temps=temps, poured=concrete, fraction=link.fraction, fixed_hours=link.fixed_hours)
    return StrengthWait(rule=link, table=table)


def hours_after(wait: StrengthWait, ended_at: datetime) -> float:
    return (wait.ready_at(ended_at) - ended_at) / timedelta(hours=1)
