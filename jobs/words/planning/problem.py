"""Sentences about a scheduling problem that makes no sense as data."""

WORDS: dict[str, tuple[str, str]] = {
    "problem.no_days": (
        "The planning horizon has no days.",
        "Plan at least one day ahead.",
    ),
    "problem.grid": (
        "The time step is {value} minutes.",
        "Set a step of at least one minute.",
    ),
    "problem.origin": (
        "The moment the plan counts from has no time zone.",
        "Give it in UTC.",
    ),
    "problem.days_order": (
        "{on} follows {before} in the horizon, but is not the next calendar day, or opens before the other closes.",
        "List every calendar day once, in order, weekends too.",
    ),
    "problem.day_length": (
        "The planning window of {on} is {minutes} minutes long, that of {first} is {expected}.",
        "Give every day of the branch a planning window of the same length.",
    ),
    "problem.twice": (
        "There are two {what} called {key}.",
        "Give each its own key.",
    ),
    "problem.unknown": (
        "{field} names {key}, and there is no such {what}.",
        "Add {key} or take it out of {field}.",
    ),
    "problem.negative": (
        "{name} of {field} is {value}.",
        "Enter zero or more.",
    ),
    "problem.not_positive": (
        "{name} of {field} is {value}.",
        "Enter more than zero.",
    ),
    "problem.off_grid": (
        "{name} of {field} is {value} minutes, which is not a whole number of {grid}-minute steps.",
        "Round it to the step.",
    ),
    "problem.span": (
        "{name} of {field} ends at {end}, before or when it starts at {start}.",
        "Give it an end after its start.",
    ),
    "problem.windows_order": (
        "The windows of {field} overlap, or are out of order, at {start}.",
        "List them in order, none overlapping another.",
    ),
    "problem.window_two_a_day": (
        "{field} has two windows on {on}.",
        "Leave one window a day.",
    ),
    "problem.window_outside_day": (
        "{field} has a window from {start} to {end} that lies outside the branch's planning window of every day.",
        "Lengthen the branch's day or shorten the window.",
    ),
    "problem.no_options": (
        "{field} needs {trade}, and no crew is listed that could do it.",
        "Add a crew of that trade or take the need away.",
    ),
    "problem.no_needs": (
        "{field} is work, and no crew is asked for.",
        "Say which trade does it.",
    ),
    "problem.needs_without_work": (
        "{field} asks for a crew, but runs as {run}, which has none.",
        "Plan the crew's part as a task of its own.",
    ),
    "problem.paid_narrower": (
        "{field} leaves out hours in which {crew} works anyway.",
        "Let the hours for pay hold the crew's own.",
    ),
    "problem.preparing_without_work": (
        "{title} would add time to {field}, which runs as {run} and has no crew to take it.",
        "Give it no time, or make the task work of a crew.",
    ),
    "problem.weekend_without_night": (
        "{field} may stop over a weekend but not over a night.",
        "Let it stop over nights as well, or over neither.",
    ),
    "problem.pin_end": (
        "{field} is fixed from {start} to {end}, which runs backwards.",
        "Correct what was reported of it.",
    ),
    "problem.pin_crews": (
        "{field} is fixed with {given} crews ({crews}), and needs {needed} different ones.",
        "Name one crew for each need, or none.",
    ),
    "problem.cycle": (
        "These tasks wait for each other in a circle: {path}.",
        "Remove one of the links between them.",
    ),
    "problem.link_limits": (
        "{field} must wait at least {least} minutes and at most {most}.",
        "Shorten the least or lengthen the most.",
    ),
    "problem.steps_empty": (
        "{name} of {field} has no steps.",
        "Give it at least one step, or leave the wait out.",
    ),
    "problem.steps_order": (
        "{name} of {field} falls or stands still at {until}: a later end may not be ready sooner.",
        "List its steps by rising time with values that never fall.",
    ),
    "problem.no_beginning": (
        "{field} says neither which task begins it nor since when it runs.",
        "Name the first task, or give the moment.",
    ),
}
