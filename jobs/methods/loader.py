"""Reads build methods from their files; the shared vocabulary and exposures come with the package."""

from functools import cache
from pathlib import Path

from jobs.domain.errors import CannotDo
from jobs.domain.exposure import Exposure
from jobs.domain.method import BuildMethod, GearHoldRule, HoldRule, LevelWindow, LinkRule, TaskRule
from jobs.domain.vocabulary import Vocabulary
from jobs.methods.checks import check_method
from jobs.methods.entry import KEY, Entry, read_file
from jobs.methods.exposure_file import read_exposures
from jobs.methods.vocabulary_file import read_vocabulary

FOLDER = Path(__file__).parent
NOT_METHODS = frozenset({"vocabulary", "exposure"})
KINDS = ("work", "clock", "visit", "delivery")
RUNS = ("work", "attended", "elapsed", "arrives", "visit")
LINK_KINDS = ("plain", "clock", "strength", "dryness", "notice", "level")


@cache
def load_vocabulary() -> Vocabulary:
    """The codes that every method shares."""
    return read_vocabulary(read_file(FOLDER / "vocabulary.toml"))


@cache
def load_exposures() -> dict[str, Exposure]:
    """Every exposure by key."""
    return read_exposures(read_file(FOLDER / "exposure.toml"), load_vocabulary())


def list_methods() -> tuple[str, ...]:
    """Keys of the methods that come with the package, sorted."""
    return tuple(sorted(path.stem for path in FOLDER.glob("*.toml") if path.stem not in NOT_METHODS))


def load_method(key_or_path: str | Path) -> BuildMethod:
    """A build method, read and cross-checked; one that comes with the package is read once.

    Parameters
    ----------
    key_or_path : str or Path
        Key of a method that comes with the package, or the path of a file (anything with a suffix or a folder).

    Raises
    ------
    CannotDo
        Naming file, task or link, and field.
    """
    text = str(key_or_path)
    return _shipped(text) if KEY.fullmatch(text) else read_method(read_file(Path(key_or_path)))


@cache
def _shipped(key: str) -> BuildMethod:
    if key not in list_methods():
        raise CannotDo("method.unknown_method", field="method", value=key, known=", ".join(list_methods()))
    return read_method(read_file(FOLDER / f"{key}.toml"))


def read_method(entry: Entry) -> BuildMethod:
    """A method from its file, checked against the vocabulary and the exposures."""
    vocabulary = load_vocabulary()
    tasks = tuple(_task(table) for table in entry.tables("task", at_least=1))
    method = BuildMethod(
        key=entry.key(),
        title=entry.text("title"),
        tasks=tasks,
        links=tuple(_link(table) for table in entry.tables("link")),
        holds=tuple(_hold(table, tasks) for table in entry.tables("hold")),
        gear_holds=tuple(_gear_hold(table) for table in entry.tables("gear_hold")),
        pace_cap=entry.number("pace_cap", least=1.0),
        first_pool_factor=entry.number("first_pool_factor", above=True),
        flow_m3_h=entry.number("flow_m3_h", above=True),
        long_day_hours=entry.number("long_day_hours", above=True),
        dig_factors={key: soil.dig_factor for key, soil in vocabulary.soils.items()},
        value_sources=entry.texts("value_sources"),
    )
    entry.done()
    check_method(method, vocabulary, load_exposures(), entry)
    return method


