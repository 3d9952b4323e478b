"""The gate that binds, as a sentence, and the gates that stand shut today."""

from dataclasses import dataclass

from jobs.domain.facts import JobFacts, TaskFacts
from planner.dayplans.presenters.words import GATE_KINDS, GATE_WORDS
from planner.plans.domain.binding import BindingGate
from planner.web.presenters.pools.reader import Reader


@dataclass(frozen=True, slots=True, kw_only=True)
class GateLine:
    """A gate that is not open: what kind, how it is drawn, its word and its sentence."""

    kind: str
    state: str
    word: str
    sentence: str


def shut_lines(reader: Reader, job: JobFacts, task: TaskFacts) -> tuple[GateLine, ...]:
    """The gates that are not open of a task whose turn it is."""
    return tuple(
        GateLine(
            kind=reader.gettext(GATE_KINDS[gate.kind]),
            state=gate.state.value,
            word=reader.gettext(GATE_WORDS[gate.state]),
            sentence=gate.sentence,
        )
        for gate in reader.shut(job, task)
    )


def binding_sentence(reader: Reader, gate: BindingGate | None) -> str:
    """What decides the start; empty where nothing can."""
    if gate is None:
        return ""
    gettext, when = reader.gettext, reader.when(gate.opens_at)
    match gate.kind:
        case "now":
            return gettext("Its time is open: nothing planned keeps it from starting now.")
        case "agreed" if gate.what == "owner":
            return gettext("Agreed with the owner: not before {when}.").format(when=when)
        case "agreed":
            why = _ended(gate.why or gettext("set by the office"))
            return gettext("Not before {when}: {why}").format(when=when, why=why)
        case "link":
            return _link(reader, gate, when)
        case "hold":
            return _hold(reader, gate, when)
        case "booking" | "notice":
            return _booking(reader, gate, when)
        case "visits":
            said = gettext("{who} makes no more visits before {when}.")
            return said.format(who=gate.what, when=when)
        case "crew":
            said = gettext("{crew} is at {place} until {when}: {work}.")
            return said.format(crew=gate.what, place=gate.where, when=reader.until(gate.opens_at), work=gate.why)
        case "gear":
            said = gettext("{gear} is at {place} until {when}.")
            return said.format(gear=gate.what, place=gate.where, when=reader.until(gate.opens_at))
        case "sky":
            said = gettext("The sky keeps it until {when}. {why}")
            return said.format(when=reader.until(gate.opens_at), why=_ended(gate.why))
        case _:
            said = gettext("Free from {when}; the plan starts it later because all pools together cost less that way.")
            return said.format(when=when)


def _link(reader: Reader, gate: BindingGate, when: str) -> str:
    gettext = reader.gettext
    if gate.known:
        said = gettext("{work} is finished; open from {when}.").format(work=gate.what, when=when)
    else:
        said = gettext("Follows “{work}”; open from {when}.").format(work=gate.what, when=when)
    return f"{said} {gate.why}" if gate.why else said


def _hold(reader: Reader, gate: BindingGate, when: str) -> str:
    gettext = reader.gettext
    if gate.failed:
        said = gettext("The hold “{hold}” failed; it opens when a visit passes, planned {when}.")
    else:
        said = gettext("The hold “{hold}” is shut; it opens when a visit passes, planned {when}.")
    return said.format(hold=gate.what, when=when)


def _booking(reader: Reader, gate: BindingGate, when: str) -> str:
    gettext, what = reader.gettext, reader.booking_title(gate.what)
    if gate.kind == "notice":
        supplier = reader.supplier(gate.what)
        said = gettext("{what} is still to be asked for; {who} can come {when} at the earliest.")
        return said.format(what=what, who=supplier.name if supplier else what, when=when)
    if gate.known:
        return gettext("{what} is confirmed for {when}.").format(what=what, when=when)
    return gettext("{what} is asked for {when}, not confirmed.").format(what=what, when=when)


def _ended(words: str) -> str:
    return words if words.endswith((".", "!", "?")) else f"{words}."
