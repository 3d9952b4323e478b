"""The steps of one invented pool: an insulated-form basin with a liner, dig to handover. Common practice, no source."""

from dataclasses import dataclass

from planner.solver.problem import Run

# A quarter of the office's day, and how long the short work of an evening takes [minutes].
UNIT = 150
EVENING_WORK = 60
DAY = 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """A link back to an earlier step: least and longest wait [minutes], a cure of about so many days, or before
    the evening of the day is over."""

    step: str
    least: int = 0
    most: int | None = None
    cure_days: int | None = None
    same_evening: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: how it runs, who does it, for how many quarter days, and what it waits for.

    ``beside`` is the trade of a second crew on large pools. ``evening`` work goes on after the office closes.
    """

    key: str
    run: Run = "work"
    trades: tuple[str, ...] = ()
    units: int = 0
    span: int = 0
    calendar: str = ""
    splits: bool = False
    weekends: bool = True
    pour: bool = False
    beside: str = ""
    evening: bool = False
    at_opening: bool = False
    exposure: str = ""
    after: tuple[After, ...] = ()

    @property
    def is_heavy(self) -> bool:
        """Whether a crew must be complete for it."""
        return self.pour or self.key in ("brace", "drop")

    @property
    def minutes(self) -> int:
        """How long a whole crew works on it."""
        return EVENING_WORK if self.evening else self.units * UNIT


def _work(
    key: str,
    trade: str,
    units: int,
    *after: str | After,
    splits: bool = False,
    weekends: bool = True,
    exposure: str = "",
    beside: str = "",
) -> Step:
    return Step(
        key=key,
        trades=(trade,),
        units=units,
        splits=splits,
        weekends=weekends,
        exposure=exposure,
        beside=beside,
        after=_links(after),
    )


def _pour(key: str, *after: str | After) -> Step:
    return Step(key=key, trades=("concrete", "form"), units=3, pour=True, exposure="pour", after=_links(after))


def _clock(key: str, run: Run, span: int, *after: str | After) -> Step:
    return Step(key=key, run=run, span=span, calendar="" if run == "elapsed" else "week", after=_links(after))


def _look(key: str, *after: str | After) -> Step:
    return Step(key=key, run="visit", span=300, calendar="town", after=_links(after))


def _links(after: tuple[str | After, ...]) -> tuple[After, ...]:
    return tuple(After(step=one) if isinstance(one, str) else one for one in after)


# In an order in which every step comes behind those it waits for, so that the first so many can be done already.
STEPS: tuple[Step, ...] = (
    _look("locate"),
    _work("barrier", "yard", 1, "locate"),
    _work(
        "dig",
        "dig",
        8,
        "barrier",
        After(step="locate", least=2 * DAY, most=28 * DAY),
        splits=True,
        exposure="dig",
        beside="yard",
    ),
    _work("drains", "pipe", 2, "dig"),
    _work("square", "form", 1, "drains"),
    _work("floor_steel", "steel", 3, "square", splits=True),
    _look("floor_look", "floor_steel"),
    _pour("floor_pour", After(step="floor_look", most=14 * DAY)),
    _clock("floor_cure", "elapsed", DAY, "floor_pour"),
    _work("low_forms", "form", 4, "floor_cure", splits=True),
    _work("high_forms", "form", 4, "low_forms", splits=True),
    _work("level", "form", 1, "high_forms"),
    _work("fittings", "pipe", 2, "level"),
    _work("wall_steel", "steel", 3, "level", splits=True, weekends=False),
    _work("brace", "form", 3, "wall_steel", "fittings", splits=True, beside="steel"),
    _look("wall_look", "brace"),
    _pour("wall_pour", After(step="wall_look", most=14 * DAY)),
    _work("strip", "form", 2, After(step="wall_pour", cure_days=2)),
    _work("pipes", "pipe", 4, "strip", splits=True),
    _clock("pressure", "elapsed", DAY, "pipes"),
    _look("pipe_look", After(step="pressure", most=10 * DAY)),
    _work("backfill", "dig", 4, "pipe_look", After(step="wall_pour", cure_days=6), splits=True, exposure="dig"),
    _work("deck_forms", "form", 3, "backfill", splits=True),
    _work("bonding", "electric", 2, "deck_forms"),
    _look("bond_look", "bonding"),
    _pour("deck_pour", After(step="bond_look", most=14 * DAY)),
    Step(
        key="joints",
        trades=("concrete",),
        units=1,
        evening=True,
        after=(After(step="deck_pour", least=120, same_evening=True),),
    ),
    _clock("deck_cure", "elapsed", 2 * DAY, "joints"),
    _work("equipment", "pipe", 3, "backfill", splits=True),
    _work("electric", "electric", 3, "equipment", splits=True),
    _work("measure", "liner", 1, "strip"),
    Step(
        key="liner_here", run="visit", calendar="week", at_opening=True, after=(After(step="measure", least=10 * DAY),)
    ),
    _work("pump_out", "yard", 1, "deck_cure"),
    _work("sheet", "liner", 2, "pump_out", exposure="dry"),
    _work("foam", "liner", 2, "sheet", exposure="dry"),
    _work("prepare", "liner", 1, "foam", "liner_here"),
    _work("drop", "liner", 2, After(step="prepare", most=3 * DAY), exposure="dry", beside="yard"),
    _clock("low_fill", "arrives", 600, After(step="drop", most=4 * DAY)),
    _work("gaskets", "liner", 1, After(step="low_fill", most=600)),
    _clock("mid_fill", "arrives", 900, After(step="gaskets", most=DAY)),
    _work("returns", "pipe", 1, After(step="mid_fill", most=600)),
    _clock("high_fill", "elapsed", 700, After(step="returns", most=DAY)),
    _work("trim", "liner", 1, "high_fill"),
    _clock("rinse", "attended", 2 * UNIT, "trim"),
    _work("start_up", "pipe", 2, "electric", After(step="rinse", most=5 * DAY)),
    _look("last_look", "start_up"),
    _work("handover", "yard", 1, "last_look"),
)
PUMPED = tuple(step.key for step in STEPS if step.pour)
LOOKS = tuple(step.key for step in STEPS if step.run == "visit" and step.calendar == "town")
