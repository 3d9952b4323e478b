"""Lengths of pipe and fittings for the runs of a pool."""

from collections.abc import Iterator
from dataclasses import replace

from jobs.domain.order.buying import USUAL_BUYING
from jobs.domain.order.ground import lengths_of_pipe
from jobs.domain.order.lines import OrderLine
from jobs.domain.order.sold import sold_in_us
from jobs.domain.order.taken import DRAWING, counted_line
from jobs.domain.units import ft_from_m, m_from_ft
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, amount, feet_words, line
from planner.calculators.answering.pictures import Span, Spans
from planner.calculators.asking.inputs import Ask, AskRows, Values
from planner.calculators.asking.sizes import share, size
from planner.calculators.asking.units import COUNT, LENGTH
from planner.calculators.calculator import Calculator


def _fittings(name: str, label: str, *, optional: bool = False) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=COUNT,
        low=0,
        high=60,
        source=COMMON_PRACTICE,
        whole=True,
        optional=optional,
        example="4",
    )


RUNS = AskRows(
    name="runs",
    label="Runs of one size of pipe",
    columns=(
        size("run_length", "Length of the run", LENGTH, m_from_ft(0.5), m_from_ft(1000.0), example="60 ft"),
        _fittings("run_elbows", "Elbows", optional=True),
        _fittings("run_tees", "Tees", optional=True),
    ),
    least=1,
    most=20,
    optional=False,
    example="62, 4; 58, 4; 45, 3, 2; 20, 2",
    sample_rows="62, 4; 45, 3, 2; 30",
    help="From the equipment to the fitting, along the trench and up the wall. Each size of pipe by itself.",
)
INPUTS = (
    RUNS,
    size("stock", "Length of a pipe as sold", LENGTH, m_from_ft(4.0), m_from_ft(60.0), default="20 ft"),
    share("waste", "Lost in cuts", "5 %"),
)


def compute(values: Values) -> Answer:
    """Whole lengths, couplings, elbows, tees."""
    runs = tuple(_run(*row) for row in values.rows_of(RUNS.name))
    run = sum(length for length, _, _ in runs)
    buying = replace(USUAL_BUYING, pipe_piece_m=values.si("stock"), pipe_waste=values.si("waste") / 100)
    many = f"{len(runs)} run{'' if len(runs) == 1 else 's'}"
    order = (
        *lengths_of_pipe(run, what=many, buying=buying, say=sold_in_us),
        *_counted(runs),
    )
    pipe = order[0]
    return Answer(
        says=(
            f"Order {pipe.bought_quantity:.0f} length{'' if pipe.bought_quantity == 1 else 's'} of"
            f" {feet_words(buying.pipe_piece_m)} for {amount(ft_from_m(run))} ft in {many}."
        ),
        lines=(
            line("Lengths of pipe", pipe.bought_quantity, "", also=f"{feet_words(buying.pipe_piece_m)} each"),
            line("All runs together", ft_from_m(run), "ft", 1, also=f"{amount(run, 1)} m"),
            line("Left over, cuts included", ft_from_m(pipe.bought_quantity * buying.pipe_piece_m - run), "ft", 1),
            line("Couplings", order[1].bought_quantity, ""),
            line("Elbows", sum(elbows for _, elbows, _ in runs), ""),
            line("Tees", sum(tees for _, _, tees in runs), ""),
        ),
        formula=(
            "Lengths = all runs × (1 + lost) / length as sold, rounded up: what is left over of one run is joined to"
            " the next.",
            "Couplings = one for each length bought; none where the pipe has bells. Elbows and tees as counted.",
        ),
        sources=(f"Cuts and couplings: {COMMON_PRACTICE}; the drawing governs",),
        cautions=(
            "Lines to a drain, and the number and the distance of drains, follow the law on entrapment: two outlets or"
            " what the code allows, never one that can hold a person.",
            "Pressure-test the pipe with water before it is covered, and keep it under pressure during the pour. Never"
            " with compressed air where the maker forbids it: plastic pipe bursts into splinters.",
            DEFERS,
        ),
        pictures=(
            Spans(
                title="The runs",
                label="Length",
                unit="ft",
                high=1.1 * ft_from_m(max(length for length, _, _ in runs)),
                spans=tuple(
                    Span(
                        label=f"Run {number}: {feet_words(length)}",
                        low=0.0,
                        high=ft_from_m(length),
                        says=_says(elbows, tees),
                    )
                    for number, (length, elbows, tees) in enumerate(runs, start=1)
                ),
            ),
        ),
        order=order,
    )


def _run(length_m: float, elbows: float = 0.0, tees: float = 0.0) -> tuple[float, int, int]:
    return length_m, round(elbows), round(tees)


def _counted(runs: tuple[tuple[float, int, int], ...]) -> Iterator[OrderLine]:
    for item, count in (("Elbows", sum(run[1] for run in runs)), ("Tees", sum(run[2] for run in runs))):
        if count:
            yield counted_line(item, count, "as counted on each run", DRAWING)


def _says(elbows: int, tees: int) -> str:
    parts = ((elbows, "elbow"), (tees, "tee"))
    return ", ".join(f"{count} {what}{'' if count == 1 else 's'}" for count, what in parts if count) or "straight"


CALCULATOR = Calculator(
    name="pipe",
    title="Pipe and fittings",
    question="How many lengths of pipe, and which fittings?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
