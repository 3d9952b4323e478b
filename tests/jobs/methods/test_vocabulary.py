"""The shared codes: what published rules say about them, and that the liner method leaves none dangling."""

import re

import pytest

from jobs.domain.exposure import SOIL_WAIT_FACTOR
from jobs.methods.loader import load_exposures, load_method, load_vocabulary
from planner.dayplans.presenters.measures import worded

VOCABULARY = load_vocabulary()


def test_loaded_once():
    assert load_vocabulary() is VOCABULARY
    assert load_exposures() is load_exposures()
    assert load_method("insulated_form_liner") is load_method("insulated_form_liner")


def test_every_soil_of_the_weather_rules_has_a_dig_factor():
    assert set(SOIL_WAIT_FACTOR) <= set(VOCABULARY.soils)
    assert VOCABULARY.soils["clay"].dig_factor == 0.8  # estimate: bucket fill and sticking


def test_a_locate_is_asked_two_or_three_full_working_days_ahead():
    # State one-call laws: two to three full working days.
    assert VOCABULARY.authorities["one_call"].notice_working_days in (2, 3)
    assert VOCABULARY.bookings["locate_ticket"].free_until.kind == "any_time"


def test_usual_cost_of_a_forms_crew():
    # Estimate: five people at $58 an hour.
    crew = VOCABULARY.trades["concrete_forms"]
    assert crew.dollars_per_crew_hour == crew.typical_crew * 58


@pytest.mark.parametrize("booking", sorted(VOCABULARY.bookings))
def test_a_booking_says_when_cancelling_stops_being_free(booking):
    kind = VOCABULARY.bookings[booking]
    assert kind.fee_dollars >= 0
    assert (kind.free_until.at is not None) == (kind.free_until.kind == "at")


def test_what_may_run_out_is_counted():
    counted = {key for key, kind in VOCABULARY.gear.items() if kind.counted}
    assert {"brace_set", "liner_vacuum", "dewatering_pump", "concrete_pump"} <= counted
    assert "test_kit" not in counted


def test_cautions_quote_the_numbers_of_the_rules():
    # 29 CFR 1926.651-652: 5 ft, spoil 2 ft, ladder within 25 ft at 4 ft; 1926.1408: 10 ft to 50 kV; silica Table 1.
    sentences = {key: worded(caution.sentence) for key, caution in VOCABULARY.cautions.items()}
    assert "of 5 feet" in sentences["dig_collapse"]
    assert "machines 2 feet or more" in sentences["dig_edge"]
    assert "within 25 feet where 4 feet deep" in sentences["dig_edge"]
    assert "within 10 feet of lines to 50 kV" in sentences["overhead_lines"]
    assert "from heat index 91 °F, strict plan from 103 °F" in sentences["heat"]
    assert "wind chill of -18 °F" in sentences["cold"]
    assert "30 min" in sentences["thunder"]


def test_units_end_the_names_of_quantities():
    for key, quantity in VOCABULARY.quantities.items():
        if key != "each":
            assert quantity.unit == {"each": "count"}.get(key.rpartition("_")[2], key.rpartition("_")[2])


def test_a_sheet_of_the_crew_names_no_unit_it_does_not_measure_in():
    """Values are stored once, in SI, and shown in feet, pounds and degrees Fahrenheit; 50 kV is no length."""
    shown = [worded(caution.sentence) for caution in VOCABULARY.cautions.values()]
    shown += [worded(gear.title) for gear in VOCABULARY.gear.values()]
    assert not [words for words in shown if re.search(r"[{}]|\d ?(m|mm|m2|kg|°C|MPa|m/s)\b", words)]
    titles = {key: worded(gear.title) for key, gear in VOCABULARY.gear.items()}
    assert titles["brace_set"] == "Brace set, 131 feet of wall"
    assert titles["cover_kit"] == "Sheet and frames, 640 square feet"
    assert titles["dewatering_pump"] == "Trash pump, 2 inches"


def test_a_unit_nobody_knows_is_an_error():
    with pytest.raises(KeyError, match="furlong"):
        worded("Stay {2 furlong} away.")
