"""When a value counts as near its limit, and how much better a forecast must get before a verdict eases."""

from datetime import timedelta

from jobs.science.evaporation import CRACKING_POSSIBLE_KG_M2_H, PRECAUTIONS_KG_M2_H

# Starts and states are watched this far ahead; beyond it the skill of a forecast fades.
WATCHED = timedelta(hours=72)

# Below this share of known hours a start is unknown, unless a known value already forbids it.
KNOWN_SHARE = 0.5

# As likely to be hit as not: prepared for, whether or not a measure pays. Common practice, no source.
LIKELY = 0.5

# The chance of one window changes from run to run with a spread of 9 to 15 points (measured on one site's
# forecasts, 2026). A verdict eases only when the chance has fallen by the upper end of that, or by half where the
# chance is small: a chance near nought changes little.
CHANCE_NOISE = 0.15

# A value this near its limit is prepared for. Common practice, no source; one to three days ahead a temperature
# forecast is out by about 2 degrees (from memory).
AIR_MARGIN_C = 2.0
WIND_MARGIN = 0.2
THUNDER_MARGIN = 0.15
# A verdict that stands keeps a margin this much wider, and counts a limit as reached inside this share of it.
HELD_MARGIN = 1.5
HELD_REACHED = 0.5

# Precautions against drying from 1.0 kg/m2/h (aci_305); from half of it on a face that stays in view.
DRYING_LIMIT_KG_M2_H = PRECAUTIONS_KG_M2_H
VISIBLE_FACE_KG_M2_H = CRACKING_POSSIBLE_KG_M2_H
VISIBLE_FACES = frozenset({"deck_pour"})

# Strenuous work is rearranged from a heat index of 103 degF, and water, shade and breaks are due from 91 (osha_heat).
HEAT_INDEX_LIMIT_C = (103 - 32) / 1.8
HEAT_INDEX_NEAR_C = (91 - 32) / 1.8

# Moving looks for the best of this many later working days.
LATER_WORKING_DAYS = 5

# A state is protected where the chance of its rain reaches this. Common practice, no source: a cover costs about a
# seventh of what it saves.
STATE_NEAR_CHANCE = 0.15
