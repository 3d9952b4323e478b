"""Words of states and gates, as every page says them."""

from planner.dayplans.facts import GateState
from planner.dayplans.presenters.measures import gettext_noop

GATE_WORDS = {
    GateState.OPEN: gettext_noop("open"),
    GateState.CARE: gettext_noop("with care"),
    GateState.SHUT: gettext_noop("shut"),
    GateState.UNKNOWN: gettext_noop("not known"),
}
GATE_KINDS = {
    "links": gettext_noop("Work before"),
    "hold": gettext_noop("Hold"),
    "strength": gettext_noop("Strength"),
    "dry": gettext_noop("Dry"),
    "sky": gettext_noop("Sky"),
    "crew": gettext_noop("Crew"),
    "gear": gettext_noop("Gear"),
    "booking": gettext_noop("Booking"),
    "daylight": gettext_noop("Daylight"),
    "licence": gettext_noop("Licensed person"),
    "barrier": gettext_noop("Barrier"),
    "safety": gettext_noop("Safety look"),
}
STATE_WORDS = {
    "waiting": gettext_noop("waiting"),
    "clear": gettext_noop("clear to start"),
    "started": gettext_noop("started"),
    "finished": gettext_noop("finished"),
    "dropped": gettext_noop("dropped"),
    "unreported": gettext_noop("not reported yet"),
}
