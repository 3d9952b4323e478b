"""Sentences of crews: working time, daylight, travel, head count, bookings."""

WORDS: dict[str, tuple[str, str]] = {
    "crews.unknown_zone": (
        "{key}: '{zone}' is not a time zone.",
        "Enter a zone as city and region, for example America/New_York.",
    ),
    "crews.no_hours": (
        "{key} has no working hours on any day.",
        "Enter opening and closing hours for at least one weekday, or for one date.",
    ),
    "crews.hours_backwards": (
        "{day}: the day opens at {opens} but closes at {closes}.",
        "Enter a closing hour later than the opening hour on the same day; 00:00 as closing hour means midnight.",
    ),
    "crews.hours_twice": (
        "{key}: {on} is given twice in the changed hours.",
        "Keep one line for that date.",
    ),
    "crews.day_off_with_hours": (
        "{key}: {on} is a day off and has changed hours as well.",
        "Remove the day off, or remove the changed hours.",
    ),
    "crews.closed_on": (
        "{key} does not work on {on}.",
        "Choose a working day, or enter changed hours for that date.",
    ),
    "crews.no_working_day": (
        "{key} has no working day between {from_on} and {until_on}.",
        "Enter working hours for that time, or shorten the time off.",
    ),
    "crews.span_backwards": (
        "{key}: the end {until_at} lies before the start {from_at}.",
        "Give the earlier moment first.",
    ),
    "crews.negative_minutes": (
        "{key}: {minutes} working minutes cannot be added.",
        "Enter a number of minutes of zero or more.",
    ),
    "crews.unknown_holidays": (
        "There is no holiday list for country '{country}', part '{subdivision}'.",
        "Enter the two letters of the country and of the state, for example US and NJ.",
    ),
    "crews.bad_place": (
        "{name} is {value} degrees; it must lie between {low} and {high}.",
        "Enter the position in decimal degrees, west and south negative.",
    ),
    "crews.no_sunrise": (
        "On {on} the sun does not both rise and set at {latitude_deg}, {longitude_deg}.",
        "Switch the daylight limit off for this site, or choose another date.",
    ),
    "crews.bad_travel_number": (
        "{name} is {value}; it must be {rule}.",
        "Correct {name} in the branch's travel settings.",
    ),
    "crews.trip_twice": (
        "The trip from {from_key} to {to_key} is given twice in the travel table.",
        "Keep one line for that trip.",
    ),
    "bookings.no_supplier": (
        "{branch} has nobody entered to call for {kind}.",
        "Enter the supplier or authority with its number first.",
    ),
    "bookings.other_branch": ("That task belongs to another branch.", "Choose a task of this branch."),
    "bookings.wrong_kind": ("{title} needs no booking of the kind {kind}.", "Choose one of those offered."),
    "bookings.bad_day": ("“{value}” is no day.", "Enter the day of the visit, such as 2026-06-11."),
    "bookings.none_live": (
        "Nothing of the kind {kind} is booked for {title}.",
        "Enter the booking first, or choose the task the delivery was for.",
    ),
    "crews.other_branch": ("{crew} belongs to another branch.", "Choose a crew of this branch."),
    "crews.head_count_range": (
        "{crew} has {size} people; {value} cannot be right.",
        "Enter how many come, from 0 to {size}.",
    ),
}
