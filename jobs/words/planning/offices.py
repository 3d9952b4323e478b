"""Sentences of entering an office: its branch, people, gear and suppliers."""

WORDS: dict[str, tuple[str, str]] = {
    "week.unreadable": (
        "“{part}” is not read as days and hours.",
        "Write the week as Mon-Fri 07:00-15:30, further days after a comma; hours on a 24-hour clock.",
    ),
    "week.backwards": (
        "“{part}” ends before it begins.",
        "Give the earlier day and the earlier hour first, both on the same day.",
    ),
    "week.day_twice": ("{day} stands twice in the week.", "Keep one stretch of hours for each day."),
    "week.empty": ("The week has no hours.", "Enter the hours of at least one day, such as Mon-Fri 07:00-15:30."),
    "office.bad_file": (
        "The file {path} cannot be read: {says}.",
        "Give the path of a TOML file; fixtures/office/office.toml is one to copy.",
    ),
    "office.missing": (
        "{path} has no {what}.",
        "Copy it from fixtures/office/office.toml and fill it in; nothing of the file was kept.",
    ),
    "office.unknown_part": (
        "{path}: [{what}] is no part of an office.",
        "Its parts are {known}. Correct the word; nothing of the file was kept.",
    ),
    "office.entry_field": (
        "{path}, {what} {name}: {field}: {says}",
        "Correct {field}; nothing of the file was kept.",
    ),
    "office.exists": (
        "There is a branch with the short name {slug} already.",
        "Correct its people, gear and suppliers in the office's records at /admin/, or give the new branch another "
        "slug.",
    ),
}
