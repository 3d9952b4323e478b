"""What the forecast does to work that stands: a value, a limit, and who could protect it."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from crews.domain.facts import CrewFacts
from jobs.domain.exposure import Exposure, Limit
from jobs.domain.units import M_PER_IN
from jobs.science.drying import floats_above_head_m, pump_out_m3
from planner.forecast.domain.chance import chance_of_rain
from planner.forecast.domain.climate import MEASURABLE_MM
from planner.forecast.domain.limits.levels import level_rules
from planner.forecast.domain.series import HOUR, Values
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.ready.air import air_over
from planner.plans.domain.world import World
from planner.watch.domain.concrete.young import YoungConcrete
from planner.watch.domain.readings import level_state
from planner.watch.domain.report import Line, Reading, State, StateAtRisk, StateKind, Stretch
from planner.watch.domain.skies import sky_over, usable_series
from planner.watch.domain.standing import Standing
from planner.watch.domain.starts import line
from planner.watch.domain.stretch import unattended_hours
from planner.watch.domain.thresholds import LIKELY, STATE_NEAR_CHANCE, WATCHED

# Each 12 mm in an open hole: pump, and a competent person looks again (29 CFR 1926.651(k); amount: common practice).
OPEN_DIG_RAIN = Limit(value=12.0, source="S-OSHA650; the amount: common practice, no source")
# A day to dry follows an inch (25.4 mm) of rain: ground water is then taken to have risen.
HEAVY_RAIN = Limit(value=25.4, source="S-FHWA; that ground water rises then: common practice, no source")
FROST = Limit(value=0.0, source="S-ACI306")
# Floor of a shell whose design is not known: 6 inches.
USUAL_FLOOR_M = 0.1524
LITRES_PER_M3 = 1000.0
RECENT = timedelta(hours=24)
# States that rain already fallen changes, and the amount from which it does.
CHANGED_BY_RAIN: dict[StateKind, Limit] = {"open_dig": OPEN_DIG_RAIN, "empty_shell": HEAVY_RAIN}
WORST_FIRST: tuple[State, ...] = ("reached", "near", "unknown", "clear", "on_site")


def states_now(world: World, standing: Sequence[Standing], now: datetime) -> tuple[StateAtRisk, ...]:
    """Every state that stands now or will inside 72 hours, over the part of that time in which it stands."""
    calendar = world.crews.branch_calendar
    today = calendar.date_of(now)
    on = today if calendar.is_working_day(today) else calendar.next_working_day(today)
    return _over(world, standing, now, now + WATCHED, now=now, on=on)


def states_in_stretch(
    world: World, standing: Sequence[Standing], stretch: Stretch, now: datetime
) -> tuple[StateAtRisk, ...]:
    """Every state that will stand over the next weekend or holiday, judged over it, with who works the day before."""
    return _over(world, standing, max(now, stretch.from_at), stretch.until_at, now=now, on=stretch.last_on)


def _over(
    world: World, standing: Sequence[Standing], from_at: datetime, until_at: datetime, *, now: datetime, on: date
) -> tuple[StateAtRisk, ...]:
    found = []
    for one in standing:
        begins, ends = max(from_at, one.from_at), until_at if one.until_at is None else min(until_at, one.until_at)
        if begins < ends:
            state = _judged(world, one, begins, ends, now=now, on=on)
            if state is not None:
                found.append(state)
    return tuple(sorted(found, key=lambda state: (WORST_FIRST.index(state.state), state.from_at, state.kind)))


def _judged(
    world: World, one: Standing, from_at: datetime, until_at: datetime, *, now: datetime, on: date
) -> StateAtRisk | None:
    sky = sky_over(world, one.task.site)
    readings = _Readings(world=world, sky=sky, from_at=from_at, until_at=until_at).of(one)
    caution: Line | None = None
    if one.kind == "unattended_fill":
        hours = unattended_hours(world.crews.branch_calendar, from_at, until_at)
        if hours == 0:
            return None
        caution = line("unattended", hours, "h", "working calendar")
    elif one.kind == "empty_shell":
        caution = _floats_above(one)
    elif one.kind == "young_concrete":
        caution = line("days_old", max(0.0, (from_at - one.from_at) / HOUR), "h", "pour as reported or planned")
    if one.kind in CHANGED_BY_RAIN and from_at <= now:
        readings = (*readings, _fell(sky, CHANGED_BY_RAIN[one.kind], now))
    state = _worst(readings)
    if one.kind == "unattended_fill" and state == "clear":
        # Power and valves fail without any weather: somebody must own it.
        state = "near"
    able = crews_for(world, one.trades, on)
    return StateAtRisk(
        kind=one.kind,
        job=one.job.name,
        site=one.task.site.name,
        title=one.task.title,
        from_at=one.from_at,
        until_at=one.until_at,
        window_from=from_at,
        window_until=until_at,
        expected=one.from_at > now,
        state=state,
        readings=readings,
        caution=caution,
        crews=tuple(crew.name for crew in able),
        freshness=sky.freshness,
        task=one.task.id,
        crew_keys=tuple(crew.key for crew in able),
    )


class _Readings:
    """The limits of a state over a window of one site's forecast."""

    def __init__(self, *, world: World, sky: SiteSky, from_at: datetime, until_at: datetime) -> None:
        self._world = world
        self._sky = sky
        self._from_at = from_at
        self._until_at = until_at

    def of(self, one: Standing) -> tuple[Reading, ...]:
        """The readings that make a state."""
        exposures = self._world.exposures
        own = exposures[one.task.exposure]
        if one.kind == "open_dig":
            return self._pumped_out(one, self._rain(OPEN_DIG_RAIN))
        if one.kind == "empty_shell":
            return self._pumped_out(one, self._rain(HEAVY_RAIN))
        if one.kind == "unbraced_forms":
            return self._winds(exposures["form_stack"])
        if one.kind == "braced_forms":
            return self._winds(exposures["wall_pour"])
        if one.kind == "fresh_concrete":
            return self._rains(own.rain_after_mm)
        if one.kind == "young_concrete":
            cold = (self._cold("air_min_c", own.air_min_c),) if own.air_min_c is not None else ()
            return (*cold, self._cold("frost_c", FROST), *self._young(one))
        if one.kind == "bare_basin":
            return self._rains(exposures["floor_foam"].rain_before_mm)
        if one.kind == "open_foam":
            return self._rains(exposures["floor_foam"].rain_after_mm)
        frost = (self._cold("air_min_c", own.air_min_c),) if own.air_min_c is not None else ()
        return (*self._rains(own.rain_during_mm), *frost)

    def _young(self, one: Standing) -> tuple[Reading, ...]:
        """What the air does to the concrete itself; nothing where no forecast is usable."""
        if usable_series(self._sky) is None or one.until_at is None:
            return ()
        world = self._world
        young = YoungConcrete(
            task=one.task,
            pool=one.job.pool,
            curing=world.curing,
            air=air_over(self._sky, climate=world.climate, zone=world.branch.zone),
            placed_at=one.from_at,
            until_at=one.until_at,
            probes=tuple(
                (told.happened_at, float(told.values["concrete_c"]))
                for told in world.reports
                if told.task == one.task.id and told.kind == "temperature" and "concrete_c" in told.values
            ),
        )
        return young.readings(self._from_at, self._until_at)

    def _pumped_out(self, one: Standing, rain: Reading) -> tuple[Reading, ...]:
        """Rain on an open hole with the water it leaves there: all of it, what seeps in is measured on site."""
        pool = one.job.pool
        if pool is None or not rain.worst:
            return (rain,)
        basin = pool.basin
        is_dig = one.kind == "open_dig"
        catch_m2 = basin.offset_area_m2(pool.dig_offset_m) if is_dig else basin.water_surface_m2
        water = Reading(
            limit="pump_out",
            unit="l",
            # The rain decides how bad it is.
            state=rain.state,
            limit_value=None,
            worst=LITRES_PER_M3 * pump_out_m3(rain.worst, catch_m2),
            known_share=rain.known_share,
            source="ams_rain",
        )
        return (rain, water)

    def _rains(self, limit: Limit | None) -> tuple[Reading, ...]:
        return (self._rain(limit),) if limit is not None else ()

    def _rain(self, limit: Limit) -> Reading:
        """Chance that one half-day of the window brings the amount, and the forecast's known total."""
        chance = chance_of_rain(
            self._sky.series,
            self._world.climate,
            self._from_at,
            self._until_at,
            limit.value,
            ZoneInfo(self._world.branch.zone),
            freshness=self._sky.freshness,
        )
        usable = usable_series(self._sky)
        total: float | None = None
        if usable is not None:
            known = [mm for mm in usable.between("rain_mm", self._from_at, self._until_at) if mm is not None]
            total = sum(known) if known else None
        state: State = "unknown"
        if usable is not None:
            if chance.probability >= LIKELY or (total is not None and total > 0 and total >= limit.value):
                state = "reached"
            elif chance.probability >= STATE_NEAR_CHANCE:
                state = "near"
            elif chance.known_share >= 1.0:
                state = "clear"
        return Reading(
            limit="rain_total",
            unit="mm",
            state=state,
            limit_value=limit.value,
            worst=total,
            chance=chance.probability,
            known_share=chance.known_share if usable is not None else 0.0,
            source=limit.source,
        )

    def _winds(self, exposure: Exposure) -> tuple[Reading, ...]:
        """Wind and gust limits of an exposure, at the height the forecast states them for."""
        return tuple(
            self._level(rule.limit, rule.limit, rule.level, Limit(value=rule.value, source=rule.source))
            for rule in level_rules(exposure)
            if rule.level != "air_temp_c"
        )

    def _cold(self, name: str, limit: Limit) -> Reading:
        return self._level(name, "air_min_c", "air_temp_c", limit)

    def _level(self, name: str, like: str, variable: str, limit: Limit) -> Reading:
        usable = usable_series(self._sky)
        values: Values = usable.between(variable, self._from_at, self._until_at) if usable is not None else ()
        known = [(value, at) for at, value in enumerate(values) if value is not None]
        pick = min if like == "air_min_c" else max
        worst, at = pick(known, key=lambda pair: pair[0]) if known else (None, 0)
        share = len(known) / len(values) if values else 0.0
        worst_at: datetime | None = None
        if usable is not None and worst is not None:
            worst_at = usable.start_at + (usable.index_of(self._from_at) + at) * HOUR
        return Reading(
            limit=name,
            unit="degc" if variable == "air_temp_c" else "m_s",
            state=level_state(like, limit.value, worst, share),
            limit_value=limit.value,
            worst=worst,
            worst_at=worst_at,
            known_share=share,
            source=limit.source,
        )


