"""Reads what weather each kind of work cannot stand."""

from typing import get_args

from jobs.domain.exposure import Exposure, Hazard, Limit, Measure
from jobs.domain.vocabulary import Vocabulary
from jobs.methods.entry import Entry

COLDEST_C = -60.0
HAZARDS: tuple[Hazard, ...] = get_args(Hazard)


def read_exposures(entry: Entry, vocabulary: Vocabulary) -> dict[str, Exposure]:
    """Every exposure of the file by key; each limit carries its source."""
    found: dict[str, Exposure] = {}
    for table in entry.tables("exposure", at_least=1):
        exposure = _exposure(table)
        if exposure.key in found:
            raise table.wrong("method.duplicate", "key", value=exposure.key)
        found[exposure.key] = exposure
    entry.done()
    return found


def _limit(entry: Entry, name: str, *, least: float = 0.0) -> Limit | None:
    if not entry.has(name):
        return None
    inner = entry.table(name)
    limit = Limit(value=inner.number("value", least=least), source=inner.text("source"))
    inner.done()
    return limit


def _exposure(entry: Entry) -> Exposure:
    loss = entry.whole("loss_dollars")
    exposure = Exposure(
        key=entry.key(),
        title=entry.text("title"),
        rain_stop_mm_h=_limit(entry, "rain_stop_mm_h"),
        rain_before_mm=_limit(entry, "rain_before_mm"),
        rain_before_hours=entry.number("rain_before_hours", 0.0),
        rain_during_mm=_limit(entry, "rain_during_mm"),
        rain_after_hours=entry.number("rain_after_hours", 0.0),
        rain_after_mm=_limit(entry, "rain_after_mm"),
        sets=entry.flag("sets"),
        air_min_c=_limit(entry, "air_min_c", least=COLDEST_C),
        air_max_c=_limit(entry, "air_max_c", least=COLDEST_C),
        surface_min_c=_limit(entry, "surface_min_c", least=COLDEST_C),
        surface_max_c=_limit(entry, "surface_max_c", least=COLDEST_C),
        wind_max_m_s=_limit(entry, "wind_max_m_s"),
        gust_max_m_s=_limit(entry, "gust_max_m_s"),
        stops_for_thunder=entry.flag("stops_for_thunder"),
        clay_wait_h_per_25mm=entry.number("clay_wait_h_per_25mm", 0.0),
        forbid_chance=entry.number("forbid_chance", above=True),
        loss_dollars=loss,
        worst_dollars=entry.whole("worst_dollars", loss, least=loss),
        light=entry.text("light"),
        measures=tuple(_measure(table) for table in entry.tables("measure")),
        exposed=entry.flag("exposed", default=True),
        wind_height_m=entry.number("wind_height_m", 10.0, above=True),
    )
    for low, high in (("air_min_c", "air_max_c"), ("surface_min_c", "surface_max_c")):
        below, above = getattr(exposure, low), getattr(exposure, high)
        if below is not None and above is not None and below.value >= above.value:
            raise entry.wrong("method.too_small", high, value=above.value, least=f"above {low} ({below.value:g})")
    for hours, limit in (
        ("rain_before_hours", exposure.rain_before_mm),
        ("rain_after_hours", exposure.rain_after_mm),
    ):
        if limit is not None and getattr(exposure, hours) == 0:
            raise entry.wrong("method.missing", hours, expected="the hours the rain limit looks at")
    # Where limits without their own place in a value come from; kept with the data, checked to be there.
    entry.text("other_source")
    entry.text("note", "")
    entry.done()
    return exposure


def _measure(entry: Entry) -> Measure:
    answers = entry.keys("answers")
    for hazard in answers:
        if hazard not in HAZARDS:
            raise entry.wrong("method.unknown_code", "answers", value=hazard, known=", ".join(HAZARDS))
    spares = entry.number("spares", 0.0)
    if spares > 1:
        raise entry.wrong("method.too_large", "spares", value=spares, most=1)
    measure = Measure(
        title=entry.text("title"),
        dollars=entry.whole("dollars"),
        hours=entry.number("hours"),
        answers=tuple(hazard for hazard in HAZARDS if hazard in answers),
        spares=spares,
        effect=entry.text("effect", ""),
        source=entry.text("source"),
        another_start=entry.flag("another_start"),
    )
    entry.done()
    return measure
