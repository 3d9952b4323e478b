"""Pools that are no rectangle, and what is built into them, as a crew gives them."""

import itertools
from collections.abc import Iterator
from dataclasses import replace

from jobs.domain.basin import Basin, Fitting, RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.curves import EllipseBasin, KidneyBasin, StadiumBasin
from jobs.domain.shapes.parts import PartedBasin, l_shape
from jobs.domain.shapes.solids import Solid, WithSolids, bench, straight_stair
from jobs.domain.shapes.stations import StationBasin, station
from jobs.domain.units import ft2_from_m2, m_from_ft, m_from_in
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import amount, feet_words
from planner.calculators.asking.inputs import Ask, AskRows, Input, Values, When
from planner.calculators.asking.pools import (
    DEEPEST_M,
    LONGEST_M,
    POOL_INPUTS,
    SHAPE,
    SHORTEST_M,
    TAPE_M,
    basin_of,
)
from planner.calculators.asking.units import COUNT, LENGTH, THICKNESS, Kind

LEG, KIDNEY, FREE, BUILT = "Leg of an L", "Kidney", "Free form, by stations", "Built into the pool"
FOR_L, FOR_KIDNEY, FOR_STATIONS = (
    When(choice=SHAPE.name, values=(value,)) for value in ("l-shape", "kidney", "stations")
)


def _length(
    name: str,
    label: str,
    *,
    low: float = SHORTEST_M,
    high: float = LONGEST_M,
    kind: Kind = LENGTH,
    help: str = "",
    group: str = "",
    when: When | None = None,
    optional: bool = False,
    example: str = "",
) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=kind,
        low=low,
        high=high,
        source=COMMON_PRACTICE,
        example=example,
        help=help,
        group=group,
        when=when,
        optional=optional,
    )


STATIONS = AskRows(
    name="stations",
    label="Stations",
    columns=(
        _length("station_at", "Station, from the shallow end", low=0.0, example="12 ft"),
        _length("station_width", "Width of the water line there", low=0.0, example="16 ft"),
        _length("station_depth", "Water depth there", low=m_from_in(3.0), high=DEEPEST_M, example="4 ft"),
        _length("station_floor", "Width of the floor between side slopes", low=0.0, optional=True),
    ),
    least=2,
    most=60,
    optional=False,
    sample_rows="0, 8, 3.5; 12, 16, 4; 24, 14, 8, 6; 32, 6, 7",
    help="Widths and depth change evenly between two stations; two stations at one place are a step in the floor.",
    group=FREE,
    when=FOR_STATIONS,
)
LEDGES = AskRows(
    name="ledges",
    label="Benches and sun ledges",
    columns=(
        _length("ledge_length", "Length of the ledge along the wall", example="20 ft"),
        _length("ledge_width", "Width of the ledge", example="6 ft"),
        _length("ledge_over", "Water over the ledge", low=0.0, high=DEEPEST_M, kind=THICKNESS, example="9 in"),
    ),
    least=1,
    most=10,
    sample_rows="20, 6, 9",
    help="Each stands on the shallow floor. Drawn at the shallow end; its place does not change the numbers.",
    group=BUILT,
)
STAIRS = AskRows(
    name="stairs",
    label="Stairs",
    columns=(
        _length("stair_width", "Width of the stair", example="6 ft"),
        Ask(name="stair_treads", label="Treads", kind=COUNT, low=1, high=12, source=COMMON_PRACTICE, whole=True),
        _length("stair_tread", "Depth of a tread", low=m_from_in(6.0), high=m_from_ft(6.0), kind=THICKNESS),
    ),
    least=1,
    most=6,
    sample_rows="6, 3, 12",
    help="Equal rises from the shallow floor; the last is up to the water line.",
    group=BUILT,
)
SHAPED_INPUTS: tuple[Input, ...] = (
    SHAPE,
    *POOL_INPUTS,
    _length("leg_length", "Length of the leg", group=LEG, when=FOR_L, help="Away from the main part."),
    _length("leg_width", "Width of the leg", group=LEG, when=FOR_L),
    _length(
        "leg_depth",
        "Water depth in the leg",
        high=DEEPEST_M,
        group=LEG,
        when=FOR_L,
        help="Where it leaves the main part; its floor is level unless it gets deeper.",
    ),
    _length("leg_from", "Where the leg begins", low=0.0, group=LEG, when=FOR_L, help="From the shallow end."),
    _length(
        "leg_deep",
        "Deepest water in the leg",
        high=DEEPEST_M,
        group=LEG,
        when=FOR_L,
        optional=True,
        help="For a leg that gets deeper away from the main part; it slopes down to its level deep floor.",
    ),
    _length(
        "leg_deep_length",
        "Level deep floor of the leg",
        low=0.0,
        group=LEG,
        when=FOR_L,
        optional=True,
        help="Along the leg, at its end.",
    ),
    _length(
        "leg_back_slope",
        "Back slope of the leg",
        low=0.0,
        group=LEG,
        when=FOR_L,
        optional=True,
        help="In plan, up to its end wall.",
    ),
    _length(
        "leg_side_slope",
        "Side slope in the leg, each side",
        low=0.0,
        group=LEG,
        when=FOR_L,
        optional=True,
        help="In plan, beside its deep floor.",
    ),
    _length("narrow", "Width of the narrow lobe", group=KIDNEY, when=FOR_KIDNEY),
    _length(
        "waist",
        "Waist drawn in by",
        low=0.0,
        group=KIDNEY,
        when=FOR_KIDNEY,
        optional=True,
        help="Against straight sides; empty makes the area 0.45 × (wide + narrow) × length.",
    ),
    STATIONS,
    LEDGES,
    STAIRS,
)


