"""Strength of concrete with age, as a share of its 28-day strength, and when a share is reached.

The laws are for ordinary concrete and give an estimate; what is loaded on its strength waits for the engineer's rule,
and a test on the concrete itself governs. Under three days the laws scatter most (ec2 asks for tests there).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, Protocol

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.science.maturity import RateLaw, equivalent_ages_h, freiesleben_hansen_rate
from jobs.science.ranges import Array, N, as_given, require_range

HOURS_A_DAY = 24.0
REFERENCE_DAYS = 28.0
OLDEST_H = 365 * HOURS_A_DAY

# The laws of maturity agree from 20 degC up; below, this one counts least and so waits longest.
DEFAULT_RATE: RateLaw = freiesleben_hansen_rate

Cement = Literal["I", "III"]
Cure = Literal["moist", "steam"]
CementClass = Literal["R", "N", "S"]


class StrengthLaw(Protocol):
    """Share of the 28-day strength by age at ``reference_c``, and back."""

    @property
    def reference_c(self) -> float: ...
    def fraction(self, age_h: N) -> N: ...
    def age_h(self, fraction: float) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class AciLaw:
    """``f = t / (a + b t)``, t in days near 21 degC (70 degF). Source: aci_209.

    Attributes
    ----------
    a_days : 0.05 to 9.25 [d].
    b : 0.67 to 0.98.
    """

    a_days: float
    b: float
    reference_c: float = 21.0

    def __post_init__(self) -> None:
        require_range(self.a_days, name="a_days", low=0.05, high=9.25, unit="d", source="aci_209")
        require_range(self.b, name="b", low=0.67, high=0.98, unit="", source="aci_209")

    def fraction(self, age_h: N) -> N:
        """Share of the 28-day strength at an age [h], 0 to 365 d.

        >>> f'{ACI_LAWS["I", "moist"].fraction(7 * 24.0):.3f}'
        '0.704'
        """
        _require_age(age_h, "aci_209")
        days = np.asarray(age_h) / HOURS_A_DAY
        return as_given(days / (self.a_days + self.b * days), age_h)

    def age_h(self, fraction: float) -> float:
        """Age [h] of a share: ``t = a f / (1 - b f)``.

        >>> f'{ACI_LAWS["I", "moist"].age_h(0.70) / 24:.2f}'
        '6.91'
        """
        _require_fraction(fraction, self.fraction(OLDEST_H), "aci_209")
        return HOURS_A_DAY * self.a_days * fraction / (1 - self.b * fraction)


@dataclass(frozen=True, slots=True, kw_only=True)
class EuropeanLaw:
    """``f = exp(s (1 - sqrt(28 / t)))``, t in days at 20 degC. Source: ec2, mc90.

    Attributes
    ----------
    s : 0.20 (rapid) to 0.38 (slow).
    """

    s: float
    reference_c: float = 20.0

    def __post_init__(self) -> None:
        require_range(self.s, name="s", low=0.20, high=0.38, unit="", source="ec2")

    def fraction(self, age_h: N) -> N:
        """Share of the 28-day mean strength at an age [h], 0 to 365 d.

        >>> f'{EUROPEAN_LAWS["N"].fraction(7 * 24.0):.3f}'
        '0.779'
        """
        _require_age(age_h, "ec2")
        # The law's own limit at age 0 is 0, and so is its value at this small age.
        days = np.maximum(np.asarray(age_h) / HOURS_A_DAY, 1e-9)
        return as_given(np.exp(self.s * (1 - np.sqrt(REFERENCE_DAYS / days))), age_h)

    def age_h(self, fraction: float) -> float:
        """Age [h] of a share: ``t = 28 / (1 - ln f / s)^2``.

        >>> f'{EUROPEAN_LAWS["N"].age_h(0.70) / 24:.2f}'
        '4.75'
        """
        _require_fraction(fraction, self.fraction(OLDEST_H), "ec2")
        if fraction == 0:
            return 0.0
        return float(HOURS_A_DAY * REFERENCE_DAYS / (1 - np.log(fraction) / self.s) ** 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthTest:
    """What a test on the concrete showed: a share of the 28-day strength at an age by the clock.

    Attributes
    ----------
    after_h : hours from placing to the test [h].
    fraction : measured strength over the specified 28-day strength.
    """

    after_h: float
    fraction: float

    def __post_init__(self) -> None:
        require_range(self.after_h, name="after_h", low=0.5, high=OLDEST_H, unit="h", source="astm_c1074")
        require_range(self.fraction, name="fraction", low=0.01, high=2.0, unit="", source="astm_c1074")


ACI_LAWS: Mapping[tuple[Cement, Cure], AciLaw] = {
    ("I", "moist"): AciLaw(a_days=4.00, b=0.85),
    ("III", "moist"): AciLaw(a_days=2.30, b=0.92),
    ("I", "steam"): AciLaw(a_days=1.00, b=0.95),
    ("III", "steam"): AciLaw(a_days=0.70, b=0.98),
}
# Rapid (42.5R, 52.5N, 52.5R), normal (32.5R, 42.5N) and slow (32.5N) cements.
EUROPEAN_LAWS: Mapping[CementClass, EuropeanLaw] = {
    "R": EuropeanLaw(s=0.20),
    "N": EuropeanLaw(s=0.25),
    "S": EuropeanLaw(s=0.38),
}


def fractions_by_hour(
    temps_c: Array,
    *,
    law: StrengthLaw,
    rate: RateLaw = DEFAULT_RATE,
    test: StrengthTest | None = None,
) -> Array:
    """Share of the 28-day strength at the end of every hour after placing.

    Parameters
    ----------
    temps_c : array
        Mean concrete temperature of each hour [degC], the first from placing; one dimension, NaN unknown.
    law : StrengthLaw
        Strength by age.
    rate : callable
        Rate law of ``jobs.science.maturity``.
    test : StrengthTest, optional
        The latest test. From its hour on the lower of two readings counts: the law scaled by measured over computed
        (weak concrete), and the law taken up at the age that fits the measurement (slow concrete).

    Returns
    -------
    array
        Shares, never falling except at the hour of a test that shows less than computed.

    Raises
    ------
    OutsideValidRange
        A temperature or an age outside the laws.
    CannotDo
        ``strength.test_outside``.

    Source: astm_c1074, ec2, aci_209; how a test is taken up: common practice, no source.

    >>> f'{fractions_by_hour(np.full(168, 20.0), law=EUROPEAN_LAWS["N"])[-1]:.2f}'
    '0.78'
    """
    ages_h = _ages_h(temps_c, law, rate)
    fractions = law.fraction(ages_h)
    if test is None:
        return fractions
    age_h = _age_at_h(ages_h, test.after_h)
    hours = np.arange(1, len(ages_h) + 1)
    measured_age_h = law.age_h(min(test.fraction, law.fraction(OLDEST_H)))
    taken_up = law.fraction(np.clip(measured_age_h + ages_h - age_h, 0.0, OLDEST_H))
    computed = law.fraction(age_h)
    scaled = fractions * test.fraction / computed if computed > 0 else taken_up
    return np.asarray(np.where(hours >= test.after_h, np.minimum(scaled, taken_up), fractions), dtype=float)


def hours_to_fraction(
    temps_c: Array,
    fraction: float,
    *,
    law: StrengthLaw,
    rate: RateLaw = DEFAULT_RATE,
    test: StrengthTest | None = None,
) -> float:
    """Hours from placing until a share of the 28-day strength is reached.

    Parameters
    ----------
    temps_c, law, rate, test
        As ``fractions_by_hour``; the test counts for what comes after it, and shows at once what it shows.
    fraction : float
        Share, 0 to what the law reaches in a year.

    Returns
    -------
    float
        Hours [h], exact inside the hour: the age grows evenly in it.

    Raises
    ------
    OutsideValidRange
        A share, temperature or age outside the laws.
    CannotDo
        ``strength.not_reached``, ``strength.unknown_hour``, ``strength.test_outside``, ``strength.too_weak``.

    Source: astm_c1074, ec2, aci_209.

    >>> f'{hours_to_fraction(np.full(200, 20.0), 0.70, law=EUROPEAN_LAWS["N"]):.0f}'
    '114'
    """
    needed_h = law.age_h(fraction)
    ages_h = _ages_h(temps_c, law, rate)
    latest_h = np.inf
    if test is not None:
        age_h = _age_at_h(ages_h, test.after_h)
        if test.fraction >= fraction:
            latest_h = test.after_h
        else:
            scaled = fraction * law.fraction(age_h) / test.fraction
            if scaled > law.fraction(OLDEST_H):
                raise _too_weak(fraction, test)
            needed_h = max(law.age_h(scaled), age_h + needed_h - law.age_h(test.fraction))
    marks_h = np.concatenate([[0.0], ages_h])
    reached = np.flatnonzero(marks_h >= needed_h)
    if reached.size == 0 and latest_h == np.inf:
        raise _never_reached(fraction, marks_h, law)
    return float(min(_hour_of(needed_h, marks_h, int(reached[0])) if reached.size else np.inf, latest_h))


def ready_hours_by_start(
    temps_by_start_c: Array, fraction: float, *, law: StrengthLaw, rate: RateLaw = DEFAULT_RATE
) -> Array:
    """For concrete placed at each of many hours: the hour, on one clock, from which a share is reached.

    Parameters
    ----------
    temps_by_start_c : array
        Row i: mean temperature [degC] of each hour since placing, for concrete placed at hour i of the clock.
    fraction : float
        Share of the 28-day strength.
    law, rate
        As ``fractions_by_hour``.

    Returns
    -------
    array
        One hour a row [h on the clock of the rows], NaN where the share is not reached in the row, never falling:
        placed later is never ready earlier, so that a plan may hold it as steps. Where warm placing would let later
        concrete overtake, the earlier concrete's hour is kept.

    Raises
    ------
    OutsideValidRange
        A share, temperature or age outside the laws.

    Source: astm_c1074, ec2, aci_209.

    >>> warm = np.full((3, 200), 20.0)
    >>> ready_hours_by_start(warm, 0.70, law=EUROPEAN_LAWS["N"]).round().tolist()
    [114.0, 115.0, 116.0]
    """
    needed_h = law.age_h(fraction)
    ages_h = _ages_h(temps_by_start_c, law, rate)
    marks_h = np.concatenate([np.zeros((len(ages_h), 1)), ages_h], axis=-1)
    ready = np.full(len(marks_h), np.nan)
    for row, marks in enumerate(marks_h):
        reached = np.flatnonzero(marks >= needed_h)
        if reached.size:
            ready[row] = row + _hour_of(needed_h, marks, int(reached[0]))
    never = np.isnan(ready)
    running = np.maximum.accumulate(np.where(never, -np.inf, ready))
    # Rows after one that is not reached in its hours would lie before it: they are unknown as well.
    return np.asarray(np.where(np.logical_or.accumulate(never), np.nan, running), dtype=float)


def _ages_h(temps_c: Array, law: StrengthLaw, rate: RateLaw) -> Array:
    at_reference = float(rate(np.array([law.reference_c]))[0])
    return equivalent_ages_h(temps_c, rate=rate) / at_reference


def _age_at_h(ages_h: Array, after_h: float) -> float:
    if after_h > len(ages_h):
        raise CannotDo("strength.test_outside", field="after_h", age=f"{after_h:g}", hours=len(ages_h))
    return float(np.interp(after_h, np.arange(len(ages_h) + 1), np.concatenate([[0.0], ages_h])))


def _hour_of(age_h: float, marks_h: Array, reached: int) -> float:
    if reached == 0:
        return 0.0
    below, above = float(marks_h[reached - 1]), float(marks_h[reached])
    return reached - 1 + (age_h - below) / (above - below)


def _never_reached(fraction: float, marks_h: Array, law: StrengthLaw) -> CannotDo:
    unknown = np.flatnonzero(np.isnan(marks_h))
    if unknown.size:
        return CannotDo("strength.unknown_hour", field="temps_c", hour=int(unknown[0]))
    return CannotDo(
        "strength.not_reached",
        field="temps_c",
        percent=f"{100 * fraction:g}",
        hours=len(marks_h) - 1,
        reached=f"{100 * law.fraction(float(marks_h[-1])):.0f}",
    )


def _too_weak(fraction: float, test: StrengthTest) -> CannotDo:
    return CannotDo(
        "strength.too_weak",
        field="fraction",
        measured=f"{100 * test.fraction:g}",
        hours=f"{test.after_h:g}",
        percent=f"{100 * fraction:g}",
    )


def _require_age(age_h: N, source: str) -> None:
    require_range(age_h, name="age_h", low=0, high=OLDEST_H, unit="h", source=source)


def _require_fraction(fraction: float, most: float, source: str) -> None:
    require_range(fraction, name="fraction", low=0, high=most, unit="of 28 days", source=source)
