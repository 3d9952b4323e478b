"""How a person is reached: checked addresses, so that nothing typed by anybody becomes a mail header."""

import re
from dataclasses import dataclass

from jobs.domain.errors import CannotDo

LONGEST_NAME = 120
LONGEST_KEY = 60
# RFC 5321 4.5.3.1: local part 64, path 256 with its angle brackets.
LONGEST_LOCAL_PART = 64
LONGEST_MAIL = 254
# ITU-T E.164: at most fifteen digits with the country code. Fewer than seven: from memory, no such number is in use.
NUMBER = re.compile(r"\+[1-9][0-9]{6,14}", re.ASCII)
# RFC 5322 3.2.3 dot-atom; domain labels by RFC 1123 2.1.
LOCAL_PART = re.compile(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(?:\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*", re.ASCII)
LABEL = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?", re.ASCII)
# Countries of the North American numbering plan that write ten digits without +1.
TEN_DIGITS = frozenset({"US", "CA"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Reachable:
    """A person or office a message goes to.

    Parameters
    ----------
    key : str
        Who, for good: ``crew:12``, ``member:4``, ``supplier:3``, ``office:1``.
    name : str
        As people say it.
    mail : str
        E-mail address; empty where there is none.
    text_number : str
        Number for text messages, ``+`` and digits; empty where there is none.
    language : str
        Code of the language to write in.

    Raises
    ------
    CannotDo
        ``reach.empty``, ``reach.line_break``, ``reach.too_long``, ``reach.bad_mail``, ``reach.bad_number``.
    """

    key: str
    name: str
    mail: str = ""
    text_number: str = ""
    language: str = "en"

    def __post_init__(self) -> None:
        one_line("key", self.key, longest=LONGEST_KEY)
        one_line("name", self.name, longest=LONGEST_NAME)
        if self.mail:
            check_mail(self.mail)
        if self.text_number and not NUMBER.fullmatch(self.text_number):
            raise CannotDo("reach.bad_number", field="text_number", value=self.text_number)


def one_line(field: str, value: str, *, longest: int) -> str:
    """The value, where it is one line of visible characters, neither empty nor too long.

    Raises
    ------
    CannotDo
        ``reach.empty``, ``reach.line_break``, ``reach.too_long``.
    """
    if not value.strip():
        raise CannotDo("reach.empty", field=field)
    # splitlines knows every line break of Unicode, and the controls among which CR and LF are.
    if len(value.splitlines()) > 1 or any(ord(sign) < 32 or ord(sign) == 127 for sign in value):
        raise CannotDo("reach.line_break", field=field)
    if len(value) > longest:
        raise CannotDo("reach.too_long", field=field, length=len(value), longest=longest)
    return value


def check_mail(value: str) -> str:
    """The address, where it is a plain one: a dot-atom, ``@``, a domain name.

    Quoted local parts, comments and letters outside ASCII are refused: few servers take them.

    Raises
    ------
    CannotDo
        ``reach.bad_mail``.

    >>> check_mail("office@example.org")
    'office@example.org'
    """
    local, at, domain = value.rpartition("@")
    labels = domain.split(".")
    good = (
        bool(at)
        and len(value) <= LONGEST_MAIL
        and len(local) <= LONGEST_LOCAL_PART
        and LOCAL_PART.fullmatch(local) is not None
        and len(labels) > 1
        and all(LABEL.fullmatch(label) for label in labels)
    )
    if not good:
        raise CannotDo("reach.bad_mail", field="mail", value=value)
    return value


def text_number_of(phone: str, country: str) -> str:
    """A phone number as people write it, as ``+`` and digits.

    Parameters
    ----------
    phone : str
        Digits with spaces, dots, hyphens, slashes or brackets between.
    country : str
        ISO 3166-1 code, two letters; in the United States and Canada ten digits are enough.

    Raises
    ------
    CannotDo
        ``reach.bad_number`` where the country is not told, or the number has letters or an extension.

    >>> text_number_of("(609) 555-0123", "US")
    '+16095550123'
    """
    bare = re.sub(r"[\s().\-/\u00a0\u2011]", "", phone)
    if country in TEN_DIGITS:
        if re.fullmatch(r"[2-9][0-9]{9}", bare, re.ASCII):
            bare = f"+1{bare}"
        elif re.fullmatch(r"1[2-9][0-9]{9}", bare, re.ASCII):
            bare = f"+{bare}"
    if not NUMBER.fullmatch(bare):
        raise CannotDo("reach.bad_number", field="phone", value=phone)
    return bare