def _task(entry: Entry) -> TaskRule:
    key = entry.key()
    kind = entry.choice("kind", KINDS)
    by_flow = entry.values.get("rate") == "flow"
    quantity = entry.key("quantity", "")
    rate = None
    if quantity and not by_flow:
        rate = entry.number("rate", above=True)
    elif not quantity and entry.has("rate"):
        raise entry.wrong("method.rate_without_quantity", "rate")
    start_by = entry.number("start_by_hour") if entry.has("start_by_hour") else None
    task = TaskRule(
        key=key,
        title=entry.text("title"),
        kind=kind,  # type: ignore[arg-type]
        run=entry.choice("run", RUNS),  # type: ignore[arg-type]
        trade=entry.key("trade"),
        crew_size=entry.whole("crew_size", least=1 if kind == "work" else 0),
        crew_min=entry.whole("crew_min", least=1 if kind == "work" else 0),
        setup_hours=entry.number("setup_hours", None if kind == "work" else 0.0),
        rate=rate,
        by_flow=entry.has("rate") and by_flow,
        quantity=quantity,
        quantity_if_absent=entry.number("quantity_if_absent") if entry.has("quantity_if_absent") else None,
        concrete=entry.key("concrete", ""),
        slowed_by_soil=entry.flag("slowed_by_soil"),
        splits_nights=entry.flag("splits_nights"),
        splits_weekends=entry.flag("splits_weekends"),
        long_day=entry.flag("long_day"),
        opening_only=entry.flag("opening_only"),
        start_by_hour=start_by,
        visit_span=entry.choice("visit_span", ("", "morning", "day"), ""),  # type: ignore[arg-type]
        authority=entry.key("authority", ""),
        gear=entry.keys("gear"),
        bookings=entry.keys("bookings"),
        exposure=entry.key("exposure"),
        stand_by=entry.flag("stand_by"),
        stand_by_note=entry.text("stand_by_note", ""),
        cautions=entry.keys("cautions"),
        needs_hold=entry.key("needs_hold", ""),
        releases_hold=entry.key("releases_hold", ""),
        source=entry.text("source"),
        evening=entry.flag("evening"),
    )
    entry.done()
    return task


def _link(entry: Entry) -> LinkRule:
    kind = entry.choice("kind", LINK_KINDS)
    stands_in = kind in ("strength", "dryness", "level")
    fraction = None
    if kind == "strength":
        fraction = entry.number("fraction", above=True)
        if fraction > 1:
            raise entry.wrong("method.too_large", "fraction", value=fraction, most="1")
    link = LinkRule(
        before=entry.key("before"),
        after=entry.key("after"),
        kind=kind,  # type: ignore[arg-type]
        min_hours=entry.number("min_hours", 0.0),
        min_working_days=entry.whole("min_working_days", None if kind == "notice" else 0),
        max_hours=entry.number("max_hours", above=True) if entry.has("max_hours") else None,
        max_working_days=entry.whole("max_working_days", least=1) if entry.has("max_working_days") else None,
        fraction=fraction,
        surface=entry.choice("surface", ("wall", "floor", "ground")) if kind == "dryness" else "",
        level=_window(entry) if kind == "level" else None,
        fixed_hours=entry.number("fixed_hours") if stands_in else 0.0,
        floor_hours=entry.number("floor_hours", 0.0) if kind == "strength" else 0.0,
        requirement=entry.text("requirement", None if stands_in else ""),
        why=entry.text("why"),
        source=entry.text("source"),
        fixed_source=entry.text("fixed_source") if stands_in else "",
        cold_below_c=entry.number("cold_below_c", least=-40.0) if entry.has("cold_below_c") else None,
        cold_hours_more=entry.number("cold_hours_more", above=True) if entry.has("cold_below_c") else 0.0,
    )
    entry.done()
    return link


def _window(entry: Entry) -> LevelWindow:
    inner = entry.table("level")
    window = LevelWindow(
        of=inner.keys("of"),
        from_m=inner.number("from_m", least=-10.0),
        until_m=inner.number("until_m", least=-10.0),
    )
    inner.done()
    if window.until_m <= window.from_m:
        raise inner.wrong("method.too_small", "until_m", value=window.until_m, least=f"above from_m ({window.from_m})")
    return window


def _hold(entry: Entry, tasks: tuple[TaskRule, ...]) -> HoldRule:
    key = entry.key()
    hold = HoldRule(
        key=key,
        title=entry.text("title"),
        visit=entry.key("visit"),
        looks_at=entry.text("looks_at"),
        notice_working_days=entry.whole("notice_working_days"),
        blocks=tuple(task.key for task in tasks if task.needs_hold == key),
        if_fails=entry.text("if_fails"),
        second_visit_dollars=entry.whole("second_visit_dollars", 0),
        valid_days=entry.whole("valid_days", least=1) if entry.has("valid_days") else None,
        source=entry.text("source"),
    )
    entry.done()
    return hold


def _gear_hold(entry: Entry) -> GearHoldRule:
    per_quantity = entry.key("per_quantity", "")
    hold = GearHoldRule(
        gear=entry.key("gear"),
        from_task=entry.key("from_task"),
        until_task=entry.key("until_task"),
        per_quantity=per_quantity,
        per_amount=entry.number("per_amount", above=True) if per_quantity else 1.0,
        source=entry.text("source"),
    )
    entry.done()
    return hold
