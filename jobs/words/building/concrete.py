"""Sentences of concrete: strength, temperature, forms and the wall pour."""

WORDS: dict[str, tuple[str, str]] = {
    "design.unknown_cement": (
        "'{cement}' is no strength class of cement.",
        "Take it from the mix design: R for rapid, N for normal, S for slow.",
    ),
    "strength.not_reached": (
        "{percent} % of the 28-day strength is not reached in the {hours} hours of concrete temperature that are known;"
        " it stands at {reached} % then.",
        "Keep the concrete warmer, wait for a longer forecast, or break a test specimen.",
    ),
    "strength.unknown_hour": (
        "The concrete temperature of hour {hour} is unknown, so its strength from then on is unknown too.",
        "Fill the gap from the probe's record, or wait the fixed hours of the build method.",
    ),
    "strength.test_outside": (
        "The strength test at {age} hours lies outside the {hours} hours of concrete temperature that are known.",
        "Enter the hours from placing to the test, or add the temperatures up to it.",
    ),
    "strength.too_weak": (
        "A test showed {measured} % of the 28-day strength after {hours} hours; concrete so far behind may never reach"
        " {percent} %.",
        "Test again, and ask the engineer before anything is loaded on it.",
    ),
    "temperature.lengths": (
        "There are {given} probe readings for {needed} hour marks.",
        "Give one value for each hour mark, the first at placing, and leave unknown marks empty.",
    ),
    "cold.protection_by_test": (
        "Concrete that takes its full load has no table of days: its protection ends by strength tests.",
        "Protect until a test, or the strength computed from probe readings, shows the strength the engineer asks for.",
    ),
    "cold.no_such_case": (
        "'{given}' is not in the table of the {what} ({known}).",
        "Choose one of these.",
    ),
    "formwork.no_cement": (
        "'{given}' is no cement the form pressure knows ({known}).",
        "Take the cement from the mix design and choose one of these.",
    ),
    "formwork.form_too_weak": (
        "The forms are rated for {rated} kPa ({rated_psf} psf); at this temperature and height concrete presses with"
        " {least} kPa ({least_psf} psf) even when it rises slowly.",
        "Use a stiffer form, add bracing the form maker rates, or ask the engineer for a lower wall lift.",
    ),
    "wall_pour.cold_joint": (
        "A pass of {lift_m} m takes {pass_minutes} minutes, but each pass must be covered within {limit_minutes}"
        " minutes at this concrete temperature.",
        "Order more trucks or a faster pump, cool the mix, or agree a construction joint with the engineer.",
    ),
    "wall_pour.load_too_old": (
        "Even the smallest load of {load_m3} m³ is {age_minutes} minutes old when it is placed;"
        " the limit is {limit_minutes} minutes.",
        "Take a nearer plant, raise the placing rate, or agree a longer limit and a retarder with the producer.",
    ),
    "wall_pour.past_dark": (
        "The wall pour would end at {ends}, after dark at {dark}: it takes {hours} hours, limited by the {limited_by}.",
        "Start by {start_by}, order more trucks, use a stiffer form, or pour in two parts with a construction joint"
        " approved by the engineer.",
    ),
    "wall_pour.dark_before_start": (
        "The wall pour would start at {start}, after dark at {dark}.",
        "Start in daylight.",
    ),
    "wall_pour.not_positive": (
        "The {what} is {value}, outside 0 to {high}.",
        "Check the unit of the {what} and its decimal point; it must be above 0.",
    ),
    "wall_pour.no_zone": (
        "The {what} of the wall pour names no time zone.",
        "Give the moment with its zone.",
    ),
}
