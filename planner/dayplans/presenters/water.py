"""What a wet week did to a salted pool, and what to add, in words."""

from collections.abc import Callable
from datetime import datetime

from jobs.words import sentence_for
from planner.dayplans.presenters.measures import measure
from planner.plans.domain.water import AIMED_PPM, LEAST_PPM, Dilution

Said = Callable[[datetime], str]


def dilution_words(found: Dilution, said: Said) -> tuple[str, ...]:
    """Sentences: the rain, the salt, what to add and test, the cautions. ``said`` puts a moment in words."""
    facts = {
        "fell": measure(found.rain_mm, "mm"),
        "since": said(found.since_at),
        "coming": measure(found.forecast_mm, "mm"),
        "until": said(found.until_at),
        "now": f"{found.salt_ppm:.0f}",
        "then": f"{found.salt_then_ppm:.0f}",
        "aimed": f"{AIMED_PPM:.0f}",
        "least": f"{LEAST_PPM:.0f}",
        "lost": f"{100 * found.share_lost:.0f}",
        "salt": measure(found.doses.total_kg, "kg"),
        "unknown": found.unknown_hours,
    }
    codes = ["water.rain", "water.salt", "water.low" if found.is_low else "water.enough", "water.test"]
    if found.unknown_hours:
        codes.insert(1, "water.unknown")
    words = [" ".join(filter(None, sentence_for(code, facts))) for code in codes]
    words += [" ".join(sentence_for(code, {})) for code in found.doses.cautions]
    return tuple(words)
