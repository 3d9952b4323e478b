"""Sentences of formulas, quantities and calculators."""

WORDS: dict[str, tuple[str, str]] = {
    "science.outside_range": (
        "{name} is {value} {unit}, outside the range {low} to {high} {unit} of the formula ({source}).",
        "Enter a value inside that range, or ask someone licensed for a figure from another source.",
    ),
    "calculator.unknown": (
        "'{given}' is no calculator.",
        "Choose one of: {known}.",
    ),
    "calculator.no_such_input": (
        "'{given}' is nothing this calculator asks for.",
        "It asks for: {known}.",
    ),
    "calculator.missing": (
        "{label} is missing.",
        "Enter it, for example {sample}.",
    ),
    "calculator.not_a_number": (
        "{label} is '{given}', which is not a number.",
        "Enter a number with or without its unit, for example {sample}.",
    ),
    "calculator.wrong_unit": (
        "{label} is given in '{given}', which is no unit of {kind}.",
        "Use {known}, for example {sample}.",
    ),
    "calculator.no_unit": (
        "{label} is given in '{given}', but it is a plain number.",
        "Enter it without a unit, for example {sample}.",
    ),
    "calculator.negative": (
        "{label} is {value}, less than nothing.",
        "Enter {allowed}.",
    ),
    "calculator.not_whole": (
        "{label} is {value}, which is not a whole number.",
        "Enter a whole number.",
    ),
    "calculator.no_such_choice": (
        "{label} is '{given}', which is not one of its choices.",
        "Choose one of: {known}.",
    ),
    "calculator.deep_above_shallow": (
        "The deepest water ({deep}) is less than the water at the shallow end ({shallow}).",
        "Enter a deepest depth of at least the shallow depth, or swap the two.",
    ),
    "calculator.parts_too_long": (
        "The parts of the floor add up to {parts}, but the pool is {length} long.",
        "Shorten the level floors or the back slope.",
    ),
    "calculator.no_main_slope": (
        "The floor drops from {shallow} to {deep} of water, but its other parts leave no length for the main slope.",
        "Shorten the level floors or the back slope.",
    ),
    "calculator.side_slopes_too_wide": (
        "Two side slopes of {side} leave no deep floor in a pool {width} wide.",
        "Enter side slopes of less than half the width.",
    ),
    "calculator.slopes_without_drop": (
        "Both depths are the same, yet a {label} of {slope} is given.",
        "Enter 0 for the {label}, or a greater deepest depth.",
    ),
    "calculator.side_slopes_of_curves": (
        "Side slopes are given for a round outline, whose floor is taken level across the pool.",
        "Enter 0 for the side slope, or measure the pool at stations.",
    ),
    "calculator.wider_than_long": (
        "The pool is wider than it is long.",
        "Give the longer side as its length.",
    ),
    "calculator.leg_outside": (
        "The leg begins {at} along the main part and is {width} wide, but that part is only {length} long.",
        "Let the leg begin nearer the shallow end, or make it narrower.",
    ),
    "calculator.kidney_too_short": (
        "Two lobes do not fit into {length}: their radii alone take {least}.",
        "Enter a greater length or narrower lobes.",
    ),
    "calculator.kidney_waist": (
        "A waist drawn in by {waist} makes no kidney.",
        "Read from the drawing how far the waist is drawn in, or measure the pool at stations.",
    ),
    "calculator.stations_out_of_order": (
        "Station {number} lies at {at}, before the one ahead of it at {before}.",
        "Give the stations in order from the shallow end.",
    ),
    "calculator.step_changes_width": (
        "Two stations at {at} make a step in the floor, but their widths differ or their sides slope.",
        "Give both the same upright sides, or set them a little apart.",
    ),
    "calculator.station_floor": (
        "At the station {at} along, the floor is {floor} wide but the water line only {width}.",
        "Enter a floor no wider than the water line, or leave it out where the sides are upright.",
    ),
    "calculator.no_water": (
        "These stations enclose no water.",
        "Enter widths above 0, and a first and a last station at least a foot apart.",
    ),
    "calculator.ledge_too_deep": (
        "There is {over} of water over the ledge, but the shallow floor it stands on is only {shallow} deep.",
        "Enter less water over the ledge.",
    ),
    "calculator.built_too_large": (
        "Ledges and stairs take {taken} ft², but the pool has only {room} ft² there.",
        "Make them smaller, or check the sizes.",
    ),
    "calculator.level_above_coping": (
        "The water level is {level}, but the coping is {coping} above the deepest floor.",
        "Enter a level between 0 and {coping}.",
    ),
    "calculator.already_full": (
        "The water stands at {level} already; the pool is full at {full}.",
        "Enter the level above the deepest point of the floor.",
    ),
    "calculator.no_flow": (
        "How fast the water comes is missing.",
        "Enter the flow, or bucket and seconds, or inside diameter, length and tap pressure of the hose.",
    ),
    "calculator.no_source": (
        "No source of water is given.",
        "Enter a row of hoses and hydrants, or of tanker loads.",
    ),
    "calculator.flow_twice": (
        "The flow is given in more than one way ({ways}).",
        "Leave one and empty the others; a bucket and a watch beat every table.",
    ),
    "calculator.flow_in_part": (
        "The {way} is given only in part: {missing} is missing.",
        "Enter it too, or give the flow itself.",
    ),
    "calculator.fills_never": (
        "At this flow the pool is not full after {days} days: sun and wind take {lost} of the {flow} that come in.",
        "Add a hose or a tanker.",
    ),
    "calculator.plaster_runs_through": (
        "The water would run {hours} h a day, but a fill on plaster must not stop.",
        "Enter 24 h, or choose a liner.",
    ),
    "calculator.read_too_late": (
        "The level was read after {hours} h, but the pool was planned to be full within {planned} h.",
        "Enter the hours from the start of the fill, or start a new fill from the level that was read.",
    ),
    "calculator.needs_too": (
        "{label} is missing: {why}.",
        "Enter it, for example {sample}.",
    ),
    "calculator.wall_past_dark": (
        "The pour takes {hours}, but there are only {light} of light: it is limited by the {limited_by}.",
        "Start earlier, send more trucks, use a stiffer form or a faster pump, or pour in two parts with a construction"
        " joint approved by the engineer.",
    ),
    "calculator.wall_cold_joint": (
        "A pass of {lift} takes {minutes} minutes, but at this temperature each pass must be covered within {limit}.",
        "Send more trucks or a faster pump, cool the mix, or agree a construction joint with the engineer.",
    ),
    "calculator.wall_load_too_old": (
        "Even a load of one cubic yard is {age} minutes old when it is placed; the limit is {limit} minutes.",
        "Take a nearer plant, place faster, or agree a longer limit and a retarder with the producer.",
    ),
    "calculator.warmest_below_coldest": (
        "The warmest air ({warmest}) is colder than the coldest ({coldest}).",
        "Swap the two, or enter a warmest temperature of at least the coldest.",
    ),
    "calculator.spacing_too_wide": (
        "The spacing of {spacing} is more than the {width} the bars cover.",
        "Enter a closer spacing, or check its unit.",
    ),
    "calculator.kept_more_than_dug": (
        "{kept} yd³ would be kept for backfill, but only {dug} yd³ are dug.",
        "Enter no more than is dug; soil from elsewhere is bought.",
    ),
    "calculator.wall_below_water": (
        "A wall {wall} high would stand below the water, {water} over the shallow floor.",
        "Enter the height from the shallow floor to the top of the wall, or leave it empty.",
    ),
    "calculator.row_numbers": (
        "{label}, row {number}: '{row}' has {given} numbers where {wanted} are asked: {columns}.",
        "Put commas between the numbers and each row on a line, or semicolons between rows: {sample}.",
    ),
    "calculator.row_count": (
        "{label}: {given} rows are given, outside {least} to {most}.",
        "Give each row on a line, or put semicolons between rows: {sample}.",
    ),
    "calculator.no_measure": (
        "Nothing is listed against {trouble} for this work: {work}.",
        "Choose another trouble, or ask for the whole table.",
    ),
    "calculator.which_trouble": (
        "A chance is given, but not of which trouble.",
        "Choose what threatens the work, or leave the chance empty.",
    ),
    "calculator.one_question": (
        "{label} is missing.",
        "Enter {one} or {other}.",
    ),
}
