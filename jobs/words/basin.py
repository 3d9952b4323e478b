"""Sentences of pool geometry, the design of a pool and its take-off."""

WORDS: dict[str, tuple[str, str]] = {
    "basin.not_a_number": (
        "The {what} is '{value}', which is not a number.",
        "Enter the {what} as a number.",
    ),
    "basin.negative": (
        "The {what} is {amount}, less than nothing.",
        "Enter a {what} of 0 or more.",
    ),
    "basin.not_positive": (
        "The {what} is {amount}; with that there is no pool.",
        "Enter a {what} above 0.",
    ),
    "basin.too_large": (
        "The {what} is {amount}, more than {limit}.",
        "Check the unit (feet entered as metres?) and the decimal point of the {what}.",
    ),
    "basin.deep_above_shallow": (
        "The deep end ({deep} m of water) is shallower than the shallow end ({shallow} m).",
        "Enter a deep depth of at least the shallow depth, or swap the two.",
    ),
    "basin.no_slope": (
        "The floor drops from {shallow} m to {deep} m without a main slope.",
        "Enter the length of the main slope, or make both depths the same.",
    ),
    "basin.lengths_do_not_add_up": (
        "Shallow floor, main slope, deep floor and back slope add up to {total} m, but the pool is {length} m long.",
        "Change one of the four lengths, or the length of the pool, by {difference} m.",
    ),
    "basin.side_slopes_too_wide": (
        "Two side slopes of {side} m leave no deep floor in a pool {width} m wide.",
        "Enter side slopes of less than half the width of the pool.",
    ),
    "basin.slopes_without_drop": (
        "The floor is level at {depth} m, yet a {what} of {value} m is given.",
        "Enter 0 for the {what}, or a deep depth greater than the shallow depth.",
    ),
    "basin.unknown_fitting": (
        "'{kind}' is not a kind of fitting.",
        "Choose one of: {kinds}.",
    ),
    "basin.fitting_above_coping": (
        "The {kind} sits {flange} m above the deepest floor, but the coping is at {coping} m.",
        "Enter the height of its lower flange above the deepest point of the floor, at most {coping} m.",
    ),
    "basin.level_outside": (
        "The water level {level} m lies outside the basin, which reaches from 0 to {coping} m above its deepest floor.",
        "Enter a level between 0 and {coping} m.",
    ),
    "basin.volume_outside": (
        "{volume} m³ of water does not fit: the basin holds 0 to {most} m³ up to the coping.",
        "Enter a volume between 0 and {most} m³, or check the depths of the pool.",
    ),
    "basin.too_shallow_for_usual_fittings": (
        "The usual heights of fittings need {least} m of water or more at the shallow end; this pool has {shallow} m.",
        "Enter the height of each fitting's lower flange.",
    ),
    "design.core_too_thick": (
        "A concrete core of {core} m does not fit into a form {form} m thick.",
        "Enter a core thinner than the form, or a thicker form.",
    ),
    "design.unknown_soil": (
        "'{soil}' is not a soil the take-off knows.",
        "Choose sand, loam or clay.",
    ),
    "design.form_too_low": (
        "A form {form} m high does not reach from the shallow floor to the water, {shallow} m above it.",
        "Enter a form height of at least the shallow depth.",
    ),
    "design.reuse_too_large": (
        "{reused} m³ of the dig is to be used again, but only {excavation} m³ is dug.",
        "Enter at most what is dug.",
    ),
    "takeoff.stop_too_low": (
        "The {kind} must be cut before the water is {least} m over the shallow floor, where it holds the liner.",
        "Raise the lower flange of the {kind} to {flange} m or more above the deepest floor.",
    ),
    "setting.hours_negative": (
        "The hours until rain is harmless are {value}, which is no length of time.",
        "Enter the hours at 21 °C as a number of 0 or more.",
    ),
}
