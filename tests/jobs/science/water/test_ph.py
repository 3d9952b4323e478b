"""Doses for the pH (ph_doses.csv), against a charge balance solved by a library, and by properties.

The chart prints 7.8 to 7.6, 8.0 to 7.8 and 8.4 to 8.0 for its acids; only read as doses down to 7.6 do they agree with
the balance. Its soda ash (6, 8 and 12 oz up to 7.4) is a third of the balance and less: 12 oz is the most at once.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.domain.units import lb_from_kg, m3_from_gallons
from jobs.science.chemistry import Doses
from jobs.science.water.ph import PH_PRODUCTS, ph_dose
from jobs.words import all_words
from tests.jobs.science.worked_examples import rows_of

FL_OZ_PER_LITRE = 128 / 3.785411784
acid_ph, ppm = st.floats(7.0, 8.4), st.floats(60, 200)


def acid(now: float, wanted: float, *, alkalinity: float = 100.0, stabiliser: float = 50.0, m3: float = 50.0) -> Doses:
    return ph_dose(
        "muriatic_acid_31",
        now_ph=now,
        wanted_ph=wanted,
        alkalinity_ppm=alkalinity,
        stabiliser_ppm=stabiliser,
        volume_m3=m3,
    )


@pytest.mark.parametrize("row", rows_of("water/ph_doses"), ids=lambda row: f"{row['product']}-{row['now_ph']}")
def test_published_dose(row: dict[str, str]) -> None:
    doses = ph_dose(
        row["product"],
        now_ph=float(row["now_ph"]),
        wanted_ph=float(row["wanted_ph"]),
        alkalinity_ppm=float(row["alkalinity_ppm"]),
        stabiliser_ppm=float(row["stabiliser_ppm"]),
        volume_m3=m3_from_gallons(float(row["volume_gal"])),
    )
    found = {
        "oz": 16 * lb_from_kg(doses.total_kg),
        "fl_oz": doses.each_litres * doses.doses_each * FL_OZ_PER_LITRE,
    }[row["unit"]]
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row["source"]


def _charge(ph: float, carbonate: float, cyanuric: float, ions: float) -> float:
    """Ions that stay as they are, less what carbonate, cyanurate and water carry [mol/L]; 0 in real water."""
    h = 10**-ph
    first, second = 10**-6.35, 10**-10.33
    bicarbonate = carbonate / (h / first + 1 + second / h)
    doubly = bicarbonate * second / h
    cyanurate = cyanuric / (1 + h / 10**-6.88)
    return ions - (bicarbonate + 2 * doubly + cyanurate + 1e-14 / h - h)


@pytest.mark.parametrize("product", PH_PRODUCTS)
@pytest.mark.parametrize(("alkalinity", "stabiliser"), [(80, 0), (100, 50), (140, 90)])
def test_the_dosed_water_has_the_ph_that_was_wanted(product: str, alkalinity: float, stabiliser: float) -> None:
    """A root search over the charges of the water before and after, with the moles that were dosed."""
    now, wanted = (7.0, 7.4) if product == "soda_ash" else (8.2, 7.5)
    doses = ph_dose(
        product, now_ph=now, wanted_ph=wanted, alkalinity_ppm=alkalinity, stabiliser_ppm=stabiliser, volume_m3=1.0
    )
    ions, cyanuric = alkalinity / 50_043.5, stabiliser / 129_070
    carbonate = brentq(lambda held: _charge(now, held, cyanuric, ions), 0, 1)
    pure = {"soda_ash": (105.988, 1.0), "muriatic_acid_31": (36.461, 0.3145), "dry_acid_93": (120.06, 0.932)}[product]
    moles = doses.total_kg * pure[1] / pure[0]
    if product == "soda_ash":
        carbonate, ions = carbonate + moles, ions + 2 * moles
    else:
        ions -= moles
    assert brentq(lambda ph: _charge(ph, carbonate, cyanuric, ions), 6, 9) == pytest.approx(wanted, abs=1e-6)


@given(acid_ph, acid_ph, ppm, st.floats(1, 300))
def test_more_alkalinity_takes_more_acid_and_no_single_dose_is_over_the_chart(
    one: float, other: float, alkalinity: float, m3: float
) -> None:
    low, high = sorted((one, other))
    doses = acid(high, low, alkalinity=alkalinity, m3=m3)
    assert doses.total_kg >= 0
    assert acid(high, low, alkalinity=alkalinity + 20, m3=m3).total_kg >= doses.total_kg - 1e-9
    assert doses.each_litres * FL_OZ_PER_LITRE <= 24 * m3 / 37.854118 * (1 + 1e-6)


@given(ppm)
def test_two_steps_take_what_one_takes(alkalinity: float) -> None:
    """From 8.2 to 7.8 and on to 7.4; the acid of the first step has left the alkalinity."""
    first = acid(8.2, 7.8, alkalinity=alkalinity)
    moles_per_litre = first.total_kg * 0.3145 / 36.461 / 50
    then = acid(7.8, 7.4, alkalinity=alkalinity - moles_per_litre * 50_043.5)
    assert first.total_kg + then.total_kg == pytest.approx(acid(8.2, 7.4, alkalinity=alkalinity).total_kg, rel=1e-6)


def test_a_dose_is_given_by_halves_never_mixed_and_tested_after() -> None:
    doses = acid(8.0, 7.6)
    assert doses.cautions == ("chemistry.half_first", "chemistry.never_mix", "chemistry.retest")
    assert all(code in all_words() for code in doses.cautions)


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ({"product": "salt"}, "chemistry.no_product"),
        ({"wanted_ph": 7.9}, "chemistry.wrong_way"),
        ({"alkalinity_ppm": 20.0, "stabiliser_ppm": 300.0}, "chemistry.no_carbonate"),
    ],
)
def test_what_cannot_be_dosed_is_refused_in_words(values: dict[str, object], code: str) -> None:
    usual: dict[str, object] = {
        "product": "dry_acid_93",
        "now_ph": 7.8,
        "wanted_ph": 7.6,
        "alkalinity_ppm": 100.0,
        "stabiliser_ppm": 30.0,
        "volume_m3": 50.0,
    }
    with pytest.raises(CannotDo) as refused:
        ph_dose(**{**usual, **values})  # type: ignore[arg-type]
    assert refused.value.code == code
    assert refused.value.remedy


@pytest.mark.parametrize(
    ("now", "wanted", "name"), [(8.5, 7.6, "now_ph"), (7.8, 6.7, "wanted_ph"), (math.nan, 7.6, "now_ph")]
)
def test_a_ph_outside_the_chart_is_refused_with_its_range(now: float, wanted: float, name: str) -> None:
    with pytest.raises(OutsideValidRange) as refused:
        acid(now, wanted)
    assert refused.value.facts["name"] == name
    assert (refused.value.facts["low"], refused.value.facts["high"]) == ("6.8", "8.4")
