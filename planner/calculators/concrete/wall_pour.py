"""How long a wall pour lasts, in which passes, on which trucks."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import cast

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.domain.units import ft_from_m, m3_from_yd3, m_from_ft, m_from_in, psf_from_kpa, yd3_from_m3
from jobs.science.formwork import chemistry_factor, hydrostatic_kpa
from jobs.science.setting import HIGHEST_C, Admixture
from jobs.science.sources import COMMON_PRACTICE
from jobs.science.wall_pour import Forms, Load, Supply, Wall, WallPourPlan, wall_pour_plan
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, feet_words, hours_words, line
from planner.calculators.answering.pictures import Axis, Curve, Loads, Mark, PressureDiagram, Series
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Input, Values
from planner.calculators.asking.units import CONCRETE, COUNT, HOURS, LENGTH, MINUTES, PERCENT, PLACING, THICKNESS, Kind
from planner.calculators.calculator import Calculator, Derived
from planner.calculators.concrete.pour_rate import FORM_INPUTS

# Any morning: the answer counts hours from the first concrete.
STARTS_AT = datetime(2026, 1, 1, 7, tzinfo=UTC)
# What a wall pour of this trade may hold.
HIGHEST_M, MOST_M3 = 6.0, 300.0
MOST_TRUCKS = 20
LIMITS = {"forms": "form", "usual_rise": "usual rise of a wall", "pump": "pump", "trucks": "trucks"}
WALL, SUPPLY, HABITS = "The wall", "Trucks and pump", "Habits and light"


def _asked(
    name: str,
    label: str,
    kind: Kind,
    low: float,
    high: float,
    *,
    group: str,
    source: str = COMMON_PRACTICE,
    example: str = "",
    default: str = "",
    help: str = "",
    whole: bool = False,
) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=kind,
        low=low,
        high=high,
        source=source,
        example=example,
        default=default,
        help=help,
        group=group,
        whole=whole,
    )


def _form_input(one: Input) -> Input:
    highest = {"height": HIGHEST_M, "concrete_temp": HIGHEST_C}
    return replace(one, high=highest[one.name]) if isinstance(one, Ask) and one.name in highest else one


INPUTS: tuple[Input, ...] = (
    *(_form_input(one) for one in FORM_INPUTS if one.name != "retarder"),
    Choose(
        name="admixture",
        label="Added for the set",
        options=(("none", "Nothing"), ("retarder", "Retarder"), ("accelerator", "Accelerator")),
        default="none",
        help="A retarder also presses longer.",
    ),
    _asked(
        "core_length",
        "Wall, along the middle of its core",
        LENGTH,
        m_from_ft(4.0),
        200.0,
        group=WALL,
        example="120 ft",
    ),
    _asked("core", "Thickness of the core", THICKNESS, m_from_in(2.0), 1.0, group=WALL, example="6 in"),
    _asked("over", "Over-order", PERCENT, 0.0, 25.0, group=WALL, source="nrmca_cip8", default="8 %"),
    _asked("trucks", "Trucks that go round", COUNT, 1, MOST_TRUCKS, group=SUPPLY, default="3", whole=True),
    _asked("load", "Most a truck carries", CONCRETE, m3_from_yd3(1.0), 12.0, group=SUPPLY, default="10 yd³"),
    _asked("travel", "Batching to arrival", MINUTES, 1 / 60, 3.0, group=SUPPLY, default="30 min"),
    _asked(
        "round_trip",
        "Leaving the site to being back",
        MINUTES,
        1 / 60,
        8.0,
        group=SUPPLY,
        default="90 min",
        help="With the next load; wash-out and waiting at the plant too.",
    ),
    _asked("pump", "Pump places", PLACING, m3_from_yd3(1.0), 150.0, group=SUPPLY, default="30 yd³/h"),
    _asked(
        "limit",
        "Batching to the end of discharge, at most",
        MINUTES,
        0.25,
        6.0,
        group=SUPPLY,
        source="astm_c94",
        default="90 min",
        help="As the purchaser or the producer states it on the ticket.",
    ),
    _asked("rise", "Usual rise, at most, in an hour", LENGTH, m_from_ft(0.5), 10.0, group=HABITS, default="4 ft"),
    _asked("lift", "Height of a pass, at most", LENGTH, m_from_ft(0.5), 2.0, group=HABITS, default="4 ft"),
    _asked("light", "Light from the first concrete on", HOURS, 0.5, 24.0, group=HABITS, default="12 h"),
)


def compute(values: Values) -> Answer:
    """Duration, passes, loads, and what sets the pace."""
    wall = _wall(values)
    plan = _plan(values, wall)
    most_old = max(load.age_minutes for load in plan.loads)
    last = plan.loads[-1]
    return Answer(
        says=f"The pour takes {hours_words(plan.hours, at_least=True)} in {_count(len(plan.lifts), 'pass', 'passes')}"
        f" and {_count(len(plan.loads), 'load', 'loads')}: the {LIMITS[plan.limited_by]} sets the pace.",
        lines=(
            Line(
                label="The pour takes", value=hours_words(plan.hours, at_least=True), also=f"{amount(plan.hours, 2)} h"
            ),
            line("Placed", yd3_from_m3(plan.rate_m3_h), "yd³/h", 1, also=f"{amount(plan.rate_m3_h, 1)} m³/h"),
            line("Rise", ft_from_m(plan.rise_m_h), "ft/h", 2, also=f"limited by the {LIMITS[plan.limited_by]}"),
            line(
                "Highest pressure", psf_from_kpa(plan.pressure_kpa), "psf", also=f"{amount(plan.pressure_kpa, 1)} kPa"
            ),
            *_pass_lines(plan),
            line(
                "To order",
                yd3_from_m3(wall.ordered_m3),
                "yd³",
                2,
                also=f"{amount(yd3_from_m3(wall.net_m3), 2)} yd³ net",
            ),
            Line(label="Loads", value=f"{len(plan.loads)}", also=f"{amount(yd3_from_m3(last.volume_m3), 2)} yd³ each"),
            *_spacing(plan.loads),
            line(
                "Age of a load when it is empty", most_old, "min", also=f"limit {amount(60 * values.si('limit'))} min"
            ),
            Line(label="Last truck batched", value=_after(last.batched_at), also=f"empty {_after(last.empty_at)}"),
        ),
        formula=(
            "The slowest of form, usual rise and pump sets the placing rate; trucks lower it to n × load / (round trip"
            " + load / rate) where somebody has to come twice.",
            "A load is no larger than rate × (limit − travel). A pass is no higher than what is covered within a"
            " quarter of initial set, the earliest.",
            "Pressure: as the pour rate's, at the fastest rise.",
        ),
        sources=(
            said_source("aci_347"),
            said_source("astm_c94"),
            said_source("psu_setting"),
            f"Usual rise and pass, a quarter of set, trucks that go round: {COMMON_PRACTICE}",
        ),
        cautions=(
            "A form that gives way kills: nobody stands below a wall being poured; slow down or stop at the first sound"
            " or bulge.",
            "Each pass is vibrated into the one below before that has set. A pour that must stop needs a construction"
            " joint that the engineer approves.",
            "Nobody straddles the hose; booms keep away from power lines.",
            DEFERS,
        ),
        pictures=(_level(plan), _pressure(values, plan), _trucks(plan, values.si("load"))),
    )


def _wall(values: Values) -> Wall:
    length, height, core = (values.si(name) for name in ("core_length", "height", "core"))
    ordered = length * height * core * (1 + values.si("over") / 100)
    if ordered > MOST_M3:
        most, wanted = yd3_from_m3(MOST_M3), yd3_from_m3(ordered)
        raise OutsideValidRange(name="ordered", value=wanted, low=0.0, high=most, unit="yd³", source=COMMON_PRACTICE)
    return Wall(core_length_m=length, height_m=height, core_m=core, ordered_m3=ordered)


def _plan(values: Values, wall: Wall) -> WallPourPlan:
    admixture = cast(Admixture, values.choice("admixture"))
    light = values.si("light")
    supply = Supply(
        trucks_each=round(values.si("trucks")),
        load_m3=values.si("load"),
        travel_h=values.si("travel"),
        round_trip_h=values.si("round_trip"),
        pump_m3_h=values.si("pump"),
        limit_h=values.si("limit"),
    )
    try:
        return wall_pour_plan(
            wall=wall,
            forms=Forms(rated_kpa=values.si("rating"), rise_m_h=values.si("rise"), lift_m=values.si("lift")),
            supply=supply,
            concrete_temp_c=values.si("concrete_temp"),
            starts_at=STARTS_AT,
            dark_at=STARTS_AT + timedelta(hours=light),
            density_kg_m3=values.si("density"),
            chemistry=chemistry_factor(
                values.choice("cement").replace("-", "_"), retarder=values.choice("admixture") == "retarder"
            ),
            admixture=admixture,
        )
    except CannotDo as refusal:
        told = _in_their_words(refusal, light)
        if told is None:
            raise
        raise told from refusal


def _in_their_words(refusal: CannotDo, light_h: float) -> CannotDo | None:
    """A refusal of the pour in the units of who asked; None for one that needs no other words."""
    facts = refusal.facts
    if refusal.code == "wall_pour.past_dark":
        limit = next(words for key, words in LIMITS.items() if key.replace("_", " ") == facts["limited_by"])
        hours = hours_words(float(str(facts["hours"])))
        return CannotDo(
            "calculator.wall_past_dark", field="light", hours=hours, light=hours_words(light_h), limited_by=limit
        )
    if refusal.code == "wall_pour.cold_joint":
        return CannotDo(
            "calculator.wall_cold_joint",
            field="trucks",
            lift=feet_words(float(str(facts["lift_m"]))),
            minutes=facts["pass_minutes"],
            limit=facts["limit_minutes"],
        )
    if refusal.code == "wall_pour.load_too_old":
        return CannotDo(
            "calculator.wall_load_too_old", field="travel", age=facts["age_minutes"], limit=facts["limit_minutes"]
        )
    return None


def _count(number: int, one: str, more: str) -> str:
    return f"{number} {one if number == 1 else more}"


def _after(moment: datetime) -> str:
    hours = (moment - STARTS_AT) / timedelta(hours=1)
    if abs(hours) < 1 / 120:
        return "at the start"
    return f"{hours_words(abs(hours))} {'after' if hours > 0 else 'before'} the start"


def _pass_lines(plan: WallPourPlan) -> tuple[Line, ...]:
    first = plan.lifts[0]
    each_h = plan.hours / len(plan.lifts)
    waits = first.wait_minutes
    return (
        Line(
            label="Passes round the wall",
            value=f"{len(plan.lifts)} of {feet_words(first.until_m - first.from_m)}",
            also=f"{hours_words(each_h)} each" + (f", {amount(waits)} min of it waiting" if waits >= 0.5 else ""),
        ),
        Line(
            label="Each must be covered within",
            value=hours_words(plan.cover_within_minutes / 60),
            also="a quarter of initial set",
        ),
    )


def _spacing(loads: tuple[Load, ...]) -> tuple[Line, ...]:
    if len(loads) < 2:
        return ()
    minutes = (loads[1].arrives_at - loads[0].arrives_at) / timedelta(minutes=1)
    return (line("A truck every", minutes, "min"),)


def _level(plan: WallPourPlan) -> Curve:
    hours = [(lift.starts_at - STARTS_AT) / timedelta(hours=1) for lift in plan.lifts]
    top = ft_from_m(plan.lifts[-1].until_m)
    points = (*((at, ft_from_m(lift.from_m)) for at, lift in zip(hours, plan.lifts, strict=True)), (plan.hours, top))
    return Curve(
        title="Concrete in the wall against time",
        x=Axis(label="Hours since the first concrete", unit="h", low=0.0, high=plan.hours * 1.04),
        y=Axis(label="Height", unit="ft", low=0.0, high=top * 1.15),
        series=(Series(label="concrete", points=points),),
        marks=(Mark(at=(plan.hours, top), label="full", says=f"full after {hours_words(plan.hours)}"),),
        table=tuple(at for at, _ in points),
    )


def _pressure(values: Values, plan: WallPourPlan) -> PressureDiagram:
    height = values.si("height")
    return PressureDiagram(
        title="Pressure on the form",
        height_ft=ft_from_m(height),
        most_psf=psf_from_kpa(plan.pressure_kpa),
        liquid_psf=psf_from_kpa(hydrostatic_kpa(height, values.si("density"))),
        rated_psf=psf_from_kpa(values.si("rating")),
    )


def _trucks(plan: WallPourPlan, truck_m3: float) -> Loads:
    # As many as a picture can show.
    shown = plan.loads[: 2 * MOST_TRUCKS]
    return Loads(
        title="The loads",
        loads=tuple(yd3_from_m3(load.volume_m3) for load in shown),
        most=yd3_from_m3(truck_m3),
    )


CALCULATOR = Calculator(
    name="wall-pour",
    title="Wall pour",
    question="How long does the wall pour last, in which passes, on which trucks?",
    inputs=INPUTS,
    compute=compute,
    derived=(Derived(formula_name="ordered", label="Concrete to order", field="core_length"),),
)
