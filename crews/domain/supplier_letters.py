"""Letters to suppliers and authorities, in the office's own words or in ours: plain text with a few named fields."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from jobs.domain.errors import CannotDo

LetterKind = Literal["ask", "move", "call_off"]
FIELDS = ("supplier", "company", "what", "pool", "address", "day", "booked", "phone")
# The field a letter makes no sense without.
NEEDED: Mapping[str, tuple[str, ...]] = {
    "ask": ("what", "day"),
    "move": ("what", "day", "booked"),
    "call_off": ("what", "booked"),
}
NAMED = re.compile(r"\{([^{}]*)\}")

OURS: Mapping[str, str] = {
    "ask": (
        "{supplier},\n\n"
        "we ask for: {what}\n"
        "Day: {day}\n"
        "Where: {address} ({pool})\n\n"
        "Please answer whether that day holds, by mail or at {phone}.\n\n"
        "{company}\n"
    ),
    "move": (
        "{supplier},\n\n"
        "the work at {address} ({pool}) has moved. Please move: {what}\n"
        "Booked until now: {booked}\n"
        "Wanted instead: {day}\n\n"
        "Please answer whether the new day holds, by mail or at {phone}.\n\n"
        "{company}\n"
    ),
    "call_off": (
        "{supplier},\n\n"
        "we call off: {what}\n"
        "Booked for: {booked}\n"
        "Where: {address} ({pool})\n\n"
        "Please answer that you have read this, by mail or at {phone}.\n\n"
        "{company}\n"
    ),
}
SUBJECTS: Mapping[str, str] = {
    "ask": "{what} on {day}, {pool}: does it hold?",
    "move": "{what}, {pool}: from {booked} to {day}",
    "call_off": "{what} on {booked}, {pool}: called off",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierLetter:
    """Subject and body, ready to send."""

    subject: str
    body: str


def check_letter(kind: LetterKind, text: str) -> str:
    """The office's own text, where it names only what there is, and what the letter is about.

    Raises
    ------
    CannotDo
        ``letters.unknown_field``, ``letters.field_missing``.
    """
    named = NAMED.findall(text)
    for name in named:
        if name not in FIELDS:
            known = ", ".join(f"{{{one}}}" for one in FIELDS)
            raise CannotDo("letters.unknown_field", field=f"{kind}_letter", name=name, known=known)
    for name in NEEDED[kind]:
        if name not in named:
            raise CannotDo("letters.field_missing", field=f"{kind}_letter", name=name)
    return text


def letter_of(kind: LetterKind, values: Mapping[str, str], *, own: str = "") -> SupplierLetter:
    """A letter with its fields filled; ``own`` is the office's text, else ours.

    A value is put in as it is, on one line: nothing in it is looked at for fields again.

    Raises
    ------
    CannotDo
        As ``check_letter``.
    """
    text = check_letter(kind, own) if own.strip() else OURS[kind]
    return SupplierLetter(subject=_filled(SUBJECTS[kind], values)[:200], body=_filled(text, values))


def _filled(text: str, values: Mapping[str, str]) -> str:
    return NAMED.sub(lambda found: " ".join(values.get(found[1], "").split()), text)
