"""Air over a surface: temperature, humidity, and wind brought down to where it is needed."""

from jobs.domain.units import M_S_PER_MPH
from jobs.science.evaporation import surface_wind_m_s
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import PERCENT, TEMPERATURE, WIND
from planner.calculators.calculator import Derived

AIR = Ask(
    name="air_temp",
    label="Air temperature",
    kind=TEMPERATURE,
    low=-40.0,
    high=50.0,
    source="alduchov_1996",
    example="80 °F",
    help="In the shade, at head height.",
    formula_names=("air_temp_c", "temp_c"),
)
HUMIDITY = Ask(
    name="humidity",
    label="Relative humidity",
    kind=PERCENT,
    low=1.0,
    high=100.0,
    source="alduchov_1996",
    example="40 %",
    formula_names=("humidity_percent",),
)
WIND_SPEED = Ask(
    name="wind",
    label="Wind",
    kind=WIND,
    low=0.0,
    high=60 * M_S_PER_MPH,
    source="wmo_8",
    example="10 mph",
    formula_names=("wind_10m_m_s",),
)
WIND_AT = Choose(
    name="wind_at",
    label="Wind measured",
    options=(("slab", "At the slab, knee high"), ("forecast", "Forecast, 33 ft up")),
    default="slab",
)
SURFACE_WIND = Derived(formula_name="wind_m_s", label="Wind at the slab", field=WIND_SPEED.name)


def surface_wind(values: Values) -> float:
    """Wind knee high over the surface [m/s]; a forecast's is brought down from 10 m."""
    wind = values.si(WIND_SPEED.name)
    return surface_wind_m_s(wind) if values.choice(WIND_AT.name) == "forecast" else wind
