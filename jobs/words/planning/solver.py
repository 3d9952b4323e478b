"""Sentences of the solver: why no plan can be made."""

WORDS: dict[str, tuple[str, str]] = {
    "solver.no_start_crews": (
        "{task} ({job}) fits into no day of any crew that could do it.",
        "Give it a crew with longer or more working days; where the work allows, let it stop over a night or split it.",
    ),
    "solver.no_start_calendar": (
        "{task} ({job}) fits into no open day of its calendar.",
        "Look at the calendar's hours and days, or at how long the task takes.",
    ),
    "solver.no_start_dates": (
        "{task} ({job}) has no working time between its earliest{earliest_why} and latest{latest_why} start.",
        "Change one of the two dates, or open a working day between them.",
    ),
    "solver.no_start_hour": (
        "{task} ({job}) must start before an hour of the day at which nobody works.",
        "Allow a later start of the day, or let the crew begin earlier.",
    ),
    "solver.no_start_site": (
        "{task} ({job}) does not fit into any window in which the site may be worked on.",
        "Ask for a longer window on the site, or shorten the task.",
    ),
    "solver.no_start_weather": (
        "Weather forbids every start left for {task} ({job}).",
        "Give it more days, or look at what the forecast forbids.",
    ),
    "solver.no_place": (
        "No place was found for {task} ({job}): {gate}.",
        "Look first at its longest waits, its gear and its latest start; one of them needs more room.",
    ),
    "solver.impossible": (
        "No plan can keep every rule at once; the search for one broke off at {task} ({job}): {gate}.",
        "Give the task more days, another crew or more gear, or let go of a latest start or a pinned date.",
    ),
    "solver.not_found": (
        "No plan was found in the time given; the search broke off at {task} ({job}): {gate}.",
        "Let it search longer, or give the task more days, another crew or more gear.",
    ),
    "solver.clash_latest": (
        "{task} ({job}) must start by {when}{why}.",
        "Let it start later.",
    ),
    "solver.clash_longest": (
        "{task} ({job}) must start within {most} after {before}{why}.",
        "Allow a longer wait, or look at {before} again before it starts.",
    ),
    "solver.clash_frozen": (
        "{task} ({job}) is frozen at {when}.",
        "Let it move.",
    ),
    "solver.clash_site": (
        "{task} ({job}) must fit into the hours and days of its site.",
        "Ask for longer hours or another day on the site.",
    ),
    "solver.clash_hour": (
        "{task} ({job}) must start early in the day.",
        "Allow a later start of the day.",
    ),
    "solver.clash_weather": (
        "Weather forbids starts of {task} ({job}).",
        "Give it more days, or protect the work.",
    ),
    "solver.clash_gear": (
        "There are only {count} of {gear}.",
        "Hire one more.",
    ),
    "solver.gear_short": (
        "{task} ({job}) takes {amount} of {gear} at once, and there are {count}{others}.",
        "Hire {missing} more, or correct how many it takes.",
    ),
    "solver.gear_short_now": (
        "Work under way holds {amount} of {gear}, and there are {count}; {task} ({job}) gives its share back.",
        "Correct how many there are or what holds them, or report as finished what gives one back.",
    ),
    "solver.clash_limit": (
        "Only {count} a day may start of {limit}.",
        "Ask for one more a day.",
    ),
    "solver.clash_one_go": (
        "{task} ({job}) may not stop over a night or over days without work.",
        "Split it, or let it stop overnight.",
    ),
    "solver.clash_earliest": (
        "{task} ({job}) may not start before {when}{why}.",
        "Have it ready sooner.",
    ),
    "solver.clash_one_place": (
        "{crew} can be in one place only.",
        "Bring in another crew, or work a Saturday.",
    ),
    "solver.clash_horizon": (
        "{job}: waits and working time alone do not fit into the {days} days of this plan.",
        "Plan further ahead.",
    ),
    "solver.pinned": (
        "Work that is pinned breaks a rule by itself: {says}",
        "Unpin one of the tasks, or correct what was reported.",
    ),
    "solver.stopped": (
        "The search was stopped after {seconds} s, before it had a plan.",
        "Let it search longer.",
    ),
    "solver.process_ended": (
        "The process that plans ended with code {exit_code} before it had a plan; nothing was stored.",
        "Plan again; if it happens twice, look whether the machine is short of memory.",
    ),
    "solver.parameter": (
        "{name} is {value}; it must be {allowed}.",
        "Choose a value in that range.",
    ),
}
