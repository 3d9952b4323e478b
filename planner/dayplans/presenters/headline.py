"""The first words of work that must not start yet: what opens it, and whom to ask."""

from planner.dayplans.facts import OWN_CREW, DayTask, Gate
from planner.dayplans.presenters.measures import Gettext
from planner.dayplans.presenters.views import Headline, Opening

# Of work in these states nothing is left to start.
OVER = ("finished", "unreported", "dropped")


def headline_of(task: DayTask, office_phone: str, gettext: Gettext = str) -> Headline | None:
    """One headline of every gate that keeps the work from starting; ``None`` where it may start, or is over."""
    shut = [gate for gate in task.gates if not gate.state.lets_start]
    if not shut or task.state in OVER:
        return None
    goes_on = task.state == "started" or task.continued
    words = gettext("Do not go on before") if goes_on else gettext("Do not start before")
    openings: dict[str, list[str]] = {}
    every = {gate.opens for gate in shut}
    for gate in shut:
        if any(other.startswith(f"{gate.opens} and ") for other in every):
            # The same work, with its wait, is asked for beside it.
            continue
        openings.setdefault(_ask(gate, office_phone, gettext), []).append(gate.opens)
    return Headline(
        words=words,
        openings=tuple(Opening(whats=tuple(whats), ask=ask) for ask, whats in openings.items()),
        single=sum(map(len, openings.values())) == 1,
    )


def _ask(gate: Gate, office_phone: str, gettext: Gettext) -> str:
    """Whom to ask, or what to do, to have it opened."""
    phone = f", {office_phone}" if office_phone else ""
    if gate.record:
        said = gettext("Whoever looked records it on the crew's page, or by phone with the office{phone}.")
    elif gate.ask == OWN_CREW:
        said = gettext("That is your own work: report it when it is done.")
    elif gate.ask:
        said = gettext("Ask {crew}, or the office{phone}.")
    else:
        said = gettext("Ask the office{phone}.")
    return said.format(phone=phone, crew=gate.ask)
