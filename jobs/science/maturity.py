"""Maturity of concrete: how much of a day at the reference temperature each hour of its own temperature is worth.

A history is an array of mean temperatures of equal steps, the last axis in time; NaN is an unknown step, and what
depends on it is unknown too.
"""

from collections.abc import Callable

import numpy as np

from jobs.science.ranges import Array, N, as_given, require_range

GAS_CONSTANT_J_MOL_K = 8.314462618
# The printed laws add 273; the half per mille to 273.15 shows in the third digit of a factor.
KELVIN = 273.0

# Arrhenius temperature of ordinary portland cement, where no mortar-cube test was made (astm_c1074).
DEFAULT_Q_K = 5000.0
REFERENCE_C = 20.0
DEFAULT_DATUM_C = 0.0

# Under 0 degC hydration practically stops: such hours count nothing.
NO_GAIN_BELOW_C = 0.0
HOTTEST_C = 80.0
HOTTEST_ARRHENIUS_C = 40.0

# Share of the strength at 19,800 degC h (datum -11.5 degC): up to this 28-day strength [MPa], A and B (plowman).
PLOWMAN_DATUM_C = -11.5
PLOWMAN = ((17.5, 10.0, 68.0), (35.0, 21.0, 61.0), (52.5, 32.0, 54.0), (70.0, 42.0, 46.5))
PLOWMAN_LEAST_C_H, PLOWMAN_MOST_C_H = 1000.0, 20000.0

RateLaw = Callable[[Array], Array]


def temperature_time_c_h(temps_c: Array, *, datum_c: float = DEFAULT_DATUM_C, step_h: float = 1.0) -> Array:
    """Temperature-time factor (Nurse-Saul) at the end of every step [degC h].

    Parameters
    ----------
    temps_c : array
        Mean concrete temperature of each step [degC], -40 to 80, time in the last axis.
    datum_c : float
        Datum temperature [degC], -20 to 10: 0 for ordinary cement, -10 in some highway rules.
    step_h : float
        Length of a step [h], a minute to 24.

    Returns
    -------
    array
        ``M = sum(max(0, T - T0) dt)`` [degC h], same shape.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: astm_c1074.

    >>> temperature_time_c_h(np.array([20.0, 25.0, -5.0])).tolist()
    [20.0, 45.0, 45.0]
    """
    require_range(temps_c, name="temps_c", low=-40, high=HOTTEST_C, unit="degC", source="astm_c1074")
    require_range(datum_c, name="datum_c", low=-20, high=10, unit="degC", source="astm_c1074")
    _require_step(step_h)
    return np.asarray(np.cumsum(np.maximum(0.0, temps_c - datum_c), axis=-1) * step_h, dtype=float)


def q_from_activation_energy_k(activation_energy_j_mol: float) -> float:
    """Arrhenius temperature Q [K] from an activation energy [J/mol], 20,000 to 80,000: ``Q = Ea / R``.

    Raises
    ------
    OutsideValidRange
        An energy outside the range of hydrating cement.

    Source: astm_c1074.

    >>> round(q_from_activation_energy_k(41572.0))
    5000
    """
    require_range(
        activation_energy_j_mol,
        name="activation_energy_j_mol",
        low=20_000,
        high=80_000,
        unit="J/mol",
        source="astm_c1074",
    )
    return activation_energy_j_mol / GAS_CONSTANT_J_MOL_K


def arrhenius_rate(temp_c: N, *, q_k: float = DEFAULT_Q_K, reference_c: float = REFERENCE_C) -> N:
    """Hours at the reference temperature that one hour at a temperature is worth, with one activation energy.

    Parameters
    ----------
    temp_c : float or array
        Concrete temperature [degC], 0 to 40.
    q_k : float
        Activation energy over the gas constant [K], 2400 to 9700.
    reference_c : float
        Reference temperature [degC], 15 to 25.

    Returns
    -------
    float or array
        ``exp(-Q (1 / T - 1 / Ts))``, temperatures in kelvin.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: astm_c1074, carino_1984.

    >>> f"{arrhenius_rate(25.0):.3f}"
    '1.332'
    """
    source = "astm_c1074"
    require_range(temp_c, name="temp_c", low=NO_GAIN_BELOW_C, high=HOTTEST_ARRHENIUS_C, unit="degC", source=source)
    require_range(q_k, name="q_k", low=2400, high=9700, unit="K", source=source)
    require_range(reference_c, name="reference_c", low=15, high=25, unit="degC", source=source)
    return as_given(np.exp(-q_k * (1 / (temp_c + KELVIN) - 1 / (reference_c + KELVIN))), temp_c)


