"""Sentences of water: drying, filling and its chemistry."""

WORDS: dict[str, tuple[str, str]] = {
    "drying.not_dry": (
        "The surface does not dry, and stay dry for {dry_for} hours, in the {hours} hours that are known.",
        "Blow it dry under a cover, or wait for a longer forecast.",
    ),
    "drying.no_soil": (
        "'{given}' is no soil with a known wait after rain ({known}).",
        "Choose one of these; for mixed ground take the slower.",
    ),
    "filling.not_reached": (
        "The water stands at {level} m after {hours} hours and does not reach {wanted} m.",
        "Add a hose or a tanker, plan more hours, or read the level and time the fill again.",
    ),
    "filling.reading_outside": (
        "The level reading at hour {hour} lies outside the {hours} hours of this fill.",
        "Enter the hours since the fill was started.",
    ),
    "filling.reading_shows_no_flow": (
        "The level reading shows that no water was added in {hours} hours.",
        "Check hose, tap and float; read the level again before timing the fill.",
    ),
    "filling.unknown_source": (
        "'{kind}' is no kind of water source that is known ({known}).",
        "Choose one of these; a source that comes load by load has load_m3 instead.",
    ),
    "filling.bad_source": (
        "A source of the fill water cannot be read: {says}.",
        "Give kind, flow_m3_h, from_h and until_h; for tankers load_m3, loads_each, from_h and every_h.",
    ),
    "filling.none_while_attended": (
        "No water comes between {opens} and {closes}, when somebody is there to watch it.",
        "Give a source that runs in working hours, or correct the hours of those given.",
    ),
    "filling.steps_differ": (
        "The fill has {steps} steps, {what} is given for {given}.",
        "Give one value a step for each.",
    ),
    "chemistry.no_product": (
        "'{given}' is no product with a known dose ({known}).",
        "Choose one of these, or follow the label.",
    ),
    "chemistry.wrong_way": (
        "{product} does not {direction} the {target}.",
        "Choose a product that does; salt, hardness and stabiliser come down only by draining and refilling.",
    ),
    "chemistry.cannot_dilute": (
        "Fresh water with {fresh} ppm cannot bring {now} ppm to {wanted} ppm.",
        "Refill from another source, or accept a value between the two.",
    ),
    "chemistry.no_carbonate": (
        "Stabiliser alone makes up an alkalinity of {alkalinity} ppm, so nothing holds the pH.",
        "Raise the alkalinity first, test again, then dose for the pH.",
    ),
    "chemistry.half_first": (
        "A dose for the pH is true within half of itself.",
        "Give half of the first dose, let it circulate, test, then give what the test still asks for.",
    ),
    "chemistry.never_mix": (
        "Never mix products, and never put water into acid or product into the same scoop.",
        "Dose one product at a time into the pool with the pump running; the label governs.",
    ),
    "chemistry.retest": (
        "Each dose circulates before the next.",
        "Let the pump run for four hours, test again, and dose only what the test still asks for.",
    ),
}
