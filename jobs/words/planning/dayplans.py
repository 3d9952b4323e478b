"""Sentences of day plans and the private links to them."""

WORDS: dict[str, tuple[str, str]] = {
    "dayplans.unknown_crew": (
        "{branch} has no crew “{crew}”.",
        "Choose one of: {known}.",
    ),
    "dayplans.unknown_format": (
        "A day plan cannot be written as “{format}”.",
        "Choose text or html.",
    ),
    "dayplans.other_branch": (
        "Crew {crew} does not belong to {branch}.",
        "Choose a crew of {branch}.",
    ),
    "dayplans.no_volume": (
        "The volume of concrete is missing: the pool's design has no {field}, so there are no truck times.",
        "Have the office enter it before anybody orders.",
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
    "links.ended": (
        "The private link of this message has been ended.",
        "Make another on the crew's page and tell them by phone.",
    ),
}
