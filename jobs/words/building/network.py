"""Sentences of activity networks."""

WORDS: dict[str, tuple[str, str]] = {
    "network.cycle": (
        "In {file} these wait for each other in a circle: {cycle}.",
        "Take out or turn round one of these links.",
    ),
    "network.unknown_activity": (
        "The link {before} to {after} names {field}, which is not in the network.",
        "Correct the name or add {field}.",
    ),
    "network.duplicate": ("{field} is in the network twice.", "Keep one of the two, or give one another name."),
    "network.negative": (
        "{field} has {value}, but a duration or a wait cannot be less than nothing.",
        "Enter nought or more.",
    ),
}
