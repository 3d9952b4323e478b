"""Pool water: doses by stoichiometry, dilution by rain and refill, and the saturation index.

A dose is an estimate for water that was tested: the product's label governs. Dose one product at a time, never mix
products, test again before the next. Acid and chlorine hurt: goggles, gloves, and acid into water, never the reverse.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.domain.units import c_from_f
from jobs.science.ranges import Array, N, as_given, require_range

# Molar masses [g/mol]; alkalinity and hardness are counted as calcium carbonate.
CALCIUM_CARBONATE, BICARBONATE, SODA_ASH, CALCIUM_CHLORIDE = 100.087, 84.007, 105.988, 110.983
HYDROCHLORIC_ACID, BISULPHATE, CHLORINE, SULPHITE = 36.461, 120.06, 70.906, 126.04
EQUIVALENT = CALCIUM_CARBONATE / 2

CAUTIONS = ("chemistry.never_mix", "chemistry.retest")

# Interpolated between these rows: water [degF] and temperature factor; ppm and factors of hardness and alkalinity.
TEMPERATURE_FACTOR = (
    (32, 0.0), (37, 0.1), (46, 0.2), (53, 0.3), (60, 0.4), (66, 0.5), (76, 0.6), (84, 0.7), (94, 0.8), (105, 0.9),
    (128, 1.0),
)  # fmt: skip
HARDNESS_FACTOR = (
    (5, 0.3), (25, 1.0), (50, 1.3), (75, 1.5), (100, 1.6), (150, 1.8), (200, 1.9), (300, 2.1), (400, 2.2),
    (800, 2.5), (1000, 2.6),
)  # fmt: skip
ALKALINITY_FACTOR = (
    (5, 0.7), (25, 1.4), (50, 1.7), (75, 1.9), (100, 2.0), (150, 2.2), (200, 2.3), (300, 2.5), (400, 2.6),
    (800, 2.9), (1000, 3.0),
)  # fmt: skip
SALTY_FROM_PPM = 1000.0

Target = Literal["salt", "alkalinity", "calcium", "stabiliser", "chlorine"]
Balance = Literal["corrosive", "balanced", "scaling"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """What a product does.

    Attributes
    ----------
    target : what it changes; ``raises`` or lowers it.
    kg_per_kg : product for one kilogram of the target.
    kg_per_litre : density of a liquid; 0 for a solid.
    most_ppm : largest change in one dose, common practice, no source; 0 where none is in use.
    """

    target: Target
    kg_per_kg: float
    raises: bool = True
    kg_per_litre: float = 0.0
    most_ppm: float = 0.0


PRODUCTS: Mapping[str, Product] = {
    "salt": Product(target="salt", kg_per_kg=1.0),
    "sodium_bicarbonate": Product(target="alkalinity", kg_per_kg=BICARBONATE / EQUIVALENT, most_ppm=50),
    "soda_ash": Product(target="alkalinity", kg_per_kg=SODA_ASH / 2 / EQUIVALENT, most_ppm=20),
    "muriatic_acid_31": Product(
        target="alkalinity",
        raises=False,
        kg_per_kg=HYDROCHLORIC_ACID / EQUIVALENT / 0.3145,
        kg_per_litre=1.16,
        most_ppm=12.5,
    ),
    "dry_acid_93": Product(target="alkalinity", raises=False, kg_per_kg=BISULPHATE / EQUIVALENT / 0.932, most_ppm=12.5),
    "calcium_chloride": Product(target="calcium", kg_per_kg=CALCIUM_CHLORIDE / CALCIUM_CARBONATE, most_ppm=80),
    "calcium_chloride_94": Product(
        target="calcium", kg_per_kg=CALCIUM_CHLORIDE / CALCIUM_CARBONATE / 0.94, most_ppm=80
    ),
    "calcium_chloride_77": Product(
        target="calcium", kg_per_kg=CALCIUM_CHLORIDE / CALCIUM_CARBONATE / 0.77, most_ppm=80
    ),
    "cyanuric_acid": Product(target="stabiliser", kg_per_kg=1.0, most_ppm=30),
    "calcium_hypochlorite_65": Product(target="chlorine", kg_per_kg=1 / 0.65, most_ppm=10),
    "calcium_hypochlorite_73": Product(target="chlorine", kg_per_kg=1 / 0.73, most_ppm=10),
    "dichlor_56": Product(target="chlorine", kg_per_kg=1 / 0.56, most_ppm=10),
    "trichlor_90": Product(target="chlorine", kg_per_kg=1 / 0.90, most_ppm=10),
    # Trade per cent of a bleach are grams of chlorine in 100 ml, so its kilograms a litre cancel.
    "bleach_12": Product(target="chlorine", kg_per_kg=1.0 / 0.125, kg_per_litre=1.0, most_ppm=10),
    "bleach_10": Product(target="chlorine", kg_per_kg=1.0 / 0.10, kg_per_litre=1.0, most_ppm=10),
    "bleach_6": Product(target="chlorine", kg_per_kg=1.0 / 0.06, kg_per_litre=1.0, most_ppm=10),
    "sodium_sulphite": Product(target="chlorine", raises=False, kg_per_kg=SULPHITE / CHLORINE, most_ppm=10),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Doses:
    """A change in equal doses, each to be tested before the next.

    Attributes
    ----------
    each_kg, each_litres : one dose; litres are 0 for a solid.
    doses_each : how many, none larger than usual practice.
    cautions : codes of ``jobs.words``, always shown with a dose.
    """

    product: str
    each_kg: float
    each_litres: float
    doses_each: int
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def total_kg(self) -> float:
        """All doses together [kg]."""
        return self.each_kg * self.doses_each


def dose(product: str, *, change_ppm: float, volume_m3: float) -> Doses:
    """How much of a product changes a volume of water by so many ppm.

    Parameters
    ----------
    product : str
        Key of ``PRODUCTS``.
    change_ppm : float
        Change of its target [ppm = mg/L], up or down, at most 6000; alkalinity and calcium as calcium carbonate.
    volume_m3 : float
        Water [m3], 0.1 to 5000.

    Returns
    -------
    Doses
        ``ppm x volume x molar ratio / strength``, in equal doses.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.
    CannotDo
        ``chemistry.no_product``, ``chemistry.wrong_way``.

    Source: atomic_weights, dose_chart; largest single doses: common practice, no source.

    >>> round(dose("salt", change_ppm=3000.0, volume_m3=50.0).total_kg, 6)
    150.0
    """
    if product not in PRODUCTS:
        raise CannotDo("chemistry.no_product", field="product", given=product, known=", ".join(PRODUCTS))
    require_range(change_ppm, name="change_ppm", low=-6000, high=6000, unit="ppm", source="dose_chart")
    require_range(volume_m3, name="volume_m3", low=0.1, high=5000, unit="m3", source="dose_chart")
    chosen = PRODUCTS[product]
    if change_ppm and (change_ppm > 0) != chosen.raises:
        raise CannotDo(
            "chemistry.wrong_way",
            field="product",
            product=product.replace("_", " ").capitalize(),
            direction="raise" if change_ppm > 0 else "lower",
            target=chosen.target,
        )
    change = abs(change_ppm)
    doses = max(1, math.ceil(change / chosen.most_ppm - 1e-9)) if chosen.most_ppm else 1
    each_kg = change * volume_m3 / 1000 * chosen.kg_per_kg / doses
    litres = each_kg / chosen.kg_per_litre if chosen.kg_per_litre else 0.0
    return Doses(product=product, each_kg=each_kg, each_litres=litres, doses_each=doses)


def after_overflow_ppm(now_ppm: N, rain_m3: float, volume_m3: float) -> N:
    """Concentration after rain that mixes and overflows [ppm]: ``c exp(-Vr / V)``. Rain brings nothing in.

    Raises
    ------
    OutsideValidRange
        A negative or huge argument.

    Source: dose_chart; the balance of mass is arithmetic.

    >>> f"{after_overflow_ppm(3200.0, 3.058, 75.708):.0f}"
    '3073'
    """
    _require_water(now_ppm, volume_m3)
    require_range(rain_m3, name="rain_m3", low=0, high=5000, unit="m3", source="dose_chart")
    return as_given(now_ppm * np.exp(-rain_m3 / volume_m3), now_ppm)


def after_refill_ppm(now_ppm: N, replaced_m3: float, volume_m3: float, *, fresh_ppm: float = 0.0) -> N:
    """Concentration after some water is drained and replaced [ppm]: ``c (1 - x) + fresh x``; rain refills with 0.

    Raises
    ------
    OutsideValidRange
        More replaced than there is, or another argument outside its range.

    Source: dose_chart; the balance of mass is arithmetic.

    >>> after_refill_ppm(90.0, 20.0, 50.0, fresh_ppm=10.0)
    58.0
    """
    _require_water(now_ppm, volume_m3)
    require_range(replaced_m3, name="replaced_m3", low=0, high=volume_m3, unit="m3", source="dose_chart")
    require_range(fresh_ppm, name="fresh_ppm", low=0, high=50_000, unit="ppm", source="dose_chart")
    share = replaced_m3 / volume_m3
    return as_given(now_ppm * (1 - share) + fresh_ppm * share, now_ppm)


def share_to_replace(now_ppm: float, wanted_ppm: float, *, fresh_ppm: float = 0.0) -> float:
    """Share of the water to drain and replace to bring a concentration down: ``(c0 - c1) / (c0 - fresh)``.

    Raises
    ------
    CannotDo
        ``chemistry.cannot_dilute`` unless the wanted value lies between now and fresh water.

    Source: dose_chart; the balance of mass is arithmetic.

    >>> share_to_replace(90.0, 50.0, fresh_ppm=10.0)
    0.5
    """
    if not fresh_ppm <= wanted_ppm <= now_ppm or (fresh_ppm == now_ppm and wanted_ppm != now_ppm):
        raise CannotDo(
            "chemistry.cannot_dilute",
            field="wanted_ppm",
            fresh=f"{fresh_ppm:g}",
            now=f"{now_ppm:g}",
            wanted=f"{wanted_ppm:g}",
        )
    return 0.0 if now_ppm == wanted_ppm else (now_ppm - wanted_ppm) / (now_ppm - fresh_ppm)


def saturation_index(
    ph: N,
    water_temp_c: N,
    calcium_ppm: N,
    alkalinity_ppm: N,
    *,
    stabiliser_ppm: float = 0.0,
    dissolved_ppm: float = 500.0,
    by_table: bool = False,
) -> N:
    """Saturation index of pool water: below -0.3 it corrodes, above 0.3 it scales.

    Parameters
    ----------
    ph : float or array
        6.0 to 9.0.
    water_temp_c : float or array
        Water [degC], 0 to 53.3 (32 to 128 degF).
    calcium_ppm, alkalinity_ppm : float or array
        As calcium carbonate [ppm], 5 to 1000.
    stabiliser_ppm : float
        Cyanuric acid [ppm], 0 to 300; a third of it is taken off the alkalinity.
    dissolved_ppm : float
        Total dissolved solids [ppm], 0 to 10,000; the constant is 12.2 from 1000 ppm, so for salt pools, else 12.1.
    by_table : bool
        Factors interpolated in the printed table instead of ``log10(CH) - 0.4`` and ``log10(TA)``.

    Returns
    -------
    float or array
        ``pH + TF + CF + AF - 12.1``.

    Raises
    ------
    OutsideValidRange
        An argument outside its range, or alkalinity below 5 ppm after the stabiliser.

    Source: pool_index, langelier.

    >>> f"{saturation_index(7.0, 28.9, 300.0, 25.0):.1f}"
    '-0.9'
    """
    carbonate_ppm = as_given(alkalinity_ppm - stabiliser_ppm / 3, alkalinity_ppm)
    for name, value, low, high, unit in (
        ("ph", ph, 6.0, 9.0, ""),
        ("water_temp_c", water_temp_c, 0.0, c_from_f(128.0), "degC"),
        ("calcium_ppm", calcium_ppm, 5.0, 1000.0, "ppm"),
        ("stabiliser_ppm", stabiliser_ppm, 0.0, 300.0, "ppm"),
        ("alkalinity_ppm", carbonate_ppm, 5.0, 1000.0, "ppm"),
        ("dissolved_ppm", dissolved_ppm, 0.0, 10_000.0, "ppm"),
    ):
        require_range(value, name=name, low=low, high=high, unit=unit, source="pool_index")
    temp_f = np.asarray(water_temp_c, dtype=float) * 1.8 + 32
    heat = np.interp(temp_f, *_columns(TEMPERATURE_FACTOR))
    if by_table:
        ppm, factors = _columns(HARDNESS_FACTOR)
        hardness = np.interp(np.log10(calcium_ppm), np.log10(ppm), factors)
        ppm, factors = _columns(ALKALINITY_FACTOR)
        alkaline = np.interp(np.log10(carbonate_ppm), np.log10(ppm), factors)
    else:
        hardness, alkaline = np.log10(calcium_ppm) - 0.4, np.log10(carbonate_ppm)
    return as_given(ph + heat + hardness + alkaline - (12.2 if dissolved_ppm >= SALTY_FROM_PPM else 12.1), ph)


def langelier_index(ph: N, water_temp_c: N, calcium_ppm: N, alkalinity_ppm: N, *, dissolved_ppm: float) -> N:
    """Saturation index in its industrial form, ``pH - pHs``.

    Parameters
    ----------
    ph, water_temp_c, calcium_ppm, alkalinity_ppm : float or array
        As ``saturation_index``; water up to 90 degC.
    dissolved_ppm : float
        Total dissolved solids [ppm], 10 to 10,000.

    Returns
    -------
    float or array
        ``pHs = 9.3 + A + B - C - D``; ``A = (log10 TDS - 1) / 10``, ``B = 34.55 - 13.12 log10(T + 273)``,
        ``C = log10 Ca - 0.4``, ``D = log10 alkalinity``.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: langelier.

    >>> f"{langelier_index(7.5, 25.0, 150.0, 34.0, dissolved_ppm=320.0):.1f}"
    '-0.7'
    """
    for name, value, low, high, unit in (
        ("ph", ph, 6.0, 9.5, ""),
        ("water_temp_c", water_temp_c, 0.0, 90.0, "degC"),
        ("calcium_ppm", calcium_ppm, 5.0, 1000.0, "ppm"),
        ("alkalinity_ppm", alkalinity_ppm, 5.0, 1000.0, "ppm"),
        ("dissolved_ppm", dissolved_ppm, 10.0, 10_000.0, "ppm"),
    ):
        require_range(value, name=name, low=low, high=high, unit=unit, source="langelier")
    a, b = (math.log10(dissolved_ppm) - 1) / 10, 34.55 - 13.12 * np.log10(np.asarray(water_temp_c) + 273.0)
    return as_given(ph - (9.3 + a + b - (np.log10(calcium_ppm) - 0.4) - np.log10(alkalinity_ppm)), ph)


def balance(index: float, *, within: float = 0.3) -> Balance:
    """What an index says: balanced within 0.3 (ideal) or 0.5 (acceptable) of zero. Source: pool_index.

    >>> balance(-0.92), balance(0.18)
    ('corrosive', 'balanced')
    """
    if index < -within:
        return "corrosive"
    return "scaling" if index > within else "balanced"


def _columns(rows: tuple[tuple[float, float], ...]) -> tuple[Array, Array]:
    first, second = np.array(rows, dtype=float).T
    return first, second


def _require_water(now_ppm: N, volume_m3: float) -> None:
    require_range(now_ppm, name="now_ppm", low=0, high=50_000, unit="ppm", source="dose_chart")
    require_range(volume_m3, name="volume_m3", low=0.1, high=5000, unit="m3", source="dose_chart")
