"""Every source the product relies on, once, by key.

``from_memory`` marks a value recalled and not yet checked against the document: it needs the document before it
becomes a hard limit. Pages of sellers are not named; they are a "published table, commercial page".
"""

from dataclasses import dataclass

COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Author, year, title and the table, equation or page used."""

    author: str
    year: int | None
    title: str
    where: str
    from_memory: bool = False


def _seen(author: str, year: int | None, title: str, where: str) -> Source:
    return Source(author=author, year=year, title=title, where=where)


def _recalled(author: str, year: int | None, title: str, where: str) -> Source:
    return Source(author=author, year=year, title=title, where=where, from_memory=True)


CONCRETE: dict[str, Source] = {
    "psu_setting": _seen(
        "Pennsylvania State University, Civil Engineering",
        None,
        "CE 584 course library, admixtures",
        "Table 1, setting time by temperature",
    ),
    "astm_c403": _recalled(
        "ASTM", 2016, "C403 Time of setting by penetration resistance", "initial 3.5, final 27.6 MPa"
    ),
    "astm_c494": _recalled("ASTM", 2019, "C494 Chemical admixtures for concrete", "table 1, types B to E"),
    "astm_c94": _seen("ASTM", 2021, "C94 Ready-mixed concrete", "time limit of delivery; ninety minutes before 2021"),
    "astm_c1074": _recalled(
        "ASTM", 2019, "C1074 Estimating concrete strength by the maturity method", "equations 1, 2"
    ),
    "carino_1984": _seen(
        "Carino", 1984, "The maturity method: theory and application", "Cement, Conc. and Agg. 6(2) 61-73"
    ),
    "fhp_1977": _recalled(
        "Freiesleben Hansen and Pedersen", 1977, "Maturity computer for controlled curing", "eq. of Ea"
    ),
    "sadgrove_1975": _recalled("Sadgrove", 1975, "Freezing of concrete at an early age", "equivalent age law"),
    "mc90": _seen("CEB-FIP", 1993, "Model Code 1990", "section 2.1.8, 4000 K"),
    "ec2": _seen("CEN", 2004, "EN 1992-1-1 Eurocode 2", "3.1.2(6), annex B.10"),
    "en13670": _recalled(
        "CEN", 2009, "EN 13670 Execution of concrete structures", "annex F curing tables; 5 MPa before frost"
    ),
    "aci_209": _recalled(
        "ACI", 1992, "209R-92 Prediction of creep, shrinkage and temperature effects", "eq. 2-1, table 2.2.1"
    ),
    "plowman": _recalled(
        "Plowman; Neville", 1956, "Maturity and the strength of concrete", "percent of 28-day strength"
    ),
    "menzel_1954": _seen(
        "Menzel", 1954, "Causes and prevention of crack development in plastic concrete", "evaporation equation"
    ),
    "lerch_1957": _recalled("Lerch", 1957, "Plastic shrinkage", "ACI Journal 53, 797-802, table"),
    "uno_1998": _seen(
        "Uno", 1998, "Plastic shrinkage cracking and evaporation formulas", "ACI Materials J. 95(4) 365-375"
    ),
    "hover_2006": _seen(
        "Hover", 2006, "Evaporation of water from concrete surfaces", "ACI Materials J. 103(5) 384-389"
    ),
    "hover_2020": _seen("Hover", 2020, "Paper in ACI SP-338", "10-28: estimates good to about 40 %"),
    "aci_301": _recalled("ACI", 2020, "301 Specifications for concrete construction", "rain, discharge temperature"),
    "aci_302": _seen("ACI", 2015, "302.1R Concrete floor and slab construction", "condition of the base"),
    "aci_305": _seen("ACI", 2020, "305R Guide to hot weather concreting", "1.0 kg/m2/h; 35 °C at discharge"),
    "aci_306": _seen(
        "ACI", 2016, "306R Guide to cold weather concreting", "definition; temperature table, thin sections"
    ),
    "aci_306_protection": _recalled(
        "ACI", 2016, "306R Guide to cold weather concreting", "protection days; thick sections"
    ),
    "aci_308": _recalled("ACI", 2016, "308R Guide to external curing of concrete", "curing durations"),
    "aci_318": _recalled("ACI", 2019, "318 Building code requirements for structural concrete", "26.5.3.2"),
    "aci_347": _recalled(
        "ACI", 2014, "347R-14 Guide to formwork for concrete", "wall pressure equations, limits, Cw, Cc"
    ),
    "aci_347_strip": _seen("ACI", 2014, "347R-14 Guide to formwork for concrete", "form removal, 12 h for walls"),
    "hurd_pressure": _seen("Hurd", None, "Use updated wall pressure formulas", "regimes of rate and height"),
    "ciria_108": _recalled("CIRIA", 1985, "Report 108 Concrete pressure on formwork", "design equation"),
    "ufgs_rain": _seen("US Department of Defense", None, "UFGS 03 30 00 and 03 31 00", "protect from rain 12 h"),
    "ufgs_cold": _seen("US Department of Defense", None, "UFGS 03 30 00", "cooling after protection: 5 °F/h, 50 °F/d"),
    "ufgs_cure_film": _recalled(
        "US Department of Defense", None, "UFGS 03 39 00", "spray again after heavy rain in 3 h"
    ),
    "nrmca_cip8": _recalled("NRMCA", None, "CIP 8 Concrete yield", "order 4 to 10 % over"),
    "shotcrete_assoc": _seen(
        "American Shotcrete Association", None, "Questions and answers on pools", "7 d wet cure; 40 °F"
    ),
    "yard_coverage": _seen(
        "published table, commercial page", None, "Area covered by one cubic yard", "324 / thickness in inches"
    ),
    "hud_icf": _seen(
        "HUD, PCA, NAHB", 2002, "Prescriptive method for insulating concrete forms, 2nd ed.", "wall weights"
    ),
}

WATER_AND_GROUND: dict[str, Source] = {
    "kern_pool_sizing": _seen("Kern County Public Health", None, "Pool sizing and formulas", "worked rectangle"),
    "soil_swell": Source(
        author="handbook range",
        year=None,
        title="Earthmoving swell factors",
        where="loose for bank volume",
        from_memory=True,
    ),
    "carrier": _seen(
        "Smith, Löf and Jones", 1998, "Rates of evaporation from swimming pools", "ASHRAE Trans. 104, 4146"
    ),
    "hazen_williams": _recalled("Williams and Hazen", 1905, "Hydraulic tables", "head loss equation, psi form"),
    "wsu_hose": _seen(
        "Washington State University Extension", None, "Flow of garden hoses", "3/4 in by 100 ft, 18 gpm"
    ),
    "usual_flows": _seen("published table, commercial page", None, "Time to fill a pool", "hydrant, tanker"),
    "astm_d4263": _recalled("ASTM", 2018, "D4263 Moisture in concrete by the plastic sheet", "16 h"),
    "fhwa_fp155": _seen("FHWA Federal Lands", None, "FP section 155", "rain day 0.10 in; drying day after 1.00 in"),
    "langelier": _recalled("Langelier", 1936, "The analytical control of anti-corrosion water treatment", "index"),
    "pool_index": _seen(
        "Haan and Johanningsmeier; Kent County Health Dept.", None, "Pool operator manual", "saturation index table"
    ),
    "atomic_weights": _recalled("IUPAC", 2021, "Standard atomic weights", "abridged to five digits"),
    "stumm_morgan": _recalled("Stumm and Morgan", 1996, "Aquatic chemistry, 3rd ed.", "carbonate constants at 25 °C"),
    "obrien_cyanuric": _recalled("O'Brien, Morris and Butler", 1974, "Equilibria of chlorinated isocyanurates", "6.88"),
    "dose_chart": _seen("published table, commercial page", None, "Pool chemical dose chart", "per 10,000 gallons"),
    "phta_11": _recalled("ANSI/PHTA", 2019, "11 Water quality in pools and spas", "bands of pH, alkalinity, hardness"),
    "phta_5": _recalled("ANSI/PHTA", 2011, "5 Residential inground pools", "turnover 12 h"),
}

WEATHER: dict[str, Source] = {
    "nws_heat_index": _seen("Rothfusz, NWS", 1990, "SR 90-23 The heat index equation", "regression and adjustments"),
    "nws_wind_chill": _seen("NWS", 2001, "Wind chill temperature index", "equation and table"),
    "msc_wind_chill": _seen(
        "Meteorological Service of Canada", None, "Wind chill hazards", "table: risk and minutes to frostbite"
    ),
    "ams_rain": _seen("American Meteorological Society", None, "Glossary: rain", "light, moderate, heavy"),
    "ams_pop": _seen("American Meteorological Society", None, "Glossary: probability of precipitation", "definition"),
    "alduchov_1996": _recalled(
        "Alduchov and Eskridge", 1996, "Improved Magnus form approximation", "610.94, 17.625, 243.04"
    ),
    "crc_vapour": _seen("CRC Handbook", None, "Vapour pressure of water", "0 to 40 °C"),
    "stull_2011": _recalled("Stull", 2011, "Wet-bulb temperature from relative humidity and air temperature", "eq. 1"),
    "fao_56": _recalled("FAO", 1998, "Irrigation and drainage paper 56", "wind height eq. 47; saturation pressure"),
    "wmo_8": _recalled(
        "WMO", 2018, "Guide to instruments and methods of observation, no. 8", "wind profile, roughness"
    ),
    "osha_heat": _seen("OSHA", None, "Heat index bands of outdoor work", "103 °F"),
    "noaa_lightning": _seen("OSHA and NOAA", 2016, "Lightning safety when working outdoors", "30 min after the last"),
}

LAW: dict[str, Source] = {
    "osha_650": _seen("OSHA", None, "29 CFR 1926.650-652 Excavations", "daily and after rain; sloping table"),
    "osha_701": _recalled("OSHA", None, "29 CFR 1926.701-703 Concrete", "formwork, pump hose, rebar guards"),
    "irc_404": _recalled("ICC", 2021, "International residential code", "R404.1.7 backfill placement"),
    "ispsc": _recalled("ICC", 2021, "International swimming pool and spa code", "305 barrier; 25 psi pipe test"),
    "nec_680": _seen("NFPA", 2023, "National electrical code", "article 680, 680.26"),
    "tms_602": _seen("TMS", 2016, "602 Specification for masonry structures", "cold and hot weather"),
    "ansi_a108": _recalled("ANSI", None, "A108 Installation of ceramic tile", "50 to 100 °F"),
    "astm_d2855": _recalled("ASTM", None, "D2855 Solvent-cement joints", "40 to 110 °F"),
}

SOURCES: dict[str, Source] = {**CONCRETE, **WATER_AND_GROUND, **WEATHER, **LAW}
