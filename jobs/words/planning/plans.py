"""Sentences of plans."""

WORDS: dict[str, tuple[str, str]] = {
    "plans.nothing_open": (
        "{branch} has no open work to plan.",
        "Open a job, or check that its tasks are not all finished or dropped.",
    ),
    "plans.no_plan": (
        "No plan is possible for {branch}: {clashes}",
        "Let go of one of these, then plan again.",
    ),
    "plans.none_in_force": (
        "{branch} has no plan in force.",
        "Make one with: manage.py make_plan --in-force",
    ),
    "plans.overtaken": (
        "Plan {number} cannot come into force. {changed}",
        "Make a new plan from today's inputs.",
    ),
    "plans.breaks_rules": (
        "Plan {number} breaks a rule on today's inputs: {says}",
        "Make a new plan from today's inputs.",
    ),
    "plans.lamps": ("After sunset: {title}, ${dollars}", ""),
    "plans.no_proposal": ("There is no plan {number} to decide on.", "Open the page Changes and look again."),
    "plans.already_taken": (
        "Plan {number} is in force already, or was.",
        "To go back, make a new plan from today's inputs.",
    ),
}
