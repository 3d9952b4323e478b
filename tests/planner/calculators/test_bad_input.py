"""What is missing, no number, negative, in a wrong unit or out of range is named, on command line and page alike."""

from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from jobs.domain.errors import CannotDo, OutsideValidRange
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, AskRows, Choose
from planner.calculators.catalog import CALCULATORS, calculator
from planner.web.presenters.calculators.page import present_calculator
from tests.planner.calculators.asked import counting, filled, rows_asked

ASKS = [(name, one) for name, found in CALCULATORS.items() for one in found.asks]
CHOICES = [(name, one) for name, found in CALCULATORS.items() for one in found.inputs if isinstance(one, Choose)]


def spoken(one: object) -> str:
    return one if isinstance(one, str) else str(getattr(one, "name", one))


def refused(name: str, field: str, typed: str) -> CannotDo:
    """The one refusal, after making sure that page and command say the same of the same field."""
    found = CALCULATORS[name]
    asked = next(one for one in found.inputs if one.name == field)
    given = {**counting(found, asked), field: typed}
    page = present_calculator(found, given)
    assert page.answer is None
    problems = [one for one in page.problems if one.field == field]
    assert len(problems) == 1, page.problems
    shown = next(one for group in page.groups for one in group.fields if one.name == field)
    assert shown.error == problems[0].words
    options = [f"--{key.replace('_', '-')}={value}" for key, value in given.items()]
    with pytest.raises(CommandError) as told:
        call_command("calc", name, *options, stdout=StringIO())
    assert str(told.value) == f"--{field.replace('_', '-')}: {problems[0].words}"
    with pytest.raises(CannotDo) as problem:
        found.answer(given)
    return problem.value


def problem_of(name: str, typed: dict[str, str]) -> CannotDo | None:
    """Why these numbers are refused, if they are."""
    try:
        CALCULATORS[name].answer(typed)
    except CannotDo as problem:
        return problem
    return None


@pytest.mark.parametrize(("name", "asked"), ASKS, ids=spoken)
def test_no_number_and_no_such_unit(name: str, asked: Ask) -> None:
    for typed in ("abc", "12 furlongs"):
        problem = refused(name, asked.name, typed)
        assert asked.label in problem.says
        assert typed.split()[-1] in problem.says
        assert problem.remedy


@pytest.mark.parametrize(("name", "asked"), [pair for pair in ASKS if not pair[1].kind.may_be_negative], ids=spoken)
def test_less_than_nothing(name: str, asked: Ask) -> None:
    problem = refused(name, asked.name, "-3")
    assert problem.code == "calculator.negative"
    assert asked.label in problem.says
    assert asked.allowed() in problem.remedy


@pytest.mark.parametrize(("name", "asked"), ASKS, ids=spoken)
def test_outside_the_range_of_its_formula(name: str, asked: Ask) -> None:
    """A little of the range beyond each end, in the crew's unit; nothing is pulled back to the end."""
    step = 0.0013 * (asked.high - asked.low)
    for value in (asked.low - step, asked.high + step):
        number = asked.unit.from_si(value)
        if (number < 0 and not asked.kind.may_be_negative) or asked.whole:
            continue
        problem = refused(name, asked.name, f"{number:.9g}")
        assert isinstance(problem, OutsideValidRange)
        assert problem.says.startswith(f"{asked.label} is {number:,.6g}")
        assert asked.allowed() in problem.says
        assert said_source(asked.source) in problem.says


@pytest.mark.parametrize(("name", "asked"), [pair for pair in ASKS if not pair[1].optional], ids=spoken)
def test_what_has_no_default_is_missed(name: str, asked: Ask) -> None:
    if asked.default:
        assert CALCULATORS[name].answer({**counting(CALCULATORS[name], asked), asked.name: " "})
        return
    problem = refused(name, asked.name, " ")
    assert problem.code == "calculator.missing"
    assert asked.label in problem.says
    assert asked.sample in problem.remedy


