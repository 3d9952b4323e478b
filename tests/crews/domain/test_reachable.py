"""Addresses that mail and gateways can take, and the many that they cannot.

Numbers with +1 and 555-01xx are set aside for invented use (North American Numbering Plan). Mail addresses: RFC 5321
4.1.2, 4.5.3.1 and RFC 5322 3.4.1; refused ones that the RFC would allow are this project's choice.
"""

import pytest

from crews.domain.letter import message_id_of, shortened
from crews.domain.reachable import Reachable, check_mail, text_number_of
from crews.domain.retries import LONGEST_S, MOST_ATTEMPTS, next_try_at, wait_s
from jobs.domain.errors import CannotDo
from tests.crews.conftest import NOW


@pytest.mark.parametrize(
    "mail",
    [
        "",
        "nobody",
        "a@b",
        "a b@example.org",
        "a@example.org\r\nBcc: b@example.org",
        "a@example.org, b@example.org",
        "<a@example.org>",
        '"a b"@example.org',
        "a..b@example.org",
        ".a@example.org",
        "a@-example.org",
        "a@example..org",
        "a@[127.0.0.1]",
        "ä@example.org",
        f"{'a' * 65}@example.org",
        f"a@{'b' * 64}.org",
    ],
)
def test_what_is_no_plain_address_is_refused(mail: str) -> None:
    with pytest.raises(CannotDo) as refused:
        check_mail(mail)
    assert refused.value.code == "reach.bad_mail"


@pytest.mark.parametrize("mail", ["a@example.org", "first.last+pools@mail.example.co", f"{'a' * 64}@example.org"])
def test_a_plain_address_passes(mail: str) -> None:
    assert Reachable(key="crew:1", name="A", mail=mail).mail == mail


@pytest.mark.parametrize(
    ("phone", "country", "number"),
    [
        ("(609) 555-0123", "US", "+16095550123"),
        ("609.555.0123", "CA", "+16095550123"),
        ("1 609 555 0123", "US", "+16095550123"),
        ("+1 609 555 0123", "DE", "+16095550123"),
        ("+47 22 85 50 50", "US", "+4722855050"),
    ],
)
def test_a_number_as_people_write_it(phone: str, country: str, number: str) -> None:
    assert text_number_of(phone, country) == number


@pytest.mark.parametrize(
    ("phone", "country"),
    [("555-0123", "US"), ("609 555 0123", "NO"), ("(609) 555-0123 ext. 4", "US"), ("", "US"), ("+0 123 456 789", "US")],
)
def test_a_number_that_no_text_reaches_is_refused(phone: str, country: str) -> None:
    with pytest.raises(CannotDo) as refused:
        text_number_of(phone, country)
    assert refused.value.code == "reach.bad_number"


@pytest.mark.parametrize("name", ["", " ", "A\nB", "A\x00", "x" * 121])
def test_a_name_is_one_line(name: str) -> None:
    with pytest.raises(CannotDo):
        Reachable(key="crew:1", name=name)


def test_ids_differ_by_every_part() -> None:
    parts = {"branch": 1, "fact": "plan:1", "person": "crew:1", "channel": "mail", "domain": "example.org"}
    ids = {message_id_of(**parts)}  # type: ignore[arg-type]
    for name, value in (("branch", 2), ("fact", "plan:11"), ("person", "crew:11"), ("channel", "text")):
        ids.add(message_id_of(**{**parts, name: value}))  # type: ignore[arg-type]
    assert len(ids) == 5


def test_a_text_is_cut_at_a_word() -> None:
    assert shortened("word " * 200).endswith("word …")
    assert len(shortened("word " * 200)) <= 459
    assert len(shortened("x" * 1000)) == 459


def test_waits_double_up_to_three_hours_and_spread_by_a_quarter() -> None:
    middle = [wait_s(attempt, jitter=0.5) for attempt in range(1, 13)]
    assert middle == [30, 60, 120, 240, 480, 960, 1920, 3840, 7680, 10800, 10800, 10800]
    assert (wait_s(1, jitter=0), wait_s(1, jitter=0.999)) == (22.5, pytest.approx(37.5, abs=0.02))


def test_a_wait_the_other_side_asks_for_is_kept_within_reason() -> None:
    asked = next_try_at(1, now=NOW, jitter=0.5, asked_s=600)
    assert asked is not None
    assert (asked - NOW).total_seconds() == 600
    long = next_try_at(1, now=NOW, jitter=0.5, asked_s=10**8)
    assert long is not None
    assert (long - NOW).total_seconds() == LONGEST_S
    assert next_try_at(MOST_ATTEMPTS, now=NOW, jitter=0.5) is None
