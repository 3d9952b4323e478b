"""Sentences about what people name when they ask for reasons or try something."""

WORDS: dict[str, tuple[str, str]] = {
    "asking.pool": (
        "{name!r} names no open pool, or more than one.",
        "Write one of: {known}.",
    ),
    "asking.task_form": (
        "{name!r} does not name a task.",
        "Write the pool and the task's key with a colon between them, such as Alder:dig.",
    ),
    "asking.task": (
        "{pool} has no open task {name!r}.",
        "Its open tasks are: {known}.",
    ),
    "asking.day": (
        "{text!r} is no date.",
        "Write it as year, month and day, such as 2026-06-03.",
    ),
    "asking.days": (
        "{text!r} holds no days, or more than {most}.",
        "Write the first and the last day, such as 2026-06-03..2026-06-05.",
    ),
    "asking.past": (
        "{on} is over: the plan that is tried begins on {today}.",
        "Name a day from {today} on.",
    ),
    "asking.two_parts": (
        "{text!r} is not complete.",
        "Write {form}.",
    ),
    "asking.crew": (
        "The branch has no crew {name!r}.",
        "Its crews are: {known}.",
    ),
    "asking.gear": (
        "The branch counts no gear {name!r}.",
        "It counts: {known}.",
    ),
    "asking.no_visit": (
        "{pool}: {task} is no inspection.",
        "Name a visit that opens a hold, such as: {known}.",
    ),
    "asking.weathers": (
        "{count} is no number of weathers to look at.",
        "Write a number from 1 to {most}.",
    ),
    "asking.nothing": (
        "Nothing was named to try.",
        "Name at least one change, such as --rain 2026-06-03.",
    ),
    "asking.no_plan": (
        "No plan is in force to compare with.",
        "Put one in force first: manage.py make_plan --in-force.",
    ),
}
