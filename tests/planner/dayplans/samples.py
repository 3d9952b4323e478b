"""An invented crew's day, complete enough to reach every part of the plan."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from planner.dayplans.facts import (
    CalledIn,
    Caution,
    ComingDay,
    DayPlanFacts,
    DayTask,
    Forecast,
    Gate,
    GateState,
    HeatBand,
    Quantity,
    SkyHour,
    StandBy,
    Stop,
    StopLimit,
    Truck,
)

ZONE = ZoneInfo("America/New_York")
ON = date(2026, 6, 16)


def at(hour: int, minute: int = 0, *, day: int = 16) -> datetime:
    return datetime(2026, 6, day, hour, minute, tzinfo=ZONE)


def sky() -> tuple[SkyHour, ...]:
    """Six to eight o'clock: dry morning, rain and thunder late, the last hour unknown."""
    chance = (0.05, 0.05, 0.05, 0.05, 0.1, 0.1, 0.1, 0.15, 0.2, 0.3, 0.55, 0.8, 0.8, 0.6, None)
    rain = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.1, 1.2, 4.1, 3.0, 0.6, None)
    return tuple(
        SkyHour(
            starts_at=at(6) + timedelta(hours=step),
            air_temp_c=None if chance[step] is None else 18.0 + 13.0 * (1 - abs(step - 9) / 9),
            rain_chance=chance[step],
            rain_mm=rain[step],
            wind_m_s=None if chance[step] is None else 2.0 + 0.4 * step,
            gust_m_s=None if chance[step] is None else 3.5 + 0.8 * step,
            thunder_chance=None if chance[step] is None else (0.35 if 10 <= step <= 12 else 0.0),
            sky_cover=None if chance[step] is None else min(1.0, 0.1 + 0.08 * step),
        )
        for step in range(15)
    )


def pour() -> DayTask:
    return DayTask(
        key="pour_walls",
        title="Pour walls in lifts with the coping in the same pour, finish coping",
        trade="concrete_forms",
        trade_title="concrete and forms",
        starts_at=at(7),
        ends_at=at(13, 30),
        state="waiting",
        exposed=True,
        safe_at=at(19, 15),
        head_count=5,
        joined_by=("Shell crew two",),
        quantities=(
            Quantity(label="Concrete to order", value=14.1, unit="m3"),
            Quantity(label="Wall length", value=29.3, unit="m"),
            Quantity(label="Highest rise", value=1.2, unit="m_per_h"),
        ),
        trucks=(Truck(at=at(7, 30), volume_m3=6.9), Truck(at=at(10), volume_m3=7.2)),
        gates=(
            Gate(kind="hold", state=GateState.OPEN, sentence="Wall forms and steel passed on Monday at 10:40 am."),
            Gate(kind="sky", state=GateState.OPEN, sentence="Chance of being hit before rain-safe is 18 percent."),
            Gate(
                kind="booking",
                state=GateState.SHUT,
                sentence="The pump has not confirmed. The office is calling.",
                opens="the pump is confirmed for this day",
            ),
            Gate(
                kind="strength",
                state=GateState.UNKNOWN,
                sentence="No floor temperature was reported last night.",
                opens="the floor's temperature is reported",
                ask="Shell crew two",
            ),
        ),
        limits=(
            StopLimit(words="Rain above", unit="mm_h", limit=2.5, forecast=4.1, worst_at=at(17), reached=True),
            StopLimit(words="Gusts above", unit="m_s", limit=13.4, forecast=8.3, worst_at=at(12), reached=False),
            StopLimit(words="Thunder within 10 miles", unit="share", forecast=None, reached=None),
        ),
        gear=("line pump", "brace set A", "two small vibrators", "cover kit"),
        called_in=(
            CalledIn(
                who="Quillback Pumping (invented)",
                what="Line pump with operator",
                at=at(6, 45),
                phone="+1 410 555 0142",
                state="asked, not confirmed",
                free_until=at(15, day=15),
            ),
        ),
        cautions=(
            Caution(
                sentence="Stay clear of the hose end while it is primed.",
                source="29 CFR 1926.702",
            ),
        ),
        note="Coping boards are numbered from the skimmer clockwise.",
    )


def facts(**changes: object) -> DayPlanFacts:
    values: dict[str, object] = {
        "company": "Marl & Tern Pools",
        "branch": "Creek Road yard",
        "crew": "Shell crew one",
        "foreman": "Ada Quist",
        "on": ON,
        "zone": ZONE,
        "plan_number": 14,
        "made_at": at(16, 10, day=15),
        "office_phone": "+1 410 555 0100",
        "forecast": Forecast(source="recorded forecast", issued_at=at(14, 45, day=15), age="1 hour old"),
        "closing": "What stands here was computed from the plan and a forecast. Follow local code, the engineer, "
        "the maker and licensed people; whoever sees a danger stops the work.",
        "deferring": "Follow local code, the engineer, the maker and licensed people.",
        "banner": "Recorded weather, moved dates.",
        "head_count": 5,
        "stops": (
            Stop(
                site="Heron Lane pool",
                address="18 Heron Lane, Maryland",
                arrive_at=at(6, 45),
                leave_at=at(14),
                travel_minutes=25,
                travel_m=18_200,
                access="Side gate 10 feet wide; dog in the yard, ring first.",
                owner_phone="+1 410 555 0177",
                tasks=(pour(),),
            ),
            Stop(
                site="Mill Pond pool",
                address="4 Mill Pond Court, Maryland",
                arrive_at=at(14, 20),
                leave_at=at(16, 30),
                travel_minutes=20,
                travel_m=9_700,
                tasks=(
                    DayTask(
                        key="strip_braces",
                        title="Take off bracing and coping boards, clean and stack",
                        trade="concrete_forms",
                        trade_title="concrete and forms",
                        starts_at=at(14, 20),
                        ends_at=at(16, 30),
                        state="clear",
                        quantities=(Quantity(label="Forms to strip", value=29.3, unit="m"),),
                        gates=(
                            Gate(kind="strength", state=GateState.OPEN, sentence="Walls reached 1,050 psi at 6:00 am."),
                        ),
                    ),
                ),
            ),
        ),
        "sky": sky(),
        "sunrise_at": at(5, 40),
        "sunset_at": at(20, 33),
        "heat": HeatBand(
            band="moderate",
            heat_index_c=34.0,
            at=at(15),
            caution=Caution(
                sentence="Water, rest and shade every hour; watch new people.", source="OSHA heat index bands"
            ),
        ),
        "stand_by": (
            StandBy(title="Cut and bend deck steel", site="Creek Road yard", why="Needs no dry sky.", minutes=180),
        ),
        "changed": ("The wall pour starts at 7:00 am, not 9:00 am, to be rain-safe before the evening.",),
        "told_plan_number": 13,
        "coming": (
            ComingDay(on=date(2026, 6, 17), line="Mill Pond pool: drain stone and fill around the shell."),
            ComingDay(on=date(2026, 6, 18), line="Heron Lane pool: nothing before the walls are strong enough."),
            ComingDay(on=date(2026, 6, 19), line="Otter Run pool: stack forms, first course."),
            ComingDay(on=date(2026, 6, 22), line="Otter Run pool: stack forms, second course."),
            ComingDay(on=date(2026, 6, 23), line="Otter Run pool: openings and fittings."),
        ),
        "cautions": (Caution(sentence="Nobody works under a raised boom.", source="common practice, no source"),),
    }
    return DayPlanFacts(**{**values, **changes})  # type: ignore[arg-type]
