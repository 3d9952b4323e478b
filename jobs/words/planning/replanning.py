"""Sentences of plans made in the background: what asked for them, and what became of it."""

WORDS: dict[str, tuple[str, str]] = {
    "replan.nothing_moves": ("Looked again: every start stays where it is.", ""),
    "replan.saves_little": ("Looked again: another plan would save too little to move anybody.", ""),
    "replan.told": ("It moves work somebody was told of.", ""),
    "replan.booking": ("It moves work something is booked for.", ""),
    "replan.owner": ("An owner would get the pool later than promised.", ""),
    "replan.near": ("It moves work of the next three days.", ""),
    "replan.asked_by_hand": ("Somebody asked for it.", ""),
    "replan.switched_off": ("Plans of this office never come into force by themselves.", ""),
    "replan.touches_nobody": (
        "It moves nothing anybody was told of, no booking and nothing near, so it came into force by itself.",
        "",
    ),
    "replan.lost_claim": ("Another worker plans this branch by now.", ""),
    "replan.inputs_moved": ("Jobs, crews, bookings or reports changed while it was planned: it is planned again.", ""),
    "replan.broke_off": (
        "Planning broke off {tries} times.",
        "Look at the service's log, then press Make a proposal now.",
    ),
    "replan.superseded": ("Plan {number} was proposed since, from newer facts.", ""),
    "replan.not_needed": ("Looked at again: what it would move is not worth moving any more.", ""),
    "replan.worse": (
        "{task} at {pool}, planned {when}: the chance of being hit is {chance:.0%}, it was {before:.0%} when it was "
        "last looked at.",
        "",
    ),
    "replan.forbidden": ("{task} at {pool}, planned {when}: the forecast forbids it. {why}", ""),
    "replan.better": (
        "{task} at {pool}, planned {when}: {sooner} has come open and would save about ${gain:,}.",
        "",
    ),
    "replan.eased": (
        "{task} at {pool}, planned {when}: the chance of being hit is back to {chance:.0%}, it was {before:.0%} when "
        "another plan was asked for.",
        "",
    ),
    "replan.now_worse": ("{task} at {pool}, {when}: the chance of being hit is {chance:.0%} now. {why}", ""),
    "replan.proposal_worse": ("A newer forecast has overtaken proposal {number}. {says}", ""),
    "replan.inputs_since": ("Jobs, crews, bookings or reports have changed since proposal {number} was made.", ""),
    "replan.silent_finished": ("{task} at {pool} was to end {when}, and nobody has said that it did.", ""),
    "replan.silent_began": ("{task} at {pool} was to begin {when}, and nobody has said that it did.", ""),
    "replan.delivery_late": ("{who} was to deliver for {task} at {pool} on {on}, and nothing has come.", ""),
    "replan.booking_lapsed": ("{who} was booked for {task} at {pool} on {on}; the day has passed.", ""),
    "replan.ticket_expires": ("The {what} for {task} at {pool} runs out on {expires}, before the work begins.", ""),
    "replan.order_due": ("{who} had to be asked for {task} at {pool} by {when}, and nobody has.", ""),
    "replan.hold_failed": ("{task} at {pool} did not pass.", ""),
    "replan.delivery_wrong": ("The delivery for {task} at {pool} came short or wrong.", ""),
    "replan.crew_absent": ("{crew}: {people} of {size} come on {on}.", ""),
    "replan.started_late": ("{task} at {pool} began {late} later than planned.", ""),
    "replan.started_early": ("{task} at {pool} began {late} sooner than planned.", ""),
    "replan.ends_late": ("{task} at {pool} ended {late} later than planned.", ""),
    "replan.ends_early": ("{task} at {pool} ended {late} sooner than planned.", ""),
    "replan.will_end_late": ("{task} at {pool} will take {late} longer than planned.", ""),
    "replan.job_new": ("{pool} was opened.", ""),
    "replan.booking_changed": ("{who} for {task} at {pool}: booked for {on}, the plan has another day.", ""),
    "replan.by_hand": ("Somebody asked for a plan.", ""),
}
