"""Sentences about trials: what is filled in on the page Try, and what becomes of it."""

WORDS: dict[str, tuple[str, str]] = {
    "trials.nothing": (
        "Nothing is filled in to try.",
        "Fill in at least one line under the first trial.",
    ),
    "trials.half": (
        "{label}: only a part is filled in.",
        "Fill in {missing} too, or empty the line.",
    ),
    "trials.no_day": (
        "{label}: {text!r} is no date.",
        "Choose a day, or write it as year-month-day, such as 2026-06-03.",
    ),
    "trials.days": (
        "From {first} to {last} are no days, or more than {most}.",
        "Choose a last day on or after the first, and at most {most} days.",
    ),
    "trials.past": (
        "{on} is over.",
        "Choose today or a later day.",
    ),
    "trials.no_pool": (
        "That pool is not open any more.",
        "Choose one of the open pools.",
    ),
    "trials.no_visit": (
        "That visit is over, or opens no hold.",
        "Choose one of the visits listed.",
    ),
    "trials.running": (
        "A trial of this branch is being planned already.",
        "Wait until it is done, then ask again; what you filled in stays.",
    ),
    "trials.no_plan": (
        "No plan is in force to compare with.",
        "Put one in force on the page Changes first.",
    ),
    "trials.broke_off": (
        "The trial broke off before it had an answer.",
        "Ask again; with fewer lines in it if it happens twice.",
    ),
    "trials.out_of_time": (
        "The trial was not done after {seconds} seconds and was ended.",
        "Ask again with fewer trials at once.",
    ),
}
