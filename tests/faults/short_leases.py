"""Settings under which what a killed worker held is free again within a test's patience."""

from datetime import timedelta

from planner.settings.local import *  # noqa: F403

# Both still longer than a living worker of these tests needs between two signs of life.
MESSAGE_LEASE = timedelta(seconds=15)
CLAIM_MARGIN = timedelta(seconds=15)
SEARCH_LEAST_CLOCK_S = 5.0
