"""Settings of the load benchmark: nothing waits for a public service's pace, for the service stands on this machine."""

from planner.settings.local import *  # noqa: F403

FORECAST_PACE = ""
