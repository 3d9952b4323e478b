"""The sky over a site as the watch may use it."""

from jobs.domain.facts import SiteFacts
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.series import HourlySeries
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.world import World

USABLE = frozenset({Freshness.FRESH, Freshness.AGEING})
NO_SKY = SiteSky(series=None, freshness=Freshness.DOWN)


def sky_over(world: World, site: SiteFacts) -> SiteSky:
    """What is known over a site; a site nobody pulled a forecast for has none."""
    return world.skies.get(site.id, NO_SKY)


def usable_series(sky: SiteSky) -> HourlySeries | None:
    """The forecast where it is neither stale nor down."""
    return sky.series if sky.freshness in USABLE else None
