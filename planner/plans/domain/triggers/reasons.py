"""Why a branch is planned again."""

from typing import Literal, get_args

Reason = Literal[
    "forecast_breaks",
    "forecast_improves",
    "official_warning",
    "hold_failed",
    "report_late",
    "report_early",
    "reading",
    "crew_absent",
    "job_new",
    "job_changed",
    "office_changed",
    "booking_changed",
    "booking_lapsed",
    "delivery_late",
    "delivery_wrong",
    "order_due",
    "ticket_expires",
    "unreported",
    "overtaken",
    "by_hand",
]
REASONS: tuple[Reason, ...] = get_args(Reason)

# A person who asks for a plan gets to see one, whatever it saves.
SHOWN_ALWAYS = frozenset({"by_hand"})
