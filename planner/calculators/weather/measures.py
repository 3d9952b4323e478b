"""What can be prepared against the weather: price, hours and effect, and from which chance it pays."""

import re
from collections.abc import Iterator

from jobs.domain.errors import CannotDo
from jobs.domain.exposure import Exposure, Measure
from jobs.methods.loader import load_exposures, load_vocabulary
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, hours_words
from planner.calculators.answering.pictures import Span, Spans
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import DOLLARS, PERCENT
from planner.calculators.calculator import Calculator
from planner.watch.domain.measures import Choice, choose

ANY = "any"
TROUBLES = {
    "rain": "Rain",
    "cold": "Cold",
    "heat": "Heat",
    "wind": "Wind",
    "drying": "Fast drying of fresh concrete",
    "dark": "Work that would run into the dark",
}
# An effect ends with the key of what it is taken from, as the data of the exposures are written.
EFFECT_SOURCE = re.compile(r",? (S-[A-Z0-9]+)( \(from memory\))?$")
PRICES = "E-LOSS"


def _answered(exposure: Exposure) -> tuple[Measure, ...]:
    """What answers something, in the order of the troubles."""
    order = list(TROUBLES)
    answering = (measure for measure in exposure.measures if measure.answers)
    return tuple(sorted(answering, key=lambda measure: min(order.index(one) for one in measure.answers)))


WORK = {key.replace("_", "-"): one for key, one in load_exposures().items() if _answered(one)}

INPUTS = (
    Choose(
        name="work",
        label="Work",
        options=tuple((key, exposure.title) for key, exposure in WORK.items()),
        default="slab-pour",
    ),
    Choose(
        name="trouble",
        label="What threatens it",
        options=((ANY, "Anything: show the whole table"), *TROUBLES.items()),
        default=ANY,
    ),
    Ask(
        name="chance",
        label="Chance that it spoils the work",
        kind=PERCENT,
        low=0.0,
        high=100.0,
        source=COMMON_PRACTICE,
        optional=True,
        help="Of the one trouble chosen above; the watch tells it for every start.",
    ),
    Ask(
        name="loss",
        label="It costs when it is spoiled",
        kind=DOLLARS,
        low=1.0,
        high=1_000_000.0,
        source=COMMON_PRACTICE,
        optional=True,
        help="Empty is the estimate for this work.",
    ),
)


def compute(values: Values) -> Answer:
    """The table of measures, and with a chance those to prepare."""
    exposure, trouble = WORK[values.choice("work")], values.choice("trouble")
    loss = values.maybe("loss") or float(exposure.loss_dollars)
    measures = tuple(one for one in _answered(exposure) if trouble in (ANY, *one.answers))
    if not measures:
        raise CannotDo("calculator.no_measure", field="trouble", trouble=TROUBLES[trouble].lower(), work=exposure.title)
    chosen = _chosen(values, trouble, measures, loss)
    return Answer(
        says=_says(exposure, trouble, measures, chosen),
        lines=(
            *(() if chosen is None else _kept_lines(chosen, loss)),
            *(_line(measure, loss) for measure in measures),
            Line(label="Loss it is held against", value=f"${amount(loss)}", also="when the work is spoiled"),
        ),
        formula=(
            "It pays from chance = price / (loss × share spared): then chance × loss × share is what it costs.",
            "Two against one trouble spare 1 − (1 − share) × (1 − share) together; with a chance, the cheapest set of"
            " prices and loss left. Hours are the crew's own day and not in the price.",
        ),
        sources=_sources(measures),
        cautions=(
            "Prices and shares are estimates: the shop's own prices decide.",
            "Heaters are vented outside: their fumes poison people and dust the face of fresh concrete.",
            "A measure spares a part of the loss. What the weather forbids for people, it does not allow.",
            DEFERS,
        ),
        pictures=(_spans(measures, loss, values.maybe("chance")),),
    )


