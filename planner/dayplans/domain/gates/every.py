"""All gates of one piece of work, in the order a foreman asks: what came before, who allows it, what comes, the sky."""

from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.domain.gates.bookings import booking_gates
from planner.dayplans.domain.gates.holds import hold_gates
from planner.dayplans.domain.gates.links import link_gates
from planner.dayplans.domain.gates.people import crew_gates, daylight_gates, gear_gates
from planner.dayplans.domain.gates.safety import safety_gates
from planner.dayplans.domain.gates.sky import sky_gate
from planner.dayplans.facts import Gate
from planner.forecast.domain.judgement import StartJudgement


def gates_of(day: Day, piece: Piece, judgement: StartJudgement | None) -> tuple[Gate, ...]:
    """Every gate of the task on the day; a gate that does not concern it is not there."""
    sky = sky_gate(day, piece, judgement)
    return (
        *ground_gates(day, piece),
        *((sky,) if sky is not None else ()),
        *daylight_gates(day, piece),
    )


def ground_gates(day: Day, piece: Piece) -> tuple[Gate, ...]:
    """Every gate but sky and daylight."""
    return (
        *safety_gates(day, piece),
        *hold_gates(day, piece),
        *link_gates(day, piece),
        *booking_gates(day, piece),
        *crew_gates(day, piece),
        *gear_gates(day, piece),
    )
