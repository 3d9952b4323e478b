"""Sentences of forecasts: what a weather service did, and what to do."""

_LATER = "The last good forecast stays in use with its age shown; it is asked again by itself."
_REPORT = "The last good forecast stays in use. If it goes on for a day, tell whoever looks after this service."

WORDS: dict[str, tuple[str, str]] = {
    "forecast.bad_place": (
        "The {field} {value} is not on the map.",
        "Enter degrees between -{limit} and {limit}; west and south are negative.",
    ),
    "forecast.bad_csv": (
        "The weather file {path}, line {line}: {field} is {value}.",
        "Correct the line or take it out; an unknown value is left empty.",
    ),
    "forecast.no_recorded_weather": (
        "The recorded weather covers {from_on} to {until_on}, not {as_of}.",
        "Choose a day inside that span.",
    ),
    "forecast.unknown_key": (
        "{key} is not the key of a map cell of this weather source.",
        "Use a key such as {example}, or look the site's place up again.",
    ),
    "forecast.outside_coverage": (
        "The US weather service has no forecast for {place}.",
        "Check the site's latitude and longitude; outside the United States another source is needed.",
    ),
    "forecast.marine": (
        "The weather service counts this site as open water and gives no land forecast for it.",
        "Move the site's pin a little inland.",
    ),
    "forecast.no_user_agent": (
        "The weather service answers only to a caller that says who it is.",
        "Set PLANNER_USER_AGENT to a name with an e-mail address or web page.",
    ),
    "forecast.timeout": ("The weather service at {url} took too long to answer.", _LATER),
    "forecast.unreachable": ("The weather service at {url} could not be reached.", _LATER),
    "forecast.too_large": ("The reply from {url} is larger than {limit} bytes and was not read.", _REPORT),
    "forecast.truncated": ("The reply from {url} broke off before its end.", _LATER),
    "forecast.empty": ("The reply from {url} is empty.", _LATER),
    "forecast.refused_html": (
        "{url} answered {status} with a web page instead of data: it refuses us for now.",
        "Wait; if it goes on, check that PLANNER_USER_AGENT names you and ask less often.",
    ),
    "forecast.wrong_type": ("The reply from {url} is of type {content_type}, not JSON.", _REPORT),
    "forecast.not_json": ("The reply from {url} is not a readable JSON object.", _LATER),
    "forecast.http_status": ("The weather service at {url} answered with status {status}.", _LATER),
    "forecast.throttled": ("The weather service at {url} says we ask too often.", _LATER),
    "forecast.grid_expired": ("The weather office behind {url} has not sent a current forecast.", _LATER),
    "forecast.grid_moved": (
        "The weather service no longer knows the map cell {url}.",
        "The site's cell is looked up again; if that fails too, check the site's place.",
    ),
    "forecast.other_host": (
        "The weather service sent a link to {url}, which is not on {base_url}; it was not followed.",
        "Check PLANNER_NWS_URL.",
    ),
    "forecast.bad_time": ("The forecast's {field} is not a usable time: {text}.", _REPORT),
    "forecast.bad_value": ("The forecast's {field} is not what the service documents: {value}.", _REPORT),
    "forecast.unknown_unit": ("The forecast's {field} is in {unit}; known are {known}.", _REPORT),
    "forecast.out_of_range": (
        "The forecast's {field} says {value}, outside {low} to {high}: the whole reply was set aside.",
        _REPORT,
    ),
    "forecast.no_values": ("The {source} forecast has no value we use.", _LATER),
    "forecast.no_future": (
        "The {source} forecast issued {issued_at} knows {known} hours to come; {least} are needed.",
        _LATER,
    ),
    "forecast.busy": (
        "{host} is asked for one thing after another, and the request before this one does not end.",
        "Nothing is needed: it is asked again with the next turn.",
    ),
    "forecast.paused": (
        "{host} refused us or is asked too often; it is left alone until {until:%H:%M} UTC.",
        "Wait; if it goes on, check that PLANNER_USER_AGENT names you.",
    ),
    "forecast.no_such_place": (
        "{source} has no forecast for {place}.",
        "Check the site's latitude and longitude.",
    ),
    "forecast.refused": ("{source} answered {status}: {reason}", _LATER),
    "forecast.nothing_behind": (
        "{url} says nothing is new, but the forecast it means is no longer kept.",
        "It is asked for whole next time.",
    ),
}
