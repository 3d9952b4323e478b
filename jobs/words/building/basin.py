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
    "design.no_water": (
        "No source of the fill water brings any.",
        "Give the flow of the hose, or sources with a flow and hours in which they run.",
    ),
    "design.form_too_low": (
        "A form {form} m high does not reach from the shallow floor to the water, {shallow} m above it.",
        "Enter a form height of at least the shallow depth.",
    ),
    "design.reuse_too_large": (
        "{reused} m³ of the dig is to be used again, but only {excavation} m³ is dug.",
        "Enter at most what is dug.",
    ),
    "shapes.station_inside_out": (
        "At the station {x} m along, the left side lies to the right of the right side.",
        "Measure both sides from the centre line, left to the left, right to the right.",
    ),
    "shapes.station_slopes": (
        "At the station {x} m along, the floor between its side slopes does not lie inside the water line.",
        "Enter the feet of the side slopes inside the water line, the left one left of the right one.",
    ),
    "shapes.too_few_stations": (
        "{count} stations make no pool.",
        "Enter at least two stations: the first and the last of the length.",
    ),
    "shapes.stations_out_of_order": (
        "Station {number} lies at {x} m, before the one ahead of it at {before} m.",
        "Enter the stations in order from the shallow end.",
    ),
    "shapes.step_changes_width": (
        "Two stations at {x} m make a step in the floor, but their widths differ or their sides slope.",
        "Give both the same upright sides, or set them a little apart.",
    ),
    "shapes.no_area": (
        "These stations enclose no water.",
        "Enter widths above 0, and a first and a last station that are not at one place.",
    ),
    "shapes.section_ends": (
        "The long section does not run from 0 to {length} m.",
        "Enter its first point at 0 and its last at the length of the pool.",
    ),
    "shapes.section_order": (
        "A point of the long section lies at {x} m, the one ahead of it at {before} m.",
        "Enter the points in order from the shallow end, a millimetre or more apart, or two at one place for a step.",
    ),
    "shapes.stadium_too_wide": (
        "A pool {width} m wide and {length} m long has no room for half-round ends.",
        "Enter a length of at least the width.",
    ),
    "shapes.kidney_too_short": (
        "Two lobes do not fit into {length} m: their radii take {least} m.",
        "Enter a greater length or smaller lobes.",
    ),
    "shapes.kidney_waist": (
        "The waist would be drawn in by {waist} m, which makes no kidney.",
        "Enter how far the waist is drawn in from the drawing, 0 or more, or measure the pool at stations.",
    ),
    "shapes.deep_side": (
        "'{value}' is not a side of the plan.",
        "Choose one of: {sides}.",
    ),
    "shapes.fittings_of_part": (
        "A part of the pool has fittings of its own.",
        "Enter fittings for the whole pool, each with its height above the deepest floor.",
    ),
    "shapes.no_parts": (
        "The pool has no parts.",
        "Enter at least one rectangle.",
    ),
    "shapes.parts_apart": (
        "The parts do not make one water line: some do not touch along a side, or they enclose an island.",
        "Move the parts until each touches or overlaps another along a side; plan an island by hand.",
    ),
    "shapes.leg_outside": (
        "The leg begins {at} m along the main part and runs past its end.",
        "Enter a place from 0 to {most} m.",
    ),
    "shapes.solid_flat": (
        "The {kind} stands at {foot} m and ends at {top} m; it has no height.",
        "Enter a top above the floor it stands on.",
    ),
    "shapes.solid_above_coping": (
        "The {kind} reaches {top} m above the deepest floor, but the coping is at {coping} m.",
        "Enter a top of at most {coping} m.",
    ),
    "shapes.solids_too_large": (
        "At {level} m benches, ledges and stairs take {taken} m², but the pool has only {room} m² there.",
        "Make them smaller, or check the floor they stand on.",
    ),
    "shapes.stair_counts": (
        "A stair of {treads} treads with {sides} sides against a wall cannot be built.",
        "Enter 1 tread or more, and 0, 1 or 2 sides against a wall.",
    ),
    "shapes.ends_on_wall": (
        "{ends} ends against a wall is not possible.",
        "Enter 0, 1 or 2.",
    ),
    "shapes.unknown_shape": (
        "'{shape}' is not a shape of pool.",
        "Choose one of: {shapes}.",
    ),
    "shapes.bad_entry": (
        "The {shape} pool cannot be read: {reason}.",
        "Name the values of the basin as its shape has them, each a number in metres.",
    ),
    "shapes.bad_form": (
        "The stored form of the {shape} pool cannot be read: {reason}.",
        "Enter the shape again.",
    ),
    "order.no_costs": (
        "Running short costs nothing and throwing away costs nothing, so any order is as good as another.",
        "Enter what a cubic metre short, or one too many, costs the office.",
    ),
    "order.most_below_least": (
        "The most that may be needed ({most}) is below the least ({least}).",
        "Swap the two, or enter the most again.",
    ),
    "order.bad_buying": (
        "'{name}' is nothing the order list is reckoned with.",
        "Name sizes and prices as: {known}.",
    ),
    "order.no_pump": (
        "Nothing known reaches {reach} feet and places {rate} cubic yards an hour; the longest line reaches {most} "
        "feet, the fastest boom places {fastest} yards.",
        "Bring the trucks nearer, pour slower, or ask the pump hire for two pumps.",
    ),
    "order.unknown_bar": (
        "'{size}' is not a size of bar.",
        "Choose one of: {known}.",
    ),
    "order.lap_too_long": (
        "A lap of {lap} m is no shorter than a bar of {stock} m.",
        "Enter a shorter lap or longer bars.",
    ),
    "order.unknown_finish": (
        "'{finish}' is not a way to make a shell.",
        "Choose one of: {known}.",
    ),
    "takeoff.stop_too_low": (
        "The {kind} must be cut before the water is {least} m over the shallow floor, where it holds the liner.",
        "Raise the lower flange of the {kind} to {flange} m or more above the deepest floor.",
    ),
    "setting.no_admixture": (
        "'{given}' is nothing the set is known to change by.",
        "Choose one of: {known}.",
    ),
    "setting.hours_negative": (
        "The hours until rain is harmless are {value}, which is no length of time.",
        "Enter the hours at 21 °C as a number of 0 or more.",
    ),
}
