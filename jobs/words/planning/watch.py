"""Words of the watch: steps of its arithmetic, states at risk with what protects them, limits."""

WORDS: dict[str, tuple[str, str]] = {
    "watch.line.chance": ("chance of being hit before rain-safe", ""),
    "watch.line.loss": ("loss if hit", ""),
    "watch.line.expected": ("expected loss of going as it is", ""),
    "watch.line.measure": ("prepare: {title}", ""),
    "watch.line.chance_left": ("chance of being hit with that prepared", ""),
    "watch.line.expected_left": ("expected loss with that prepared", ""),
    "watch.line.going": ("going, in all", ""),
    "watch.line.fee": ("fee of {supplier}", ""),
    "watch.line.days": ("days later", ""),
    "watch.line.told": ("telling people again", ""),
    "watch.line.late": ("lateness of {job}, days of it: {days}", ""),
    "watch.line.later_weather": ("expected loss on the later day, prepared where that pays", ""),
    "watch.line.moving": ("moving, in all", ""),
    "watch.line.fell": ("rain measured in the last 24 hours", ""),
    "watch.line.floats_above": ("ground water over the shell's floor that can lift a bare 6-inch slab", ""),
    "watch.line.unattended": ("hours of flow with nobody there", ""),
    "watch.line.days_old": ("age of the concrete", ""),
    "watch.limit.air_min_c": ("coldest air", ""),
    "watch.limit.air_max_c": ("hottest air", ""),
    "watch.limit.wind_max_m_s": ("wind", ""),
    "watch.limit.gust_max_m_s": ("gusts", ""),
    "watch.limit.thunder": ("chance of thunder", ""),
    "watch.limit.rain_stop": ("rain rate that stops it", ""),
    "watch.limit.rain_before": ("rain before the start", ""),
    "watch.limit.rain_during": ("rain during the work", ""),
    "watch.limit.rain_after": ("rain until it is safe", ""),
    "watch.limit.ground": ("ground still wet", ""),
    "watch.limit.evaporation_kg_m2_h": ("drying of the fresh face", ""),
    "watch.limit.heat_index_c": ("heat index in shade", ""),
    "watch.limit.surface_min_c": ("coldest surface", ""),
    "watch.limit.surface_max_c": ("hottest surface", ""),
    "watch.limit.frost_c": ("frost", ""),
    "watch.limit.rain_total": ("rain by the forecast", ""),
    "watch.limit.fell": ("rain that has fallen", ""),
    "watch.state.open_dig": (
        "Open dig.",
        "Berm the edge, set the pump and its hose, keep spoil back. After any rain a competent person looks again "
        "before anybody goes in.",
    ),
    "watch.state.unbraced_forms": (
        "Empty forms without braces.",
        "Brace them before leaving, or tie them down and keep people out of their fall.",
    ),
    "watch.state.braced_forms": (
        "Braced empty forms.",
        "Check every brace and its foot, add the second line where wind is near its limit; the form maker governs.",
    ),
    "watch.state.fresh_concrete": (
        "Concrete not yet rain-safe.",
        "Frames and sheet at hand, somebody to close them; keep sheet off the face.",
    ),
    "watch.state.young_concrete": (
        "Young concrete inside its protection days.",
        "Blankets on, edges weighted, before the air falls; no salts to thaw. The engineer says how long they stay.",
    ),
    "watch.state.empty_shell": (
        "Empty shell over ground water.",
        "Sump and relief open, pump ready, look at the water in the sump after heavy rain; the engineer decides on "
        "a high water table.",
    ),
    "watch.state.bare_basin": (
        "Clean bare basin waiting for its liner.",
        "Cover it, or plan to pump, wash and dry it again before glue.",
    ),
    "watch.state.open_foam": (
        "Foam open to the sky.",
        "Cover the whole basin, edges weighted, blower ready; wet foam is lifted and dried.",
    ),
    "watch.state.unattended_fill": (
        "Water running with nobody there.",
        "Float or timer stop set below the next fitting, fence shut, a named person on call; else shut it off.",
    ),
    "watch.defers": (
        "These are estimates from a forecast. Local code, the engineer, the maker and licensed people decide.",
        "",
    ),
}
