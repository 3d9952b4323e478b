"""Sentences of bookings, head counts and private links."""

WORDS: dict[str, tuple[str, str]] = {
    "bookings.no_supplier": (
        "{branch} has nobody entered to call for {kind}.",
        "Enter the supplier or authority with its number first.",
    ),
    "bookings.other_branch": ("That task belongs to another branch.", "Choose a task of this branch."),
    "bookings.wrong_kind": ("{title} needs no booking of the kind {kind}.", "Choose one of those offered."),
    "bookings.bad_day": ("“{value}” is no day.", "Enter the day of the visit, such as 2026-06-11."),
    "bookings.none_live": (
        "Nothing of the kind {kind} is booked for {title}.",
        "Enter the booking first, or choose the task the delivery was for.",
    ),
    "crews.other_branch": ("{crew} belongs to another branch.", "Choose a crew of this branch."),
    "crews.head_count_range": (
        "{crew} has {size} people; {value} cannot be right.",
        "Enter how many come, from 0 to {size}.",
    ),
    "links.other_branch": ("{crew} belongs to another branch.", "Choose a crew of this branch."),
    "links.bad_span": (
        "A link opens {longest} days at most, the last not before the first and not before today.",
        "Choose other days.",
    ),
    "links.bad_day": ("“{value}” is no day.", "Enter a day such as 2026-06-11."),
    "links.not_in_span": ("This link does not open {on}.", "Choose one of the days it names, or ask the office."),
    "links.nobody": ("Nobody is named as the one who saw it.", "Enter your name."),
    "links.plan_moved": (
        "The plan has changed since you opened this page: it is plan {number} now.",
        "Look at the page again, then say that you have seen it.",
    ),
}
