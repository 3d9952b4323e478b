"""The estimates of how concrete keeps warm, against conduction in a plate, handbook resistances and heats of cement."""

import numpy as np
import pytest
from scipy.optimize import brentq

from jobs.science.concrete_temperature import (
    BARE_FACE_W_M2_K,
    BLANKET_W_M2_K,
    DENSITY_KG_M3,
    HEAT_J_KG_K,
    HYDRATION_RISE_C,
    INSULATED_FORMS_W_M2_K,
    Member,
    concrete_temps_c,
    insulated_wall,
    slab,
)

# Concrete of 2400 kg/m3, EN ISO 10456 table 3 (from memory).
CONDUCTS_W_M_K = 2.0
M2_K_W_PER_US = 0.17611
TERMS = 60
HOURS = 96


def roots(biot: float) -> np.ndarray:
    """Of x tan x = Bi, one in each branch."""
    return np.array(
        [
            brentq(lambda x: x * np.tan(x) - biot, n * np.pi + 1e-9, (n + 0.5) * np.pi - 1e-9, xtol=1e-12)
            for n in range(TERMS)
        ]
    )


def plate(depth_m: float, loss_w_m2_k: float) -> tuple[np.ndarray, np.ndarray]:
    """Share of the first gap to the air that is left by hour, of the mean and of the face: the exact series for a
    plate that loses heat on one face and none on the other (textbooks of heat transfer)."""
    seconds = 3600.0 * np.arange(HOURS + 1)
    x = roots(loss_w_m2_k * depth_m / CONDUCTS_W_M_K)
    spread = CONDUCTS_W_M_K / (DENSITY_KG_M3 * HEAT_J_KG_K) / depth_m**2
    left = np.exp(-np.outer(seconds * spread, x**2)) * 4 * np.sin(x) / (2 * x + np.sin(2 * x))
    return (left * np.sin(x) / x).sum(axis=1), (left * np.cos(x)).sum(axis=1)


def lump(member: Member) -> np.ndarray:
    """The same share by the estimate, its own warmth left out."""
    cold = Member(time_constant_h=member.time_constant_h, hydration_rise_c=0.0)
    return concrete_temps_c(np.zeros(HOURS), placed_c=10.0, member=cold) / 10.0


CASES = [
    # A slab loses heat upwards only; a wall between forms loses half of it on each face: half its core, half the loss.
    pytest.param(slab(0.15), 0.15, BARE_FACE_W_M2_K, 0.12, 0.20, id="bare"),
    pytest.param(slab(0.10), 0.10, BARE_FACE_W_M2_K, 0.12, 0.20, id="bare-thin"),
    pytest.param(slab(0.15, blanket=True), 0.15, BLANKET_W_M2_K, 0.03, 0.06, id="blanket"),
    pytest.param(slab(0.30, blanket=True), 0.30, BLANKET_W_M2_K, 0.05, 0.10, id="blanket-thick"),
    pytest.param(insulated_wall(0.15), 0.075, INSULATED_FORMS_W_M2_K / 2, 0.005, 0.01, id="forms"),
    pytest.param(insulated_wall(0.30), 0.15, INSULATED_FORMS_W_M2_K / 2, 0.005, 0.02, id="forms-thick"),
]


@pytest.mark.parametrize(("member", "depth_m", "loss", "above", "face_below"), CASES)
def test_the_whole_is_never_colder_than_the_estimate_and_its_face_not_much(
    member: Member, depth_m: float, loss: float, above: float, face_below: float
) -> None:
    """Exact conduction without the heat of hydration, as shares of the first gap between concrete and air. The bounds
    are what was found: the estimate errs towards frost for the whole, and the bare face is a fifth of the gap colder
    than it in the first hours."""
    mean, face = plate(depth_m, loss)
    estimate = lump(member)
    assert (mean >= estimate - 1e-6).all()
    assert (mean - estimate).max() <= above
    # The face jumps in the first minutes; from the first hour on it is told.
    assert (estimate - face)[1:].max() <= face_below


def test_the_series_is_the_one_of_the_textbooks() -> None:
    """Incropera and DeWitt, coefficients of the one-term solution, plane wall, Bi = 1: 0.8603 and 1.1191 (from
    memory)."""
    x = roots(1.0)[0]
    assert x == pytest.approx(0.8603, abs=5e-5)
    assert 4 * np.sin(x) / (2 * x + np.sin(2 * x)) == pytest.approx(1.1191, abs=5e-5)


@pytest.mark.parametrize(("us_per_inch", "inches"), [(3.85, 2.5), (4.35, 2.5)])
def test_insulating_forms_lose_what_their_foam_lets_through(us_per_inch: float, inches: float) -> None:
    """ASHRAE Fundamentals 1997, chapter 24: 3.85 to 4.35 h ft2 degF/Btu an inch of polystyrene, and 0.17 of outside
    air (which of the foams is which: from memory). Two faces of two and a half inches."""
    resistance = (us_per_inch * inches + 0.17) * M2_K_W_PER_US
    assert pytest.approx(2 / resistance, rel=0.10) == INSULATED_FORMS_W_M2_K


def test_a_bare_face_lies_between_still_air_and_wind() -> None:
    """ISO 6946 surface resistances, from memory: 0.10 m2K/W upwards indoors, 0.04 outside at 4 m/s."""
    assert 1 / 0.10 < BARE_FACE_W_M2_K < 1 / 0.04


def test_its_own_warmth_is_counted_at_about_half() -> None:
    """ACI 207, from memory: ordinary cement gives 349 kJ/kg in seven days; 300 kg a cubic metre, sealed, warm by 48
    degC. The trade's 12 degC for 100 kg (common practice, no source) would be 36."""
    sealed_c = 300 * 349e3 / (DENSITY_KG_M3 * HEAT_J_KG_K)
    assert sealed_c == pytest.approx(48.5, abs=0.1)
    assert 0.45 * sealed_c < HYDRATION_RISE_C < 0.75 * 36
