"""What the water of a new pool takes at its start: doses for the real volume, and what is aimed at, by finish."""

from collections.abc import Mapping
from dataclasses import dataclass

from jobs.domain.order.finish import Finish
from jobs.science.chemistry import Doses, dose

# What salt is brought to, the least at which a cell is run, and the most; common practice, no source: the cell's
# maker governs.
SALT_PPM, LEAST_SALT_PPM, MOST_SALT_PPM = 3200.0, 2700.0, 3400.0
STABILISER_PPM = 30.0
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """What a test should read once the water is balanced, with the source of it."""

    what: str
    low: float
    high: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StartDose:
    """A dose of the start.

    Attributes
    ----------
    change_ppm : what it raises. ``each_step`` : for each such step the test lacks, not for all of it.
    when : in words, in days after the pool is full.
    """

    doses: Doses
    change_ppm: float
    each_step: bool
    when: str


_COMMON = (
    Band(what="free chlorine", low=2.0, high=4.0, unit="ppm", source="phta_11"),
    Band(what="stabiliser", low=30.0, high=50.0, unit="ppm", source="phta_11"),
    Band(what="salt", low=LEAST_SALT_PPM, high=MOST_SALT_PPM, unit="ppm", source=PRACTICE),
)
BANDS: Mapping[str, tuple[Band, ...]] = {
    "liner": (
        Band(what="pH", low=7.2, high=7.6, unit="", source="phta_11"),
        Band(what="alkalinity", low=80.0, high=120.0, unit="ppm", source="phta_11"),
        Band(what="calcium", low=150.0, high=250.0, unit="ppm", source=PRACTICE),
        *_COMMON,
    ),
    "finish": (
        Band(what="pH", low=7.2, high=7.6, unit="", source="phta_11"),
        Band(what="alkalinity", low=80.0, high=100.0, unit="ppm", source="phta_11"),
        Band(what="calcium", low=200.0, high=400.0, unit="ppm", source="phta_11"),
        *_COMMON,
    ),
}


def bands_of(finish: Finish) -> tuple[Band, ...]:
    """What a test should read, by finish; the finish maker's card governs."""
    return BANDS["liner" if finish == "liner" else "finish"]


def start_doses(volume_m3: float, finish: Finish) -> tuple[StartDose, ...]:
    """Doses for the start of a pool that was filled with fresh water.

    Salt and stabiliser are counted from none in the fill water; alkalinity, calcium and chlorine depend on it, so
    they are given for a step of what the test lacks.

    Parameters
    ----------
    volume_m3 : float
        Water [m3], 0.1 to 5000.
    finish : Finish
        Salt waits for about 28 days on a finish of cement.

    Raises
    ------
    OutsideValidRange
        A volume outside the range of a dose.

    Examples
    --------
    >>> [(one.doses.product, one.each_step) for one in start_doses(67.19, "liner")][:2]
    [('sodium_bicarbonate', True), ('calcium_chloride_77', True)]
    """
    lined = finish == "liner"
    first = "first day" if lined else "first day, then weekly"
    return tuple(
        StartDose(
            doses=dose(product, change_ppm=change_ppm, volume_m3=volume_m3),
            change_ppm=change_ppm,
            each_step=each_step,
            when=when,
        )
        for product, change_ppm, each_step, when in (
            ("sodium_bicarbonate", 10.0, True, first),
            ("calcium_chloride_77", 10.0, True, first),
            ("bleach_12", 1.0, True, "first day" if lined else "day 2 to 3"),
            ("cyanuric_acid", STABILISER_PPM, False, "with the salt" if lined else "after day 3"),
            ("salt", SALT_PPM, False, "after a day of running" if lined else "day 28 to 30, never before"),
        )
    )
