"""What a word from the site does to the plan: which of it is news enough to plan again."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from planner.plans.domain.triggers.reasons import Reason

# Work begins and ends so much off its planned time every day; the plan holds.
USUAL_MINUTES = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """Where the plan in force has a task: its span, and working minutes it had left when the report was made."""

    start_at: datetime
    end_at: datetime
    left_minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class News:
    """A reason to plan again, the code of its sentence (``replan.*``), and by how many minutes something is off."""

    reason: Reason
    code: str
    off_minutes: int = 0


def news_of(kind: str, *, planned: Planned | None, happened_at: datetime, values: Mapping[str, Any]) -> News | None:
    """Whether a report asks for another plan.

    Parameters
    ----------
    kind : str
        Kind of the field report.
    planned : Planned or None
        Where the plan in force has the task; ``None`` where it has it nowhere.
    happened_at : datetime
        When it happened.
    values : mapping
        What the report holds beside.

    Returns
    -------
    News or None
        A failed inspection, a wrong delivery, a short crew and a reading always; a start, an end and what is left where
        they are more than an hour off the plan.
    """
    match kind:
        case "hold_failed":
            return News(reason="hold_failed", code="hold_failed")
        case "delivery_wrong":
            return News(reason="delivery_wrong", code="delivery_wrong")
        case "crew_short":
            return News(reason="crew_absent", code="crew_absent")
        case "level" | "temperature" | "strength":
            return News(reason="reading", code="reading")
    if planned is None:
        return None
    match kind:
        case "started":
            return _off(happened_at, planned.start_at, "started")
        case "finished" | "hold_passed":
            return _off(happened_at, planned.end_at, "ends")
        case "remaining":
            return _news(int(values.get("minutes", 0)) - planned.left_minutes, "will_end")
    return None


def _off(happened_at: datetime, planned_at: datetime, code: str) -> News | None:
    return _news(round((happened_at - planned_at).total_seconds() / 60), code)


def _news(minutes: int, code: str) -> News | None:
    if abs(minutes) <= USUAL_MINUTES:
        return None
    late = minutes > 0
    return News(
        reason="report_late" if late else "report_early",
        code=f"{code}_{'late' if late else 'early'}",
        off_minutes=abs(minutes),
    )


def span_words(minutes: int) -> str:
    """Minutes as people say them.

    >>> span_words(75), span_words(180), span_words(2 * 1440), span_words(1440 + 60)
    ('1 h 15 min', '3 h', '2 days', '25 h')
    """
    if minutes and minutes % 1440 == 0:
        days = minutes // 1440
        return "1 day" if days == 1 else f"{days} days"
    if minutes > 3 * 1440:
        return f"{round(minutes / 1440)} days"
    hours, rest = divmod(minutes, 60)
    return " ".join([*([f"{hours} h"] if hours else []), *([f"{rest} min"] if rest else [])])