def shaped_basin_of(values: Values) -> Basin:
    """The pool that was given, of any shape, with what is built into it.

    Raises
    ------
    CannotDo
        As ``basin_of``; one of ``calculator`` that names what does not fit.
    """
    shape = values.choice(SHAPE.name)
    bare = _free_form(values) if shape == "stations" else _outlined(values, shape)
    solids = tuple(_solids(values, bare))
    if not solids:
        return bare
    try:
        return WithSolids(basin=bare, solids=solids)
    except CannotDo as refusal:
        if refusal.code != "shapes.solids_too_large":
            raise
        taken, room = (amount(ft2_from_m2(float(str(refusal.facts[name])))) for name in ("taken", "room"))
        raise CannotDo(
            "calculator.built_too_large",
            field=LEDGES.name if values.rows_of(LEDGES.name) else STAIRS.name,
            taken=taken,
            room=room,
        ) from refusal


def with_fittings(basin: Basin, fittings: tuple[Fitting, ...]) -> Basin:
    """The same pool with fittings."""
    if isinstance(basin, WithSolids):
        return replace(basin, basin=with_fittings(basin.basin, fittings))
    if isinstance(basin, RectangularBasin | PartedBasin | StationBasin | EllipseBasin | StadiumBasin | KidneyBasin):
        return replace(basin, fittings=fittings)
    raise TypeError(f"no shape of a calculator: {type(basin).__name__}")


def _outlined(values: Values, shape: str) -> Basin:
    box = basin_of(values)
    if shape == "rectangle":
        return box
    if shape == "l-shape":
        return _l_shape(values, box)
    if box.side_slope_width_m > 0:
        raise CannotDo("calculator.side_slopes_of_curves", field="side_slope")
    if box.width_m > box.length_m:
        raise CannotDo("calculator.wider_than_long", field="width")
    if shape == "kidney":
        return _kidney(values, box)
    kind = EllipseBasin if shape == "oval" else StadiumBasin
    return kind(length_m=box.length_m, width_m=box.width_m, section=box.stations(), freeboard_m=box.freeboard_m)


def _l_shape(values: Values, main: RectangularBasin) -> PartedBasin:
    start, width = values.si("leg_from"), values.si("leg_width")
    if start + width > main.length_m + TAPE_M:
        raise CannotDo(
            "calculator.leg_outside",
            field="leg_from",
            at=feet_words(start),
            width=feet_words(width),
            length=feet_words(main.length_m),
        )
    leg = _leg(values, width, main.freeboard_m)
    at_most = max(main.length_m - width, 0.0)
    return l_shape(main=main, leg=leg, leg_from_m=min(start, at_most), freeboard_m=main.freeboard_m)


