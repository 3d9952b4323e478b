"""Sentences of jobs, sites and field reports."""

WORDS: dict[str, tuple[str, str]] = {
    "site.other_zone": (
        "The site {name} is in the zone {zone}, but the branch plans in {branch_zone}.",
        "Give the site to a branch of its own zone: a branch keeps one clock.",
    ),
    "site.bad_field": ("The site {name} cannot be kept: {field}: {says}", "Correct {field} and save again."),
    "job.unknown_design_value": (
        "The design names {name}, which no pool design has.",
        "Remove it, or correct its spelling.",
    ),
    "job.missing_design_value": ("The design lacks {names}.", "Take the numbers from the drawing and enter them."),
    "job.site_of_other_branch": ("The site {site} belongs to another branch.", "Choose a site of this branch."),
    "job.name_taken": ("There is a job called {name} already.", "Choose another name."),
    "job.promise_past": (
        "{name} was promised for {promised_on}, which is past, and nothing of it has begun.",
        "Agree a date with the owner and enter that, or say what has been done and when.",
    ),
    "job.unknown_done": ("{key} is said to be done, but the method {method} has no such task.", "Correct its key."),
    "job.done_backwards": ("{title} is said to have ended before it began.", "Correct one of the two times."),
    "job.done_in_future": (
        "{title} is said to be done at a time still to come.",
        "Correct the time, or leave it open.",
    ),
    "job.done_out_of_order": (
        "{title} is said to be done, but {before} before it is not.",
        "Say when {before} was done, or leave {title} open.",
    ),
    "report.nobody": ("The report does not say who sent it.", "Enter a name in said_by."),
    "report.in_future": ("The report says it happened at {happened_at}, which is still to come.", "Correct the time."),
    "report.other_branch": ("That task belongs to another branch.", "Choose a task of this branch."),
    "report.unknown_kind": ("{kind} is no kind of report.", "Choose one of the kinds offered."),
    "report.no_crew": ("The report does not say which crew it is about.", "Choose the crew."),
    "report.no_day": ("The report does not say which day it is about.", "Choose the day."),
    "report.no_task": ("The report does not say which task it is about.", "Choose the task."),
    "report.already_finished": ("{title} is finished already.", "If that is wrong, ask the office to open it again."),
    "report.hold_shut": (
        "{title} cannot have started: {hold} is not passed.",
        "Record the inspection first, or call the office.",
    ),
    "report.before_start": ("{title} is said to be finished before it started.", "Correct the time."),
    "report.bad_minutes": (
        "What is left is given as {value}, not as whole minutes.",
        "Enter the working minutes that are left, 0 or more.",
    ),
    "report.no_hold": ("{title} releases no hold.", "Choose the inspection."),
    "report.sent_id_taken": ("This report carries an id that is in use.", "Open the form again and send it once more."),
    "report.bad_reading": (
        "The reading {name} is {value}; it must be a number from {low} to {high}.",
        "Read the gauge again and correct it.",
    ),
    "report.unknown_gate": ("{gate} is no safety gate.", "Choose one of those offered."),
    "report.no_reason": ("A gate is set aside without a reason.", "Say why, or record the gate instead."),
    "report.bad_note": ("The note is empty or longer than {longest} letters.", "Write what the office must know."),
    "report.no_inspector": ("{title} has a result, but no inspector's name.", "Enter the inspector's name."),
}