def freiesleben_hansen_rate(temp_c: N) -> N:
    """Hours at 20 degC that one hour at a temperature is worth; colder concrete has the larger activation energy.

    Parameters
    ----------
    temp_c : float or array
        Concrete temperature [degC], 0 to 80.

    Returns
    -------
    float or array
        Arrhenius's factor with ``Ea = 33.5 + 1.47 (20 - T)`` kJ/mol below 20 degC and 33.5 from there on.

    Raises
    ------
    OutsideValidRange
        A temperature outside the range.

    Source: fhp_1977.

    >>> f"{freiesleben_hansen_rate(10.0):.3f}"
    '0.497'
    """
    require_range(temp_c, name="temp_c", low=NO_GAIN_BELOW_C, high=HOTTEST_C, unit="degC", source="fhp_1977")
    energy_j_mol = 1000 * (33.5 + 1.47 * np.maximum(0.0, 20.0 - temp_c))
    exponent = -energy_j_mol / GAS_CONSTANT_J_MOL_K * (1 / (temp_c + KELVIN) - 1 / (20.0 + KELVIN))
    return as_given(np.exp(exponent), temp_c)


def model_code_rate(temp_c: N) -> N:
    """Hours at 20 degC that one hour at a temperature is worth, by the European code.

    Parameters
    ----------
    temp_c : float or array
        Concrete temperature [degC], 0 to 80.

    Returns
    -------
    float or array
        ``exp(13.65 - 4000 / (273 + T))``; the printed constants give 0.998 at 20 degC.

    Raises
    ------
    OutsideValidRange
        A temperature outside the range.

    Source: mc90, ec2.

    >>> f"{model_code_rate(10.0):.3f}"
    '0.616'
    """
    require_range(temp_c, name="temp_c", low=NO_GAIN_BELOW_C, high=HOTTEST_C, unit="degC", source="ec2")
    return as_given(np.exp(13.65 - 4000.0 / (KELVIN + temp_c)), temp_c)


def equivalent_ages_h(temps_c: Array, *, rate: RateLaw = model_code_rate, step_h: float = 1.0) -> Array:
    """Equivalent age at the end of every step [h at the law's reference temperature].

    Parameters
    ----------
    temps_c : array
        Mean concrete temperature of each step [degC], -40 to the law's highest, time in the last axis.
    rate : callable
        ``model_code_rate``, ``freiesleben_hansen_rate``, ``arrhenius_rate`` or one of them with other constants.
    step_h : float
        Length of a step [h], a minute to 24.

    Returns
    -------
    array
        ``te = sum(rate(T) dt)`` [h], same shape, never falling. Steps under 0 degC count nothing: hydration has
        practically stopped, and no law is asked there.

    Raises
    ------
    OutsideValidRange
        A step hotter than the law allows or colder than -40 degC.

    Source: astm_c1074, mc90.

    >>> equivalent_ages_h(np.array([20.0, -5.0, 10.0])).round(3).tolist()
    [0.998, 0.998, 1.614]
    """
    require_range(temps_c, name="temps_c", low=-40, high=HOTTEST_C, unit="degC", source="astm_c1074")
    _require_step(step_h)
    rates = np.where(temps_c < NO_GAIN_BELOW_C, 0.0, rate(np.maximum(temps_c, NO_GAIN_BELOW_C)))
    return np.asarray(np.cumsum(rates, axis=-1) * step_h, dtype=float)


def step_means_c(temps_at_marks_c: Array) -> Array:
    """Mean temperature of each step from readings at its two ends: n + 1 readings give n steps.

    Source: astm_c1074.

    >>> step_means_c(np.array([10.0, 20.0, 16.0])).tolist()
    [15.0, 18.0]
    """
    return np.asarray((temps_at_marks_c[..., :-1] + temps_at_marks_c[..., 1:]) / 2, dtype=float)


def plowman_percent(maturity_c_h: N, *, strength_mpa: float) -> N:
    """Strength as a percentage of the 28-day strength from the temperature-time factor over a datum of -11.5 degC.

    Parameters
    ----------
    maturity_c_h : float or array
        Temperature-time factor [degC h], 1000 to 20,000.
    strength_mpa : float
        28-day strength [MPa], 1 to 70; it selects the constants.

    Returns
    -------
    float or array
        ``A + B log10(M / 1000)`` [%], 98 to 102 at the reference of 19,800.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: plowman.

    >>> f"{plowman_percent(5000.0, strength_mpa=28.0):.1f}"
    '63.6'
    """
    require_range(
        maturity_c_h,
        name="maturity_c_h",
        low=PLOWMAN_LEAST_C_H,
        high=PLOWMAN_MOST_C_H,
        unit="degC h",
        source="plowman",
    )
    require_range(strength_mpa, name="strength_mpa", low=1, high=PLOWMAN[-1][0], unit="MPa", source="plowman")
    a, b = next((a, b) for below_mpa, a, b in PLOWMAN if strength_mpa <= below_mpa)
    return as_given(a + b * np.log10(np.asarray(maturity_c_h) / 1000), maturity_c_h)


def _require_step(step_h: float) -> None:
    require_range(step_h, name="step_h", low=1 / 60, high=24, unit="h", source="astm_c1074")
