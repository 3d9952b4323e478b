"""Sentences of a branch's sky: sources and climate."""

WORDS: dict[str, tuple[str, str]] = {
    "forecast.no_contact": (
        "The weather service wants to know whom to write to, and PLANNER_USER_AGENT is {value!r}.",
        "Set PLANNER_USER_AGENT to a name with an e-mail address, such as: Our pools (office@our.example).",
    ),
    "forecast.no_climate": (
        "{branch} has no climate: nothing is known of the weather beyond the forecast.",
        "Load a year or more of hourly observations with: manage.py load_climate FILE, or for the time being another "
        "place's with: manage.py load_climate --stand-in",
    ),
}
