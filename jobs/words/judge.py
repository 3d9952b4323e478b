"""Sentences of the verdict on a start: what the weather does to it, with numbers, and what may be done."""

WORDS: dict[str, tuple[str, str]] = {
    "judge.air_min_c": (
        "Air {worst:.1f} °C on {at}, needs {limit:g} °C or more.",
        "Start in warmer hours, or prepare covers and heat.",
    ),
    "judge.air_max_c": (
        "Air {worst:.1f} °C on {at}, limit {limit:g} °C.",
        "Start earlier in the day, or prepare shade and cooling.",
    ),
    "judge.wind_max_m_s": (
        "Wind {worst:.1f} m/s on {at}, limit {limit:g} m/s.",
        "Wait for calmer hours.",
    ),
    "judge.gust_max_m_s": (
        "Gusts {worst:.1f} m/s on {at}, limit {limit:g} m/s.",
        "Wait for calmer hours.",
    ),
    "judge.thunder": (
        "{worst:.0%} chance of thunder on {at}.",
        "Start so that the work ends before it; nobody works under thunder.",
    ),
    "judge.rain_stop": (
        "Rain {worst:.1f} mm/h expected on {at}, the work stops at {limit:g} mm/h.",
        "Start in drier hours, or prepare cover.",
    ),
    "judge.rain_spoils": (
        "{chance:.0%} chance that rain spoils it, not started from {limit:.0%} on.",
        "Start in drier hours, or prepare cover.",
    ),
    "judge.rain_before": (
        "{worst:.1f} mm of rain fell in the {hours:g} h before, limit {limit:g} mm.",
        "Start later, or pump and dry the work first.",
    ),
    "judge.ground": (
        "Ground needs {worst:.0f} h more to dry after rain.",
        "Start later, or pump and bring stone.",
    ),
    "judge.chance": (
        "{chance:.0%} chance that weather spoils it; a forecast covers {known:.0%} of the hours.",
        "Have the cover ready, or start in better hours.",
    ),
}
