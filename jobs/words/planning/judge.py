"""Sentences of the verdict on a start: what the weather does to it, with numbers, and what may be done."""

WORDS: dict[str, tuple[str, str]] = {
    "judge.air_min_c": (
        "Air {worst_us:.0f} °F ({worst:.1f} °C) on {at}, needs {limit_us:.0f} °F or more.",
        "Start in warmer hours, or prepare covers and heat.",
    ),
    "judge.air_max_c": (
        "Air {worst_us:.0f} °F ({worst:.1f} °C) on {at}, limit {limit_us:.0f} °F.",
        "Start earlier in the day, or prepare shade and cooling.",
    ),
    "judge.wind_max_m_s": (
        "Wind {worst_us:.0f} mph ({worst:.1f} m/s) on {at}, limit {limit_us:.0f} mph.",
        "Wait for calmer hours.",
    ),
    "judge.gust_max_m_s": (
        "Gusts {worst_us:.0f} mph ({worst:.1f} m/s) on {at}, limit {limit_us:.0f} mph.",
        "Wait for calmer hours.",
    ),
    "judge.thunder": (
        "{worst:.0%} chance of thunder on {at}.",
        "Start so that the work ends before it; nobody works under thunder.",
    ),
    "judge.rain_stop": (
        "Rain {worst_us:.2f} in/h ({worst:.1f} mm/h) expected on {at}, the work stops at {limit_us:.2f} in/h.",
        "Start in drier hours, or prepare cover.",
    ),
    "judge.rain_spoils": (
        "{chance:.0%} chance that rain spoils it; from {limit:.0%} on it is not started.",
        "Start in drier hours, or prepare cover.",
    ),
    "judge.rain_before": (
        "{worst_us:.2f} in ({worst:.1f} mm) of rain fell in the {hours:g} h before, limit {limit_us:.2f} in.",
        "Start later, or pump and dry the work first.",
    ),
    "judge.ground": (
        "Ground needs {worst:.0f} h more to dry after rain.",
        "Start later, or pump and bring stone.",
    ),
    "judge.chance": (
        "{chance:.0%} chance that weather spoils it; the forecast covers {known:.0%} of the hours.",
        "Have the cover ready, or start in better hours.",
    ),
}