@pytest.mark.parametrize(("name", "rows"), rows_asked(), ids=spoken)
def test_rows_that_cannot_be_read(name: str, rows: AskRows) -> None:
    """A number that is none, one too few, one too many, rows missing: named with its row, page and command alike."""
    first, *rest = rows.sample.split(";")
    few, needed = ";".join([first.split(",")[0], *rest]), sum(not one.optional for one in rows.columns)
    for typed, code in (
        (rows.sample.replace(first.split(",")[0], "abc", 1), "calculator.not_a_number"),
        (rows.sample.replace(first.split(",")[0], "7 furlongs", 1), "calculator.wrong_unit"),
        *([(few, "calculator.row_numbers")] if needed > 1 else []),
        (f"{first}, 1, 1, 1;{';'.join(rest)}", "calculator.row_numbers"),
        (";".join([first] * (rows.most + 1)), "calculator.row_count"),
    ):
        problem = refused(name, rows.name, typed)
        assert problem.code == code
        assert "row" in problem.says or code == "calculator.row_count"
        assert problem.remedy


@pytest.mark.parametrize(
    ("name", "rows", "column"),
    [(name, rows, at) for name, rows in rows_asked() for at in range(len(rows.columns))],
    ids=spoken,
)
def test_a_number_of_a_row_outside_its_range(name: str, rows: AskRows, column: int) -> None:
    asked = rows.columns[column]
    over = f"{asked.unit.from_si(asked.high + 0.01 * (asked.high - asked.low)) // 1 + 1:.9g}"
    first, *rest = rows.sample.split(";")
    numbers = first.split(",")
    numbers[column:] = [over, *numbers[column + 1 :]]
    problem = refused(name, rows.name, ";".join([",".join(numbers), *rest]))
    assert isinstance(problem, OutsideValidRange)
    assert problem.says.startswith(f"{asked.label} of row 1 is ")
    assert said_source(asked.source) in problem.says


@pytest.mark.parametrize(("name", "choose"), CHOICES, ids=spoken)
def test_what_is_no_choice(name: str, choose: Choose) -> None:
    problem = refused(name, choose.name, "whatever")
    assert problem.code == "calculator.no_such_choice"
    assert all(value in problem.remedy for value, _ in choose.options)


