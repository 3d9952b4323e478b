"""What a wet week or a refill did to a salted pool, and what to add, in words."""

from collections.abc import Callable, Mapping
from datetime import datetime

from jobs.domain.order.water import STABILISER_PPM
from jobs.words import sentence_for
from planner.calculators.water.doses import dose_words
from planner.dayplans.presenters.measures import gettext_noop, measure
from planner.plans.domain.water import AIMED_PPM, LEAST_PPM, Dilution, Refill

Said = Callable[[datetime], str]


def dilution_head(found: Dilution) -> str:
    """What a pool's water is told after."""
    if found.refills:
        return gettext_noop("After the rain and the refill") if found.is_wet else gettext_noop("After the refill")
    return gettext_noop("After the rain") if found.is_wet else gettext_noop("By the salt test")


def dilution_words(found: Dilution, said: Said) -> tuple[str, ...]:
    """Sentences: the rain, the salt, what to add and test, the cautions. ``said`` puts a moment in words."""
    facts = {
        "fell": measure(found.rain_mm, "mm"),
        "since": said(found.since_at),
        "coming": measure(found.forecast_mm, "mm"),
        "until": said(found.until_at),
        "from": f"{found.from_ppm:.0f}",
        "now": f"{found.salt_ppm:.0f}",
        "then": f"{found.salt_then_ppm:.0f}",
        "aimed": f"{AIMED_PPM:.0f}",
        "least": f"{LEAST_PPM:.0f}",
        "lost": f"{100 * found.share_lost:.0f}",
        "salt": measure(found.doses.total_kg, "kg") if found.doses is not None else "",
        "unknown": found.unknown_hours,
        "full": f"{STABILISER_PPM:.0f}",
        "left": f"{STABILISER_PPM * (1 - found.share_lost):.0f}",
        "dose": dose_words(found.stabiliser, found.stabiliser.doses_each),
    }
    words = [_sentence("water.rain", facts)]
    words += [_sentence("water.unknown", facts)] if found.unknown_hours else []
    words += [_refill_words(one, said) for one in found.refills]
    enough = "water.plenty" if found.doses is None else "water.low" if found.is_low else "water.enough"
    codes = ["water.tested" if found.tested else "water.salt", enough]
    codes.append("water.test_refill" if found.refills else "water.test")
    codes += ["water.stabiliser"] if round(STABILISER_PPM * found.share_lost) else []
    words += [_sentence(code, facts) for code in codes]
    cautions = (found.doses or found.stabiliser).cautions
    return (*words, *(_sentence(code, {}) for code in cautions))


def _refill_words(refill: Refill, said: Said) -> str:
    facts = {"at": said(refill.at), "level": measure(refill.level_m, "m"), "share": f"{100 * refill.share:.0f}"}
    return _sentence("water.refilled", facts)


def _sentence(code: str, facts: Mapping[str, object]) -> str:
    return " ".join(filter(None, sentence_for(code, facts)))
