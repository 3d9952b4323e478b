"""Sentences of day plans."""

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
}
