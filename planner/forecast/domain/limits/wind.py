"""Wind near the ground among houses, from the wind a forecast states at 10 m over open ground.

A hand anemometer at the work says more; the forecast's own grid smooths hills, valleys and streets.
"""

import math

from jobs.science.ranges import require_range

FORECAST_HEIGHT_M = 10.0
# Open ground with short grass, for which forecasts and airports state wind (wmo_8).
OPEN_ROUGHNESS_M = 0.03
# "Rough": scattered obstacles. Gardens among houses are taken for rougher still, 0.5 to 1 m: this is the careful end.
GARDEN_ROUGHNESS_M = 0.25
# At this height wind no longer depends on what stands on the ground nearby (wmo_8).
BLENDING_HEIGHT_M = 60.0


def garden_share(height_m: float, *, roughness_m: float = GARDEN_ROUGHNESS_M) -> float:
    """Mean wind at a height in a garden as a share of the forecast's at 10 m over open ground.

    Parameters
    ----------
    height_m : float
        Height over the ground [m], 1 to 10, above the roughness.
    roughness_m : float
        Roughness length of what stands around [m], 0.03 (open grass) to 0.5 (houses and trees).

    Returns
    -------
    float
        ``ln(60 / 0.03) / ln(10 / 0.03) x ln(z / z0) / ln(60 / z0)``: up to the blending height over open ground, and
        down again over the rough.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: wmo_8.

    >>> round(garden_share(2.0), 3), round(garden_share(10.0, roughness_m=0.03), 3)
    (0.496, 1.0)
    """
    require_range(height_m, name="height_m", low=1, high=10, unit="m", source="wmo_8")
    require_range(roughness_m, name="roughness_m", low=0.03, high=0.5, unit="m", source="wmo_8")
    up = math.log(BLENDING_HEIGHT_M / OPEN_ROUGHNESS_M) / math.log(FORECAST_HEIGHT_M / OPEN_ROUGHNESS_M)
    return up * math.log(height_m / roughness_m) / math.log(BLENDING_HEIGHT_M / roughness_m)


def grass_share(height_m: float) -> float:
    """Wind at a height over short grass as a share of that at 10 m; for gusts, which houses break little.

    Parameters
    ----------
    height_m : float
        Height over the ground [m], 1 to 10.

    Returns
    -------
    float
        ``ln(67.8 z - 5.42) / ln(67.8 x 10 - 5.42)``.

    Raises
    ------
    OutsideValidRange
        A height outside its range.

    Source: fao_56; that a gust is as strong in a garden: common practice, no source.

    >>> round(grass_share(2.0), 3)
    0.748
    """
    require_range(height_m, name="height_m", low=1, high=10, unit="m", source="fao_56")
    return math.log(67.8 * height_m - 5.42) / math.log(67.8 * FORECAST_HEIGHT_M - 5.42)