@pytest.mark.parametrize(
    ("name", "given", "code", "field"),
    [
        ("pool", {"deep_depth": "3 ft"}, "calculator.deep_above_shallow", "deep_depth"),
        ("pool", {"shallow_length": "30 ft"}, "calculator.parts_too_long", "deep_length"),
        ("pool", {"shallow_length": "24 ft"}, "calculator.no_main_slope", "deep_length"),
        ("pool", {"side_slope": "10 ft"}, "calculator.side_slopes_too_wide", "side_slope"),
        ("pool", {"deep_depth": "3 ft 6 in"}, "calculator.slopes_without_drop", "back_slope"),
        ("pool", {"level": "9 ft"}, "calculator.level_above_coping", "level"),
        ("pool", {"shape": "l-shape", "leg_from": "31 ft"}, "calculator.leg_outside", "leg_from"),
        ("pool", {"shape": "l-shape", "leg_deep": "3 ft"}, "calculator.deep_above_shallow", "leg_deep"),
        ("pool", {"shape": "l-shape", "leg_side_slope": "1"}, "calculator.slopes_without_drop", "leg_side_slope"),
        (
            "pool",
            {"shape": "l-shape", "leg_deep": "6", "leg_deep_length": "12"},
            "calculator.no_main_slope",
            "leg_deep_length",
        ),
        (
            "pool",
            {"shape": "l-shape", "leg_deep": "6", "leg_side_slope": "5"},
            "calculator.side_slopes_too_wide",
            "leg_side_slope",
        ),
        ("pool", {"shape": "kidney", "narrow": "61 ft"}, "calculator.kidney_too_short", "narrow"),
        ("pool", {"shape": "kidney", "waist": "18 ft"}, "calculator.kidney_waist", "waist"),
        (
            "pool",
            {"shape": "stations", "stations": "0,8,4; 9,8,4; 5,8,4"},
            "calculator.stations_out_of_order",
            "stations",
        ),
        (
            "pool",
            {"shape": "stations", "stations": "0,8,4; 9,8,4; 9,6,5; 20,6,5"},
            "calculator.step_changes_width",
            "stations",
        ),
        ("pool", {"shape": "stations", "stations": "0,8,4,9; 9,8,4"}, "calculator.station_floor", "stations"),
        ("pool", {"shape": "stations", "stations": "0,0,4; 9,0,4"}, "calculator.no_water", "stations"),
        ("pool", {"ledges": "20, 6, 43"}, "calculator.ledge_too_deep", "ledges"),
        ("pool", {"ledges": "100, 30, 9"}, "calculator.built_too_large", "ledges"),
        ("fill", {"finish": "plaster", "runs": "9"}, "calculator.plaster_runs_through", "runs"),
        ("fill", {"read_after": "6 h"}, "calculator.needs_too", "read_level"),
        ("fill", {"read_level": "3 ft"}, "calculator.needs_too", "read_after"),
        ("fill", {"read_after": "900 h", "read_level": "3 ft"}, "calculator.read_too_late", "read_after"),
        (
            "fill",
            {"start": "3 ft", "read_after": "6", "read_level": "2"},
            "filling.reading_shows_no_flow",
            "read_level",
        ),
        ("fill", {"read_after": "6 h", "read_level": "8 ft"}, "calculator.already_full", "read_level"),
        ("fill", {"start": "8 ft"}, "calculator.already_full", "start"),
        ("fill", {"flow": ""}, "calculator.no_flow", "flow"),
        ("fill", {"bucket": "5 gal", "seconds": "30"}, "calculator.flow_twice", "bucket"),
        ("fill", {"flow": "", "bucket": "5 gal"}, "calculator.flow_in_part", "seconds"),
        ("fill", {"flow": "0.2 gpm"}, "calculator.fills_never", "flow"),
        ("fill", {"hoses": "1.5"}, "calculator.not_whole", "hoses"),
        (
            "fill",
            {"water": "several", "sources": "12,20,6", "finish": "plaster"},
            "calculator.plaster_runs_through",
            "sources",
        ),
        ("fill", {"water": "several", "sources": "0.1,0,24"}, "calculator.fills_never", "flow"),
        ("drying", {"dry_for": "1.5"}, "calculator.not_whole", "dry_for"),
        ("steel", {"width": "2 ft", "spacing": "30 in"}, "calculator.spacing_too_wide", "spacing"),
        ("forms", {"wall_height": "3 ft"}, "calculator.wall_below_water", "wall_height"),
        ("over-order", {"need": "between", "least": "9", "most": "8"}, "order.most_below_least", "most"),
        ("pipe", {"runs": "40, 1.5"}, "calculator.not_whole", "runs"),
        ("spoil", {"kept": "300 yd³"}, "calculator.kept_more_than_dug", "kept"),
        ("keeping-warm", {"warmest": "20"}, "calculator.warmest_below_coldest", "warmest"),
        ("wall-pour", {"light": "1"}, "calculator.wall_past_dark", "light"),
        (
            "wall-pour",
            {"trucks": "1", "round_trip": "4 h", "light": "24", "concrete_temp": "95"},
            "calculator.wall_cold_joint",
            "trucks",
        ),
        ("wall-pour", {"travel": "89 min", "core": "2 in"}, "calculator.wall_load_too_old", "travel"),
        ("wall-pour", {"rating": "500 psf"}, "formwork.form_too_weak", "rating"),
        ("salt", {"rain": "2 in", "catch": ""}, "calculator.needs_too", "catch"),
        ("salt", {"product": "muriatic-acid-31"}, "chemistry.wrong_way", "product"),
        ("salt", {"wanted": "100", "fresh": "150"}, "chemistry.cannot_dilute", "wanted"),
        ("pour-rate", {"rating": "500 psf"}, "formwork.form_too_weak", "rating"),
        ("drying", {"surface_temp": "40 F", "air_temp": "80 F", "humidity": "100"}, "drying.not_dry", "surface_temp"),
    ],
)
def test_numbers_that_do_not_go_together(name: str, given: dict[str, str], code: str, field: str) -> None:
    found = CALCULATORS[name]
    with pytest.raises(CannotDo) as problem:
        found.answer({**filled(found, given), **given})
    assert (problem.value.code, problem.value.field) == (code, field)


