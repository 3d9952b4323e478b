"""What a method must satisfy as a whole: known codes, no cycle, every hold released before what it blocks."""

from collections.abc import Iterable, Mapping

from jobs.domain.exposure import Exposure
from jobs.domain.method import BuildMethod, TaskRule
from jobs.domain.network import build_order, tasks_after
from jobs.domain.vocabulary import Vocabulary
from jobs.methods.entry import Entry


def check_method(method: BuildMethod, vocabulary: Vocabulary, exposures: Mapping[str, Exposure], entry: Entry) -> None:
    """Every cross-check, in the order a person would mend things.

    Raises
    ------
    CannotDo
        Naming file, task or link, and field.
    """
    _check_twice(method, entry)
    for task in method.tasks:
        _check_codes(task, vocabulary, exposures, _at(entry, f"task {task.key}"))
        _check_shape(task, _at(entry, f"task {task.key}"))
    _check_links(method, entry)
    _check_holds(method, entry)
    _check_gear_holds(method, vocabulary, entry)


def _at(entry: Entry, where: str) -> Entry:
    return Entry({}, file=entry.file, where=where)


def _known(entry: Entry, name: str, value: str, known: Iterable[str]) -> None:
    allowed = sorted(known)
    if value not in allowed:
        raise entry.wrong("method.unknown_code", name, value=value, known=", ".join(allowed))


def _check_twice(method: BuildMethod, entry: Entry) -> None:
    for heading, keys in (
        ("task", [task.key for task in method.tasks]),
        ("hold", [hold.key for hold in method.holds]),
        ("link", [f"{link.before} to {link.after}, {link.kind}" for link in method.links]),
    ):
        seen: set[str] = set()
        for key in keys:
            if key in seen:
                raise _at(entry, f"{heading} {key}").wrong("method.duplicate", "key", value=key)
            seen.add(key)


def _check_codes(task: TaskRule, vocabulary: Vocabulary, exposures: Mapping[str, Exposure], entry: Entry) -> None:
    _known(entry, "trade", task.trade, vocabulary.trades)
    _known(entry, "exposure", task.exposure, exposures)
    if task.quantity:
        _known(entry, "quantity", task.quantity, vocabulary.quantities)
    if task.concrete:
        cubic = (key for key, kind in vocabulary.quantities.items() if kind.unit == "m3")
        _known(entry, "concrete", task.concrete, cubic)
    if task.authority:
        _known(entry, "authority", task.authority, vocabulary.authorities)
    for name, values, known in (
        ("gear", task.gear, vocabulary.gear),
        ("bookings", task.bookings, vocabulary.bookings),
        ("cautions", task.cautions, vocabulary.cautions),
    ):
        for value in values:
            _known(entry, name, value, known)


def _check_shape(task: TaskRule, entry: Entry) -> None:
    allowed = {
        "work": {"work"},
        "clock": {"attended", "elapsed", "arrives"},
        "visit": {"visit"},
        "delivery": {"elapsed", "visit"},
    }[task.kind]
    _known(entry, "run", task.run, allowed)
    if task.crew_min > task.crew_size:
        raise entry.wrong("method.too_large", "crew_min", value=task.crew_min, most=f"crew_size ({task.crew_size})")
    if task.kind == "visit":
        _known(entry, "visit_span", task.visit_span, ("morning", "day"))
        if not task.authority:
            raise entry.wrong("method.missing", "authority", expected="who visits")
    elif task.releases_hold:
        raise entry.wrong("method.only_visit_releases", "releases_hold", value=task.releases_hold)
    if task.start_by_hour is not None and task.start_by_hour > 24:
        raise entry.wrong("method.too_large", "start_by_hour", value=task.start_by_hour, most="24")
    if task.kind in ("work", "clock") and not task.quantity and task.setup_hours == 0:
        raise entry.wrong("method.missing", "quantity", expected="a quantity with a rate, or set-up hours")


def _check_links(method: BuildMethod, entry: Entry) -> None:
    for link in method.links:
        at = _at(entry, f"link {link.before} to {link.after}")
        _known(at, "before", link.before, method.by_key)
        _known(at, "after", link.after, method.by_key)
        least = max(link.min_hours, link.fixed_hours, link.floor_hours)
        if link.max_hours is not None and link.max_hours < least:
            raise at.wrong("method.too_small", "max_hours", value=link.max_hours, least=f"the minimum ({least:g})")
        if link.cold_below_c is not None and link.max_hours is None:
            raise at.wrong("method.missing", "max_hours", expected="the longest wait that the cold makes longer")
        if link.max_working_days is not None and link.max_working_days < link.min_working_days:
            raise at.wrong(
                "method.too_small",
                "max_working_days",
                value=link.max_working_days,
                least=f"the minimum ({link.min_working_days})",
            )
    pairs = [(link.before, link.after) for link in method.links]
    build_order([task.key for task in method.tasks], pairs, file=entry.file)


def _check_holds(method: BuildMethod, entry: Entry) -> None:
    holds = {hold.key: hold for hold in method.holds}
    released_by: dict[str, str] = {}
    for task in method.tasks:
        for name, key in (("needs_hold", task.needs_hold), ("releases_hold", task.releases_hold)):
            if key:
                _known(_at(entry, f"task {task.key}"), name, key, holds)
        if task.releases_hold:
            if task.releases_hold in released_by:
                at = _at(entry, f"task {task.key}")
                raise at.wrong("method.duplicate", "releases_hold", value=task.releases_hold)
            released_by[task.releases_hold] = task.key
    pairs = [(link.before, link.after) for link in method.links]
    for hold in method.holds:
        at = _at(entry, f"hold {hold.key}")
        if hold.key not in released_by:
            raise at.wrong("method.hold_never_released", "visit", value=hold.key)
        if released_by[hold.key] != hold.visit:
            raise at.wrong("method.wrong_choice", "visit", value=hold.visit, choices=released_by[hold.key])
        if not hold.blocks:
            raise at.wrong("method.hold_blocks_nothing", "key", value=hold.key)
        reached = tasks_after(hold.visit, pairs)
        for blocked in hold.blocks:
            if blocked not in reached:
                raise at.wrong("method.hold_after_task", "visit", value=hold.visit, blocked=blocked)
        notice = max((link.min_working_days for link in method.links if link.after == hold.visit), default=0)
        if notice < hold.notice_working_days:
            raise at.wrong("method.notice_too_short", "notice_working_days", value=hold.visit, notice=notice)


def _check_gear_holds(method: BuildMethod, vocabulary: Vocabulary, entry: Entry) -> None:
    pairs = [(link.before, link.after) for link in method.links]
    for hold in method.gear_holds:
        at = _at(entry, f"gear_hold {hold.gear}")
        _known(at, "gear", hold.gear, vocabulary.gear)
        _known(at, "from_task", hold.from_task, method.by_key)
        _known(at, "until_task", hold.until_task, method.by_key)
        if hold.per_quantity:
            _known(at, "per_quantity", hold.per_quantity, vocabulary.quantities)
        reached = tasks_after(hold.from_task, pairs) | {hold.from_task}
        if hold.until_task not in reached:
            raise at.wrong("method.hold_after_task", "until_task", value=hold.from_task, blocked=hold.until_task)
