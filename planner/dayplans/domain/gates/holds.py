"""Inspections: a hold is open only when a person recorded that it passed, and only as long as that lasts."""

from collections.abc import Iterator
from datetime import timedelta

from jobs.domain.facts import HoldFacts
from jobs.domain.holds import HoldRecord, HoldResult, is_released
from jobs.domain.method import HoldRule
from planner.dayplans.domain.day import Day, Piece, method_of
from planner.dayplans.facts import Gate, GateState

RESULTS: dict[str, HoldResult] = {"passed": "passed", "failed": "failed", "open": "open"}


def hold_gates(day: Day, piece: Piece) -> Iterator[Gate]:
    """One gate for each hold that blocks the task."""
    method = method_of(piece.job)
    rules = {rule.key: rule for rule in method.holds} if method is not None else {}
    for hold in piece.job.holds:
        if piece.task.id in hold.blocks:
            state, sentence = _said(day, piece, hold, rules.get(hold.key))
            yield Gate(kind="hold", state=state, sentence=f"{hold.title}: {sentence}", opens=_opens(hold, state))


def _opens(hold: HoldFacts, state: GateState) -> str:
    if state.lets_start:
        return ""
    again = {"failed": " on another visit", "passed": " again"}.get(hold.result, "")
    return f"the inspection “{hold.title}” has passed{again}"


def _said(day: Day, piece: Piece, hold: HoldFacts, rule: HoldRule | None) -> tuple[GateState, str]:
    result = RESULTS[hold.result]
    if result == "open" or hold.decided_at is None:
        return GateState.SHUT, f"not passed yet. {_visit(day, hold)}"
    decided = f"by {hold.decided_by}, {day.said(hold.decided_at)}"
    note = f" {hold.note.rstrip('.')}." if hold.note else ""
    if result == "failed":
        remedy = f" {rule.if_fails}" if rule is not None else ""
        return GateState.SHUT, f"failed {decided}.{note}{remedy} {_visit(day, hold)}"
    valid_days = rule.valid_days if rule is not None else None
    record = HoldRecord(result=result, decided_by=hold.decided_by, decided_at=hold.decided_at)
    lasts_until = f" It lasts until {day.said(hold.decided_at + timedelta(days=valid_days))}." if valid_days else ""
    if piece.task.started_at is None and not is_released(record, at=piece.start_at, valid_days=valid_days):
        return GateState.SHUT, f"passed {decided}.{lasts_until} Ask for another visit."
    return GateState.OPEN, f"passed {decided}.{note}{lasts_until}"


def _visit(day: Day, hold: HoldFacts) -> str:
    stay = day.stays.get(hold.visit)
    when = f"The visit is planned for {day.said(stay.start_at)}" if stay is not None else "No visit is planned"
    booking = next((one for one in day.world.crews.bookings if one.task == hold.visit), None)
    if booking is None:
        return f"{when}; nobody has asked for it yet."
    on = f"{booking.on:%A, %B} {booking.on.day}"
    return f"{when}; {'confirmed' if booking.state == 'confirmed' else 'asked, not confirmed,'} for {on}."
