"""Letters in the office's own words name only what there is, and nothing in a value becomes a field or a header."""

import pytest

from crews.domain.supplier_letters import FIELDS, OURS, LetterKind, check_letter, letter_of
from jobs.domain.errors import CannotDo

VALUES = {name: f"<{name}>" for name in FIELDS}


@pytest.mark.parametrize("kind", ["ask", "move", "call_off"])
def test_our_own_words_pass_our_own_check(kind: LetterKind) -> None:
    letter = letter_of(kind, VALUES)
    assert check_letter(kind, OURS[kind]) == OURS[kind]
    assert "{" not in letter.subject + letter.body
    assert "<what>" in letter.subject
    assert "<address>" in letter.body
    assert "<phone>" not in letter.subject


def test_the_offices_words_are_filled_and_values_are_not_looked_at_again() -> None:
    letter = letter_of("ask", {**VALUES, "what": "{phone}\r\nBcc: all"}, own="Please: {what}, {day}. 100% {supplier}")
    assert letter.body == "Please: {phone} Bcc: all, <day>. 100% <supplier>"
    assert "\n" not in letter.subject


@pytest.mark.parametrize(
    ("kind", "text", "code"),
    [
        ("ask", "{what} on {day} for {price}", "letters.unknown_field"),
        ("ask", "{what} {day} {}", "letters.unknown_field"),
        ("ask", "{what} {day} {what.__class__}", "letters.unknown_field"),
        ("ask", "{what}, please", "letters.field_missing"),
        ("move", "{what} to {day}", "letters.field_missing"),
        ("call_off", "{booked}", "letters.field_missing"),
    ],
)
def test_a_letter_nobody_would_understand_is_refused(kind: LetterKind, text: str, code: str) -> None:
    with pytest.raises(CannotDo) as refused:
        check_letter(kind, text)
    assert refused.value.code == code
    assert refused.value.field == f"{kind}_letter"
