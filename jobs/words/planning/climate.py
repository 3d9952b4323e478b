"""Sentences of climate tables made from a weather station's records."""

WORDS: dict[str, tuple[str, str]] = {
    "climate.too_little": (
        "The weather records hold {days} full days with rain and temperature in their best month; {needed} are needed.",
        "Load at least one whole year of hourly records of one station near the office.",
    ),
    "climate.hour_twice": (
        "The weather records hold the hour {hour} twice.",
        "Load the records of one station only, each hour once.",
    ),
    "climate.unreadable": (
        "The stored climate table cannot be read: {reason}.",
        "Load the station's hourly records again.",
    ),
}
