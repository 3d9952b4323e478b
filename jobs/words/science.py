"""Sentences of formulas and quantities."""

WORDS: dict[str, tuple[str, str]] = {
    "science.outside_range": (
        "{name} is {value} {unit}, outside the range {low} to {high} {unit} of the formula ({source}).",
        "Enter a value inside that range, or ask someone licensed for a figure from another source.",
    ),
}
