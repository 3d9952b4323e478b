"""The table of measures: complete, and what it says pays is what the planner would prepare."""

import pytest

from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_exposures
from planner.calculators.weather.measures import TROUBLES, WORK
from tests.planner.calculators.asked import ask, number_in

LOSS = 3000.0
PAIRS = [
    (key, trouble)
    for key, exposure in WORK.items()
    for trouble in TROUBLES
    if any(trouble in one.answers for one in exposure.measures)
]


def test_every_measure_that_answers_something_is_in_its_table_with_price_hours_and_effect() -> None:
    told = 0
    for exposure in load_exposures().values():
        for measure in (one for one in exposure.measures if one.answers):
            (line,) = (one for one in ask("measures", work=exposure.key).lines if one.label == measure.title)
            assert line.value == (f"${measure.dollars:,}" if measure.dollars else "nothing")
            assert f"spares about {100 * measure.spares:.0f} %" in line.also
            assert all(trouble in line.also for trouble in measure.answers)
            assert "of work" in line.also or "no work" in line.also
            assert "S-ACI" not in line.also
            told += 1
    assert told > 50


@pytest.mark.parametrize(("work", "trouble"), PAIRS)
def test_a_lone_measure_is_prepared_from_the_chance_at_which_it_pays(work: str, trouble: str) -> None:
    """Cost and loss: act when the chance is over cost / (loss x share), the published rule of the cost-loss model."""
    measures = [one for one in WORK[work].measures if trouble in one.answers]
    cheapest = min(measures, key=lambda one: one.dollars / one.spares)
    pays_from = 100 * cheapest.dollars / (LOSS * cheapest.spares)
    asked = {"work": work, "trouble": trouble, "loss": LOSS}
    if pays_from > 2:
        assert "nothing pays" in ask("measures", **asked, chance=pays_from - 1.5).says
    if pays_from < 98:
        assert ask("measures", **asked, chance=pays_from + 1.5).says.startswith("Prepare: ")


@pytest.mark.parametrize(("work", "trouble"), PAIRS)
def test_what_is_left_never_costs_more_than_doing_nothing(work: str, trouble: str) -> None:
    for chance in (5, 30, 80):
        answer = ask("measures", work=work, trouble=trouble, chance=chance, loss=LOSS)
        left = next(number_in(one.value) for one in answer.lines if one.label == "Expected loss left")
        assert left <= LOSS * chance / 100 + 1


def test_what_is_not_listed_and_a_chance_of_nothing_named_are_refused() -> None:
    for given, code in (
        ({"trouble": "wind"}, "calculator.no_measure"),
        ({"chance": "30"}, "calculator.which_trouble"),
    ):
        with pytest.raises(CannotDo) as refused:
            ask("measures", **given)
        assert (refused.value.code, refused.value.field) == (code, "trouble")
        assert refused.value.remedy
