"""How many forms, corner pieces and braces the walls of a pool take."""

from dataclasses import replace

from jobs.domain.basin import Basin
from jobs.domain.order.bars import bars_round
from jobs.domain.order.buying import USUAL_BUYING, Buying
from jobs.domain.order.forms import FormPieces
from jobs.domain.order.shell import form_lines, wall_forms
from jobs.domain.order.sold import sold_in_us
from jobs.domain.order.taken import taken_off
from jobs.domain.units import ft2_from_m2, ft_from_m, in_from_m, m_from_ft, m_from_in
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, feet_words, line
from planner.calculators.answering.pictures import Courses, PoolPlan
from planner.calculators.asking.designs import SHELL_SHAPE, design_of, wall_height_of
from planner.calculators.asking.inputs import Values
from planner.calculators.asking.shapes import shaped_basin_of
from planner.calculators.asking.sizes import BRACES, FORM_THICKNESS, FORMS, WALL_HEIGHT, share, size
from planner.calculators.asking.units import LENGTH, THICKNESS
from planner.calculators.calculator import Calculator

INPUTS = (
    *SHELL_SHAPE,
    WALL_HEIGHT,
    FORM_THICKNESS,
    size("course", "Height of a course", THICKNESS, m_from_in(6.0), m_from_in(48.0), default="16 in", group=FORMS),
    size("piece", "Length of a straight form", LENGTH, m_from_ft(1.0), m_from_ft(12.0), default="4 ft", group=FORMS),
    size(
        "corner_leg",
        "One leg of a corner form makes",
        THICKNESS,
        m_from_in(4.0),
        m_from_in(60.0),
        default="20 in",
        help="Along the middle of the wall.",
        group=FORMS,
    ),
    share("waste", "Lost in cuts", "5 %", group=FORMS),
    size("brace_every", "From brace to brace", LENGTH, m_from_ft(2.0), m_from_ft(10.0), default="6 ft", group=BRACES),
    size("brace_set", "A set braces", LENGTH, m_from_ft(10.0), m_from_ft(500.0), default="130 ft", group=BRACES),
)


def compute(values: Values) -> Answer:
    """Straight forms, corner forms, braces."""
    basin = shaped_basin_of(values)
    buying = replace(
        USUAL_BUYING,
        course_m=values.si("course"),
        form_piece_m=values.si("piece"),
        corner_leg_m=values.si("corner_leg"),
        form_waste=values.si("waste") / 100,
        brace_every_m=values.si("brace_every"),
        brace_set_m=values.si("brace_set"),
    )
    design = design_of(
        basin, form_thickness_m=values.si(FORM_THICKNESS.name), form_height_m=wall_height_of(values, basin)
    )
    found, height = wall_forms(design, buying=buying), design.wall_height_m
    order = tuple(one for one in form_lines(taken_off(design, finish="liner", buying=buying, say=sold_in_us)))
    corners = found.corners_out + found.corners_in
    return Answer(
        says=(
            f"Order {found.straight} straight forms{f' and {corners} corner forms' if corners else ''}: "
            f"{found.courses} courses."
        ),
        lines=_lines(basin, buying, found, height, ft_from_m(basin.offset_length_m(design.form_thickness_m / 2))),
        formula=(
            "Courses = height of the wall / height of a course, rounded up; the top course is cut down.",
            "Straight forms = (courses × (length along the middle of the form − 2 legs for each corner) + upright deep"
            " walls / height of a course) × (1 + lost) / length of a form, rounded up.",
            "One corner form for each corner in each course; points of a curve are cut and bent, not corners.",
            "Braces = water line / distance, rounded up; sets = water line / what a set braces, rounded up.",
        ),
        sources=(f"Sizes, cuts and braces: {COMMON_PRACTICE}; the form maker's table governs",),
        cautions=(
            "Where corner forms are handed, every other course is the other hand: order half left and half right.",
            "Braces stand closer beside corners, openings and pipes, and as the maker says; straight walls of one pour"
            " are braced before the pour begins, not during it.",
            "Braced empty forms are a sail: take them down or tie them before wind above the maker's limit.",
            DEFERS,
        ),
        why=(
            ("Upright deep walls are formed as well, so they count in straight pieces.",) if basin.deep_wall_m2 else ()
        ),
        pictures=(
            Courses(
                title="The wall, course on course",
                course_in=in_from_m(buying.course_m),
                courses=found.courses,
                height_in=in_from_m(height),
            ),
            PoolPlan(title="Corners from above", basin=basin, corners=True),
        ),
        order=tuple(one for one in order if one.bought_quantity > 0),
    )


def _lines(basin: Basin, buying: Buying, found: FormPieces, height_m: float, round_ft: float) -> tuple[Line, ...]:
    cut = found.courses * buying.course_m - height_m
    return (
        line("Straight forms", found.straight, ""),
        line("Corner forms, outside corners", found.corners_out, ""),
        line("Corner forms, inside corners", found.corners_in, ""),
        line("Courses", found.courses, "", also=f"of {amount(in_from_m(buying.course_m), 1)} in"),
        line("Cut off the top course", in_from_m(cut), "in", 1, also=f"for a wall of {feet_words(height_m)}"),
        line("Round the middle of the form", round_ft, "ft", 1),
        line("Braces", bars_round(basin.perimeter_m, buying.brace_every_m), ""),
        *((line("Upright deep walls", ft2_from_m2(basin.deep_wall_m2), "ft²"),) if basin.deep_wall_m2 else ()),
    )


CALCULATOR = Calculator(
    name="forms",
    title="Forms, corners and braces",
    question="How many forms, corner pieces and braces?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
