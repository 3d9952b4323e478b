"""Products and doses in words, as every dose is said."""

from jobs.domain.units import M3_PER_GALLON, lb_from_kg
from jobs.science.chemistry import Doses
from planner.calculators.answering.answer import amount

LITRES_PER_GALLON = 1000 * M3_PER_GALLON
FLUID_OUNCES = 128.0
NAMES = {
    "salt": "Salt",
    "sodium_bicarbonate": "Sodium bicarbonate",
    "soda_ash": "Soda ash",
    "muriatic_acid_31": "Muriatic acid, 31.45 %",
    "dry_acid_93": "Dry acid (bisulphate), 93 %",
    "calcium_chloride": "Calcium chloride, anhydrous",
    "calcium_chloride_94": "Calcium chloride, 94 %",
    "calcium_chloride_77": "Calcium chloride, 77 %",
    "cyanuric_acid": "Cyanuric acid (stabiliser)",
    "calcium_hypochlorite_65": "Calcium hypochlorite, 65 %",
    "calcium_hypochlorite_73": "Calcium hypochlorite, 73 %",
    "dichlor_56": "Dichlor, 56 %",
    "trichlor_90": "Trichlor, 90 %",
    "bleach_12": "Bleach, 12.5 %",
    "bleach_10": "Bleach, 10 %",
    "bleach_6": "Bleach, 6 %",
    "sodium_sulphite": "Sodium sulphite (takes chlorine out)",
}


def dose_words(doses: Doses, times: float) -> str:
    """So many times one dose, in pounds or ounces, gallons or fluid ounces."""
    if not doses.each_litres:
        pounds = lb_from_kg(doses.each_kg) * times
        return f"{amount(pounds, 1 if pounds < 100 else 0)} lb" if pounds >= 1 else f"{amount(16 * pounds, 1)} oz"
    gallons = doses.each_litres * times / LITRES_PER_GALLON
    return f"{amount(gallons, 2)} gal" if gallons >= 1 else f"{amount(FLUID_OUNCES * gallons, 1)} fl oz"