def _leg(values: Values, width_m: float, freeboard_m: float) -> RectangularBasin:
    """The leg of an L: level, or deeper away from the main part."""
    length, depth = values.si("leg_length"), values.si("leg_depth")
    deep = values.maybe("leg_deep") or depth
    parts = {name: values.maybe(name) or 0.0 for name in ("leg_deep_length", "leg_back_slope")}
    side, slope = values.maybe("leg_side_slope") or 0.0, length - sum(parts.values())
    if deep < depth:
        raise CannotDo(
            "calculator.deep_above_shallow", field="leg_deep", deep=feet_words(deep), shallow=feet_words(depth)
        )
    if deep == depth:
        for name, label in (("leg_back_slope", "back slope"), ("leg_side_slope", "side slope")):
            if values.maybe(name):
                raise CannotDo(
                    "calculator.slopes_without_drop", field=name, label=label, slope=feet_words(values.si(name))
                )
        parts, side, slope = {"leg_deep_length": length}, 0.0, 0.0
    elif slope < TAPE_M:
        raise CannotDo(
            "calculator.no_main_slope", field="leg_deep_length", shallow=feet_words(depth), deep=feet_words(deep)
        )
    if 2 * side >= width_m:
        raise CannotDo(
            "calculator.side_slopes_too_wide", field="leg_side_slope", side=feet_words(side), width=feet_words(width_m)
        )
    return RectangularBasin(
        length_m=length,
        width_m=width_m,
        shallow_depth_m=depth,
        deep_depth_m=deep,
        shallow_length_m=0.0,
        slope_length_m=slope,
        deep_length_m=parts["leg_deep_length"],
        back_slope_length_m=parts.get("leg_back_slope", 0.0),
        side_slope_width_m=side,
        freeboard_m=freeboard_m,
    )


def _kidney(values: Values, box: RectangularBasin) -> KidneyBasin:
    narrow, waist = values.si("narrow"), values.maybe("waist")
    if box.length_m <= (box.width_m + narrow) / 2:
        raise CannotDo(
            "calculator.kidney_too_short",
            field="narrow",
            length=feet_words(box.length_m),
            least=feet_words((box.width_m + narrow) / 2),
        )
    try:
        return KidneyBasin(
            length_m=box.length_m,
            wide_m=box.width_m,
            narrow_m=narrow,
            waist_in_m=waist,
            section=box.stations(),
            freeboard_m=box.freeboard_m,
        )
    except CannotDo as refusal:
        if refusal.code != "shapes.kidney_waist":
            raise
        drawn_in = feet_words(abs(float(str(refusal.facts["waist"]))))
        raise CannotDo("calculator.kidney_waist", field="waist", waist=drawn_in) from refusal


def _free_form(values: Values) -> StationBasin:
    rows = values.rows_of(STATIONS.name)
    for number, (before, after) in enumerate(itertools.pairwise(rows), start=2):
        if after[0] < before[0] - TAPE_M:
            raise CannotDo(
                "calculator.stations_out_of_order",
                field=STATIONS.name,
                number=number,
                at=feet_words(after[0]),
                before=feet_words(before[0]),
            )
        if abs(after[0] - before[0]) <= TAPE_M and (after[1] != before[1] or len(after) > 3 or len(before) > 3):
            raise CannotDo("calculator.step_changes_width", field=STATIONS.name, at=feet_words(after[0]))
    for at, width, _, *floor in rows:
        if floor and floor[0] > width + TAPE_M:
            raise CannotDo(
                "calculator.station_floor",
                field=STATIONS.name,
                at=feet_words(at),
                floor=feet_words(floor[0]),
                width=feet_words(width),
            )
    if rows[-1][0] - rows[0][0] < SHORTEST_M or all(row[1] == 0 for row in rows):
        raise CannotDo("calculator.no_water", field=STATIONS.name)
    return StationBasin(
        measured=tuple(
            station(x_m=at, width_m=width, depth_m=depth, floor_width_m=min(floor[0], width) if floor else None)
            for at, width, depth, *floor in rows
        ),
        freeboard_m=values.si("freeboard"),
    )


def _solids(values: Values, basin: Basin) -> Iterator[Solid]:
    foot, water = basin.wall_foot_level_m, basin.design_level_m
    for length, width, over in values.rows_of(LEDGES.name):
        if over >= water - foot:
            raise CannotDo(
                "calculator.ledge_too_deep",
                field=LEDGES.name,
                over=feet_words(over),
                shallow=feet_words(water - foot),
            )
        yield bench(foot_m=foot, top_m=water - over, length_m=length, width_m=width)
    for width, treads, tread in values.rows_of(STAIRS.name):
        count = round(treads)
        top = foot + (water - foot) * count / (count + 1)
        yield from straight_stair(foot_m=foot, top_m=top, treads=count, tread_m=tread, width_m=width)
