"""Doses that move the pH of pool water, from the balance of its carbonate and its stabiliser.

What is needed depends on both, and water loses gas while it is dosed: a dose is true within half of itself, so half
of it goes first and the water is tested. A balance at 25 °C in fresh water; salt moves its constants a little.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from jobs.domain.errors import CannotDo
from jobs.domain.units import KG_PER_LB, M3_PER_GALLON
from jobs.science.chemistry import BISULPHATE, CALCIUM_CARBONATE, CAUTIONS, HYDROCHLORIC_ACID, SODA_ASH, Doses
from jobs.science.ranges import require_range

# Acidity constants of carbonic acid and of cyanuric acid, and of water, at 25 °C (stumm_morgan, obrien_cyanuric).
PK_CARBONIC, PK_BICARBONATE, PK_CYANURIC, PK_WATER = 6.35, 10.33, 6.88, 14.0
CYANURIC_ACID = 129.07
LITRES_PER_M3 = 1000.0

LOWEST_PH, HIGHEST_PH = 6.8, 8.4
CHART_M3 = 10_000.0 * M3_PER_GALLON
KG_PER_OUNCE = KG_PER_LB / 16
LITRES_PER_FLUID_OUNCE = LITRES_PER_M3 * M3_PER_GALLON / 128


@dataclass(frozen=True, slots=True, kw_only=True)
class PhProduct:
    """A product that moves the pH.

    Attributes
    ----------
    kg_per_mol : of the product as sold, for a mole of acid, or of soda ash.
    kg_per_litre : density of a liquid; 0 for a solid.
    most_kg_m3 : largest single dose, the largest of the published chart.
    """

    raises: bool
    kg_per_mol: float
    most_kg_m3: float
    kg_per_litre: float = 0.0


PH_PRODUCTS: Mapping[str, PhProduct] = {
    "soda_ash": PhProduct(raises=True, kg_per_mol=SODA_ASH / 1000, most_kg_m3=12 * KG_PER_OUNCE / CHART_M3),
    "muriatic_acid_31": PhProduct(
        raises=False,
        kg_per_mol=HYDROCHLORIC_ACID / 1000 / 0.3145,
        most_kg_m3=24 * LITRES_PER_FLUID_OUNCE * 1.16 / CHART_M3,
        kg_per_litre=1.16,
    ),
    "dry_acid_93": PhProduct(
        raises=False, kg_per_mol=BISULPHATE / 1000 / 0.932, most_kg_m3=30 * KG_PER_OUNCE / CHART_M3
    ),
}


def ph_dose(
    product: str, *, now_ph: float, wanted_ph: float, alkalinity_ppm: float, stabiliser_ppm: float, volume_m3: float
) -> Doses:
    """How much of a product moves the pH of a volume of water.

    Parameters
    ----------
    product : str
        Key of ``PH_PRODUCTS``.
    now_ph, wanted_ph : float
        Tested and wanted, 6.8 to 8.4.
    alkalinity_ppm : float
        Total alkalinity as calcium carbonate [ppm], 20 to 300; the stabiliser's share is in it, as a test reads it.
    stabiliser_ppm : float
        Cyanuric acid [ppm], 0 to 300.
    volume_m3 : float
        Water [m3], 0.1 to 5000.

    Returns
    -------
    Doses
        ``alkalinity = Ct (a1 + 2 a2) + Cy ay + [OH] - [H]``; an acid takes alkalinity and leaves Ct, a mole of soda
        ash adds two of alkalinity and one of Ct. In equal doses, none larger than the largest of the chart.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.
    CannotDo
        ``chemistry.no_product``; ``chemistry.wrong_way`` where the product moves the pH the other way;
        ``chemistry.no_carbonate`` where the stabiliser alone makes up the alkalinity.

    Source: stumm_morgan, obrien_cyanuric, atomic_weights; largest single doses: dose_chart.

    >>> found = ph_dose("muriatic_acid_31", now_ph=7.8, wanted_ph=7.6, alkalinity_ppm=120.0, stabiliser_ppm=50.0,
    ...     volume_m3=37.854118)
    >>> round(found.each_litres / 0.0295735, 1), found.doses_each
    (8.1, 1)
    """
    if product not in PH_PRODUCTS:
        raise CannotDo("chemistry.no_product", field="product", given=product, known=", ".join(PH_PRODUCTS))
    chosen = PH_PRODUCTS[product]
    for name, value, low, high, unit in (
        ("now_ph", now_ph, LOWEST_PH, HIGHEST_PH, ""),
        ("wanted_ph", wanted_ph, LOWEST_PH, HIGHEST_PH, ""),
        ("alkalinity_ppm", alkalinity_ppm, 20.0, 300.0, "ppm"),
        ("stabiliser_ppm", stabiliser_ppm, 0.0, 300.0, "ppm"),
        ("volume_m3", volume_m3, 0.1, 5000.0, "m3"),
    ):
        require_range(value, name=name, low=low, high=high, unit=unit, source="dose_chart")
    change = wanted_ph - now_ph
    if change and (change > 0) != chosen.raises:
        raise CannotDo(
            "chemistry.wrong_way",
            field="product",
            product=product.replace("_", " ").capitalize(),
            direction="raise" if change > 0 else "lower",
            target="pH",
        )
    # Floating point may leave a hair below nothing where the water stands as it is wanted.
    mol_per_litre = max(0.0, _mol_per_litre(now_ph, wanted_ph, alkalinity_ppm, stabiliser_ppm, raises=chosen.raises))
    total_kg = mol_per_litre * LITRES_PER_M3 * volume_m3 * chosen.kg_per_mol
    count = max(1, math.ceil(total_kg / (chosen.most_kg_m3 * volume_m3) - 1e-9))
    litres = total_kg / chosen.kg_per_litre / count if chosen.kg_per_litre else 0.0
    return Doses(
        product=product,
        each_kg=total_kg / count,
        each_litres=litres,
        doses_each=count,
        cautions=("chemistry.half_first", *CAUTIONS),
    )


def _mol_per_litre(
    now_ph: float, wanted_ph: float, alkalinity_ppm: float, stabiliser_ppm: float, *, raises: bool
) -> float:
    """Moles of acid, or of soda ash, for a litre of water."""
    alkalinity = alkalinity_ppm / (CALCIUM_CARBONATE / 2 * 1000)
    stabiliser = stabiliser_ppm / (CYANURIC_ACID * 1000)
    share, other = _shares(now_ph, stabiliser)
    carbonate = (alkalinity - other) / share
    if carbonate <= 0:
        raise CannotDo("chemistry.no_carbonate", field="alkalinity_ppm", alkalinity=f"{alkalinity_ppm:g}")
    share, other = _shares(wanted_ph, stabiliser)
    lacks = carbonate * share + other - alkalinity
    # Soda ash brings two of alkalinity and one of carbonate, which itself counts for ``share``.
    return lacks / (2 - share) if raises else -lacks


def _shares(ph: float, stabiliser: float) -> tuple[float, float]:
    """Alkalinity of a mole of carbonate, and of everything else in a litre, at a pH."""
    acid, first, second = 10.0**-ph, 10.0**-PK_CARBONIC, 10.0**-PK_BICARBONATE
    whole = acid * acid + first * acid + first * second
    share = (first * acid + 2 * first * second) / whole
    cyanuric = 10.0**-PK_CYANURIC
    return share, stabiliser * cyanuric / (cyanuric + acid) + 10.0**-PK_WATER / acid - acid
