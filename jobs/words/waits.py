"""Sentences of waits: how long, and what it was reckoned from."""

WORDS: dict[str, tuple[str, str]] = {
    "water.rain": ("{fell} of rain on the water since {since}, {coming} more forecast until {until}.", ""),
    "water.unknown": ("Of {unknown} hours since then nobody knows the rain.", "Ask the site."),
    "water.refilled": (
        "Filled up again {at} from {level} of water: {share} percent of it is fresh and brought no salt.",
        "",
    ),
    "water.salt": (
        "Salted to {from} ppm, it stands at about {now} ppm now and at {then} ppm after that rain, all of it taken to"
        " run over.",
        "",
    ),
    "water.tested": (
        "Tested at {from} ppm {since}, it stands at about {now} ppm now and at {then} ppm after the rain that is"
        " forecast, all rain taken to run over.",
        "",
    ),
    "water.low": (
        "That is under the {least} ppm a cell is run at.",
        "Cell off; after the rain test, then add {salt} of salt for {aimed} ppm, or what the test asks for.",
    ),
    "water.enough": (
        "That is enough for the cell.",
        "After the rain test; {salt} of salt bring it back to {aimed} ppm.",
    ),
    "water.plenty": ("That is no less than the {aimed} ppm that are aimed at.", "Add no salt."),
    "water.test": (
        "Alkalinity, calcium and stabiliser lose the same {lost} percent.",
        "Test them a day after the rain ends and again a week later; the test and the label decide.",
    ),
    "water.test_refill": (
        "Alkalinity, calcium and stabiliser lose the same {lost} percent, less what the fill water brings; chlorine"
        " falls with them.",
        "Test the fill water; test the pool when its pump has run for a day, and again a week later. The test and the"
        " label decide.",
    ),
    "water.stabiliser": (
        "Of the {full} ppm of stabiliser it was started with, about {left} ppm are left by that.",
        "If the test agrees, {dose} of it bring that back.",
    ),
    "wall_pour.past_light": (
        "The wall pour takes {hours} h, limited by the {limited_by}; the longest working light until the promised date"
        " is {light} h. {would}",
        "Start earlier where there is light, order more trucks, use a stiffer form, or pour in two parts with a"
        " construction joint approved by the engineer.",
    ),
    "wall_pour.waits_for_light": (
        "The wall pour takes {hours} h, limited by the {limited_by}; until {on} the longest working light is {light} h,"
        " so it waits for that day. {would}",
        "To pour sooner start earlier where there is light, order more trucks, use a stiffer form, or pour in two parts"
        " with a construction joint approved by the engineer.",
    ),
    "wall_pour.with_trucks": ("With {trucks} trucks going round it would take {hours:.1f} h.", ""),
    "wall_pour.with_forms": (
        "With forms rated for {lb_ft2:.0f} lb/ft2 ({kpa:.0f} kPa) it would take {hours:.1f} h.",
        "",
    ),
    "wall_pour.past_close": (
        "The wall pour takes {hours} h, limited by the {limited_by}: begun when the day opens at {opens} it ends at"
        " {ends}, and the day closes at {closes}.",
        "Plan longer days, order more trucks, use a stiffer form, or pour in two parts with a construction joint"
        " approved by the engineer.",
    ),
    "waits.warm_day": (
        "Starts {least:g} to {most:g} h after it, with about {temp_us:.0f} °F ({temp:.0f} °C) on that day: from {from}"
        " until {until}: {why}.",
        "",
    ),
    "waits.cold_day": (
        "Starts {least:g} to {most:g} h after it, as that day's {temp_us:.0f} °F ({temp:.0f} °C) is under"
        " {limit_us:.0f} °F ({limit:.0f} °C): from {from} until {until}: {why}.",
        "",
    ),
    "waits.no_evening": (
        "{job}: {after} has to start {least:g} to {most:g} h after {before}, but on a warm day the site's and the"
        " office's hours leave no time for that by {until}. The plan lets it wait {longest:g} h.",
        "Cut with an early-entry saw within 1 to 4 h of finishing or tool the joints in the fresh concrete; common"
        " practice, no source, the saw's maker and the engineer decide.",
    ),
    "waits.strength": ("Waits for {requirement}: {why}.", ""),
    "waits.strength_forecast": (
        "Computed from the forecast: {hours:.0f} h at about {temp_us:.0f} °F ({temp:.0f} °C).",
        "",
    ),
    "waits.strength_part": (
        "Computed from the forecast and, where it does not reach, the usual weather of the month: {hours:.0f} h at"
        " about {temp_us:.0f} °F ({temp:.0f} °C).",
        "",
    ),
    "waits.strength_usual": (
        "Computed from the usual weather of the month: {hours:.0f} h at about {temp_us:.0f} °F ({temp:.0f} °C).",
        "",
    ),
    "waits.strength_probe": (
        "Computed from the probe, last {probe_us:.0f} °F ({probe:.0f} °C) {probe_age:.0f} h after the pour:"
        " {hours:.0f} h at about {temp_us:.0f} °F ({temp:.0f} °C).",
        "",
    ),
    "waits.strength_test": (
        "By the strength test, {measured:.0f} % of the specified strength {test_age:.0f} h after the pour:"
        " {hours:.0f} h from the end of the pour.",
        "",
    ),
    "waits.strength_floor": ("Never under {floor:g} h.", ""),
    "waits.strength_cold": (
        "In {hours:.0f} h at these temperatures it is not reached: keep the concrete warm, or ask the engineer.",
        "",
    ),
    "waits.fixed_no_air": ("Fixed {hours:g} h: no temperature known.", ""),
    "waits.fixed_no_pour": ("Fixed {hours:g} h: {before} is no pour the formulas know.", ""),
    "waits.fixed_outside": ("Fixed {hours:g} h: {says}", ""),
    "waits.too_weak": ("{says} {remedy} The plan counts on {hours:.0f} h.", ""),
    "waits.drying": ("Waits for {requirement}: {why}.", ""),
    "waits.drying_forecast": ("Computed from the forecast: dry after {hours:.0f} h.", ""),
    "waits.drying_unknown": ("Fixed {hours:g} h: the forecast does not show it dry.", ""),
    "waits.ground_wet": (
        "Computed from rain measured and forecast: dry {hours:.0f} h after that work ({soil}).",
        "",
    ),
    "waits.dry_before": (
        "That work ended so long ago that only the last days of weather count.",
        "",
    ),
    "waits.ground_dry": ("By rain measured and forecast the ground is dry ({soil}); {hours:.0f} h at least.", ""),
}
