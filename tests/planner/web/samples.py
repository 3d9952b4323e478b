"""An invented pool's work and sky for the drawing tests."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from planner.web.presenters.day_scale import DayScale
from planner.web.presenters.skies.half_sky import HalfDay
from planner.web.presenters.strips import HoldAt, Strip

ZONE = ZoneInfo("America/New_York")
MONDAY = date(2026, 6, 15)


def at(day: int, hour: int = 7, minute: int = 0) -> datetime:
    """``day`` days after the Monday, on the site's clock."""
    on = MONDAY + timedelta(days=day)
    return datetime(on.year, on.month, on.day, hour, minute, tzinfo=ZONE)


def scale(days: int = 18, px_per_day: float = 48.0) -> DayScale:
    return DayScale(from_on=MONDAY, days=days, zone=ZONE, px_per_day=px_per_day)


def strip(key: str, title: str, trade: str, start: datetime, end: datetime, **more: object) -> Strip:
    values: dict[str, object] = {
        "key": key,
        "title": title,
        "trade": trade,
        "trade_title": trade.replace("_", " "),
        "from_at": start,
        "until_at": end,
        "state": "waiting",
        "crew": "Shell crew one",
        **more,
    }
    return Strip(**values)  # type: ignore[arg-type]


def strips() -> tuple[Strip, ...]:
    return (
        strip("dig", "Machine dig, spoil loaded", "excavation", at(0), at(1, 15), state="finished", crew="Dig crew"),
        strip("pipe", "Main-drain pipe", "plumbing", at(1, 9), at(1, 16), state="started", crew="Pipe crew"),
        strip("steel", "Floor steel, starters, chairs", "steel", at(2), at(2, 16), state="clear"),
        strip("bond", "Bonding clamps", "electrical", at(2, 13), at(2, 16), state="unreported", crew="Wire crew"),
        strip(
            "pour_floor",
            "Pour and finish floor with thickened edge",
            "concrete_forms",
            at(4),
            at(4, 14),
            exposed=True,
            cures_until=at(7, 2),
            where="/pools/1/tasks/pour_floor",
        ),
        strip("forms", "Stack form courses", "concrete_forms", at(7), at(8, 15)),
        strip("brace", "Brace, square, level", "concrete_forms", at(9), at(9, 14)),
        strip(
            "pour_walls",
            "Pour walls in lifts with the coping in the same pour",
            "concrete_forms",
            at(11),
            at(11, 15),
            exposed=True,
            cures_until=at(14, 20),
        ),
        strip("back", "Drain stone and backfill", "excavation", at(15), at(16, 16), crew="Dig crew"),
        strip("liner", "Hang liner", "liner", at(17), at(17, 13), crew="Finish crew"),
    )


def holds() -> tuple[HoldAt, ...]:
    return (
        HoldAt(title="Locate", at=at(0, 6, 30), result="passed"),
        HoldAt(title="Floor hold", at=at(3, 11), result="open"),
        HoldAt(title="Wall hold", at=at(10, 11), result="failed"),
        HoldAt(title="Barrier hold", at=at(17, 6, 30), result="open"),
    )


def sky() -> tuple[HalfDay, ...]:
    """Nine days of forecast, then past years, then nothing known."""
    chances = (0.05, 0.1, 0.1, 0.2, 0.8, 0.9, 0.6, 0.3, 0.1, 0.1, 0.2, 0.4, 0.5, 0.3, 0.1, 0.05, 0.2, 0.2)
    halves = []
    for half in range(36):
        day, night = divmod(half, 2)
        known = half < 30
        halves.append(
            HalfDay(
                from_at=at(day, 18 if night else 6),
                until_at=at(day + 1, 6) if night else at(day, 18),
                rain_chance=(chances[half] if half < 18 else 0.3) if known else None,
                low_c=-1.0 if half == 9 else 17.0,
                high_c=34.0 if half == 16 else 27.0,
                wind_m_s=12.0 if half == 4 else 4.0,
                climate=half >= 18,
                night=bool(night),
            )
        )
    return tuple(halves)
