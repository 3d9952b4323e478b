"""Sentences of messages: how people are reached, the channels, and what becomes of a message."""

WORDS: dict[str, tuple[str, str]] = {
    "reach.line_break": (
        "{field} of a message or person holds a line break or a control character.",
        "Enter it on one line.",
    ),
    "reach.too_long": ("{field} is {length} characters long.", "Keep it to {longest} characters."),
    "reach.empty": ("{field} of a message is empty.", "Fill it in."),
    "reach.bad_mail": (
        "“{value}” is no e-mail address.",
        "Enter one such as office@example.org, in plain letters.",
    ),
    "reach.bad_number": (
        "“{value}” is no number that a text message can reach.",
        "Enter it with + and the country, such as +1 609 555 0123.",
    ),
    "outbox.nowhere": (
        "{name} has no e-mail address and no number for text messages.",
        "Enter one, then send again; until then call.",
    ),
    "outbox.off": ("{channel} is off: {says}", "{remedy}"),
    "outbox.too_old": (
        "Not sent within {days} days. {why}",
        "Say it yourself if it still matters, or send again.",
    ),
    "outbox.worker_lost": (
        "Each of {attempts} attempts broke off half-way.",
        "Look into the log of the service, then send again.",
    ),
    "outbox.unknown_message": ("This branch has no such message that could be sent again.", "Look at the list again."),
    "channels.mail_off": (
        "No mail server is set.",
        "Set PLANNER_MAIL_URL and PLANNER_MAIL_FROM, and start the service anew.",
    ),
    "channels.no_sender": (
        "PLANNER_MAIL_FROM is empty: nobody is named as the sender.",
        "Set it to the office's address, such as Pool office <office@example.org>.",
    ),
    "channels.bad_setting": ("{setting} cannot be used: {why}.", "Correct it as the example of settings shows."),
    "channels.text_off": (
        "No gateway for text messages is set.",
        "Set PLANNER_TEXT_URL and PLANNER_TEXT_BODY, and start the service anew.",
    ),
    "channels.webhook_off": (
        "No web address is set to be told of messages.",
        "Set PLANNER_WEBHOOK_URL and PLANNER_WEBHOOK_SECRET, and start the service anew.",
    ),
    "channels.refused": (
        "{who} refused the message for good: {answer}",
        "Correct the address, then send again; until then call.",
    ),
    "channels.sign_in_refused": (
        "{who} refused the sign-in: {answer}",
        "Correct user and password in PLANNER_MAIL_URL, and start the service anew.",
    ),
    "channels.not_now": ("{who} did not take the message: {answer}", "It is tried again."),
    "channels.unreachable": ("{who} cannot be reached: {why}", "It is tried again."),
    "channels.timeout": ("{who} did not answer within {seconds} seconds.", "It is tried again."),
    "channels.bad_url": (
        "{setting} is no web address that may be used: {why}.",
        "Enter one that begins with https://.",
    ),
    "channels.inside_address": (
        "{host} leads to {address}, an address inside a network.",
        "Enter a public address, or allow inside addresses with PLANNER_SEND_INSIDE=yes.",
    ),
    "letters.unknown_field": (
        "The letter names “{name}” in braces, which is none of its fields.",
        "Use only these: {known}.",
    ),
    "letters.field_missing": (
        "The letter does not say {{{name}}}, without which nobody knows what is meant.",
        "Put {{{name}}} into the text.",
    ),
    "letters.no_mail": (
        "{name} has no e-mail address.",
        "Enter it with the supplier, or call {phone}.",
    ),
    "letters.not_wanted": (
        "That call is no longer on the list: the plan or the booking has changed.",
        "Look at the list again.",
    ),
    "letters.nobody": ("Nobody is entered to call for {kind}.", "Enter the supplier or authority first."),
}