@pytest.mark.parametrize(
    ("name", "given", "label", "field"),
    [
        ("evaporation", {"wind": "30 mph"}, "Wind at the slab is 30 mph, outside the range 0 to 25 mph", "wind"),
        ("evaporation", {"air_temp": "-40 F", "humidity": "10"}, "Dew point is -75.96", "humidity"),
        ("salt", {"wanted": "7,000 ppm", "now": "0"}, "Change from now to wanted is 7,000 ppm", "wanted"),
        (
            "saturation",
            {"alkalinity": "60", "stabiliser": "200"},
            "Alkalinity less a third of the stabiliser is -6",
            "alkalinity",
        ),
        ("heat", {"air_temp": "118 F", "humidity": "60"}, "Heat index is ", "humidity"),
        ("strength", {"concrete_temp": "150 F", "age": "365 d"}, "Age as the law counts it is ", "age"),
        ("maturity", {"history": ";".join(["150, 720"] * 9)}, "Age as the law counts it is ", "history"),
        ("mixture", {"aggregate_temp": "35", "cement_temp": "35", "ice": "150"}, "Temperature of the mix is ", "ice"),
        ("wall-pour", {"core_length": "600 ft", "core": "36 in"}, "Concrete to order is 576", "core_length"),
        ("fill", {"flow": "800 gpm", "hoses": "2"}, "Flow of all hoses is 1,600 gpm", "hoses"),
        ("fill", {"water": "several", "tankers": "6000,20,9,3"}, "Time from load to load is 3 h, outside", "tankers"),
        ("fill", {"water": "several", "tankers": "9000,1,9,3,5"}, "Time a load runs is 30 h, outside", "tankers"),
    ],
)
def test_what_was_computed_on_the_way_is_named(name: str, given: dict[str, str], label: str, field: str) -> None:
    found = CALCULATORS[name]
    with pytest.raises(OutsideValidRange) as problem:
        found.answer({**found.examples(), **given})
    assert problem.value.says.startswith(label)
    assert problem.value.field == field


@pytest.mark.parametrize(("name", "asked"), ASKS, ids=spoken)
def test_the_formula_holds_at_both_ends_of_the_range_that_is_told(name: str, asked: Ask) -> None:
    """No end of a range an input tells is refused by the formula behind it as outside."""
    found = CALCULATORS[name]
    for end in (asked.low, asked.high):
        typed = {**counting(found, asked), asked.name: f"{asked.unit.from_si(end):.15g}"}
        told = problem_of(name, typed)
        # What is computed on the way may be refused, and numbers may not go together: the input itself is not outside.
        if isinstance(told, OutsideValidRange):
            assert told.facts["name"] in {one.label for one in found.derived}


def test_a_name_that_is_no_input_is_told() -> None:
    with pytest.raises(CannotDo, match="'colour' is nothing this calculator asks for"):
        CALCULATORS["heat"].answer({**CALCULATORS["heat"].examples(), "colour": "red"})
    with pytest.raises(CannotDo, match="'brick' is no calculator"):
        calculator("brick")