def _chosen(values: Values, trouble: str, measures: tuple[Measure, ...], loss: float) -> Choice | None:
    chance = values.maybe("chance")
    if chance is None:
        return None
    if trouble == ANY:
        raise CannotDo("calculator.which_trouble", field="trouble")
    (hazard,) = {one for measure in measures for one in measure.answers if one == trouble}
    return choose(measures, hazards={hazard: chance / 100}, near=frozenset(), loss_dollars=round(loss))


def _says(exposure: Exposure, trouble: str, measures: tuple[Measure, ...], chosen: Choice | None) -> str:
    work = exposure.title.lower()
    if chosen is None:
        count = f"{len(measures)} measure{'' if len(measures) == 1 else 's'}"
        against = "" if trouble == ANY else f" against {TROUBLES[trouble].lower()}"
        return f"{count} can be prepared{against} for this work: {work}."
    if not chosen.measures:
        return f"At that chance nothing pays for this work: {work}."
    together = " together" if len(chosen.measures) > 1 else ""
    return f"Prepare: {'; '.join(one.title for one in chosen.measures)}, ${amount(chosen.price_dollars)}{together}."


def _kept_lines(chosen: Choice, loss: float) -> Iterator[Line]:
    yield Line(label="Price of what to prepare", value=f"${amount(chosen.price_dollars)}")
    before = chosen.loss_left_dollars + sum(one.spared_dollars for one in chosen.measures)
    if len(chosen.measures) == 1:
        yield Line(label="Expected loss without it", value=f"${amount(before)}")
    yield Line(
        label="Expected loss left",
        value=f"${amount(chosen.loss_left_dollars)}",
        also=f"{amount(100 * chosen.chance_left)} % chance × ${amount(loss)}",
    )


def _line(measure: Measure, loss: float) -> Line:
    effect = EFFECT_SOURCE.sub("", measure.effect)
    parts = (
        f"{hours_words(measure.hours)} of work" if measure.hours else "no work of the crew",
        f"against {', '.join(measure.answers)}",
        f"spares about {amount(100 * measure.spares)} % of the loss",
        _pays_words(measure, loss),
        *([effect] if effect else []),
    )
    price = f"${amount(measure.dollars)}" if measure.dollars else "nothing"
    return Line(label=measure.title, value=price, also="; ".join(parts))


def _pays_from(measure: Measure, loss: float) -> float:
    """Chance [%] from which a measure spares what it costs; over 100 where it never does."""
    return 100 * measure.dollars / (loss * measure.spares)


def _pays_words(measure: Measure, loss: float) -> str:
    chance = _pays_from(measure, loss)
    if chance == 0:
        return "pays at any chance"
    return f"pays from a chance of {amount(chance)} %" if chance <= 100 else "costs more than it can spare"


def _sources(measures: tuple[Measure, ...]) -> tuple[str, ...]:
    known = load_vocabulary().sources
    effects = {
        f"{known[found[1]]}{found[2] or ''}"
        for one in measures
        if (found := EFFECT_SOURCE.search(one.effect)) is not None
    }
    return (
        f"Price, hours and share: {known[PRICES]}",
        *(f"Effect: {one}" for one in sorted(effects)),
        f"From which chance it pays: expected values, {COMMON_PRACTICE}",
    )


def _spans(measures: tuple[Measure, ...], loss: float, chance: float | None) -> Spans:
    return Spans(
        title="It pays where its bar is",
        label="Chance that the work is spoiled",
        unit="%",
        high=100.0,
        spans=tuple(
            Span(label=one.title, low=min(_pays_from(one, loss), 100.0), high=100.0, says=_pays_words(one, loss))
            for one in measures
        ),
        mark=chance,
        mark_says="" if chance is None else f"chance {amount(chance)} %",
    )


CALCULATOR = Calculator(
    name="measures",
    title="Measures against the weather",
    question="What can be prepared, what does it cost, and does it pay?",
    inputs=INPUTS,
    compute=compute,
)