def _floats_above(one: Standing) -> Line:
    """Head of ground water that lifts the floor of this shell by itself."""
    pool = one.job.pool
    if pool is None:
        slab_m = USUAL_FLOOR_M
    else:
        slab_m = pool.spray_floor_m if one.task.exposure == "spray_pour" else pool.slab_m
    source = "computed: concrete of 2,400 kg/m³ (150 lb/ft³) over water, no credit for walls"
    return line("floats_above", floats_above_head_m(slab_m), "m", source, inches=f"{slab_m / M_PER_IN:.0f}")


def _fell(sky: SiteSky, limit: Limit, now: datetime) -> Reading:
    """Rain measured in the last 24 hours: any that can be measured is near, the amount itself is reached."""
    values: Values = sky.observed.between("rain_mm", now - RECENT, now) if sky.observed is not None else ()
    known = [mm for mm in values if mm is not None]
    fell = sum(known) if known else None
    state: State = "on_site"
    if fell is not None:
        state = "reached" if fell >= limit.value else "near" if fell >= MEASURABLE_MM - 1e-6 else "clear"
    return Reading(
        limit="fell",
        unit="mm",
        state=state,
        limit_value=limit.value,
        worst=fell,
        known_share=len(known) / len(values) if values else 0.0,
        source=limit.source,
    )


def _worst(readings: Sequence[Reading]) -> State:
    return min((reading.state for reading in readings), key=WORST_FIRST.index, default="unknown")


def crews_for(world: World, trades: Sequence[str], on: date) -> tuple[CrewFacts, ...]:
    """The crews that have one of the trades and work on a date, our own first; if none works, all of them."""
    able = [crew for crew in world.crews.crews if set(trades) & set(crew.trades)]
    working = [crew for crew in able if crew.calendar.is_working_day(on)]
    return tuple(sorted(working or able, key=lambda crew: (not crew.own, crew.name)))
