"""Sentences of build methods, waits and holds."""

WORDS: dict[str, tuple[str, str]] = {
    "method.no_file": ("The file {file} cannot be read: {reason}.", "Check that it is there and saved as UTF-8 text."),
    "method.not_toml": ("The file {file} is not valid TOML: {reason}.", "Mend the line that is named."),
    "method.unknown_method": (
        "There is no build method {value!r}.",
        "Choose one of {known}, or give the path of a file.",
    ),
    "method.missing": ("In {file}, {where}: {field} is missing.", "Add {field}: {expected}."),
    "method.empty": ("In {file}, {where}: {field} is empty.", "Write something, or leave the line out."),
    "method.wrong_type": ("In {file}, {where}: {field} is {value!r}.", "Write {expected}."),
    "method.bad_key": (
        "In {file}, {where}: {field} is {value!r}.",
        "Use lower-case letters, digits and underscores, beginning with a letter, 60 at most.",
    ),
    "method.wrong_choice": ("In {file}, {where}: {field} is {value!r}.", "Use one of: {choices}."),
    "method.too_small": ("In {file}, {where}: {field} is {value}, too small.", "Enter a number: {least} at least."),
    "method.too_large": ("In {file}, {where}: {field} is {value}, too large.", "Enter {most} at most."),
    "method.twice_in_list": ("In {file}, {where}: {field} names something twice: {value}.", "Name each only once."),
    "method.unknown_field": (
        "In {file}, {where}: there is no field {field}.",
        "Check the spelling; the fields are {known}.",
    ),
    "method.unknown_code": (
        "In {file}, {where}: {field} names {value!r}, which is not known.",
        "Correct the spelling or add it; known are {known}.",
    ),
    "method.duplicate": (
        "In {file}, {where}: {field} {value!r} is used twice.",
        "Give one of the two another name, or take it out.",
    ),
    "method.rate_without_quantity": (
        "In {file}, {where}: {field} is given, but no quantity to use it on.",
        "Add quantity, or put the whole time into setup_hours.",
    ),
    "method.only_visit_releases": (
        "In {file}, {where}: {field} is {value!r}, but this task is no visit.",
        "Only a task of kind visit releases a hold: name the hold there.",
    ),
    "method.hold_never_released": (
        "In {file}, {where}: no task releases {value}, so what it blocks could never start.",
        "Add releases_hold to the visit that releases it.",
    ),
    "method.hold_blocks_nothing": (
        "In {file}, {where}: no task needs {value}.",
        "Add needs_hold to the tasks it keeps shut, or take the hold out.",
    ),
    "method.hold_after_task": (
        "In {file}, {where}: {blocked} does not come after {value}.",
        "Add links so that {blocked} comes after {value}.",
    ),
    "method.notice_too_short": (
        "In {file}, {where}: {value} is asked {notice} working days ahead, less than {field} says.",
        "Give the notice link into {value} at least that many min_working_days.",
    ),
    "method.no_such_task": ("The method {method} has no task {field}.", "Check the name of the task."),
    "method.unknown_soil": ("{field} is {value!r}, which is not known.", "Choose one of {known}."),
    "method.not_positive": ("{field} is {value}.", "Enter a number above nought."),
    "method.below": ("{field} is {value}.", "Enter {least} or more."),
    "method.no_quantity": (
        "{task} needs the quantity {field}, and the design gives none.",
        "Complete the design, or enter the quantity.",
    ),
    "method.bad_quantity": (
        "{task} needs the quantity {field}, and the design gives {value}.",
        "Correct the design so that the quantity is nought or more.",
    ),
    "waiting.no_zone": ("{field} has no time zone.", "Give the moment with its zone."),
    "holds.no_name": ("Nobody is named for the result.", "Enter the name of the inspector."),
    "holds.no_day": ("The moment of the result is missing.", "Enter when the inspector gave it."),
    "holds.out_of_order": ("{field} is before {earlier}.", "Check the two moments."),
    "holds.confirmed_not_asked": (
        "The visit is confirmed, but nobody asked for it.",
        "Enter when it was asked for, and by whom.",
    ),
}
