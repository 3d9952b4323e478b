"""Keeps private addresses out of the logs."""

import logging
import re

PRIVATE = re.compile(r"(/day/)[^/\s?'\"]+")


class MaskLinks(logging.Filter):
    """Replaces the secret part of a private address in a record's message and arguments."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Mask; every record passes."""
        if isinstance(record.args, tuple):
            record.args = tuple(masked(one) if isinstance(one, str) else one for one in record.args)
        record.msg = masked(record.msg) if isinstance(record.msg, str) else record.msg
        return True


def masked(text: str) -> str:
    """The text without the secret.

    >>> masked("Not Found: /day/12-AbC_d/2026-06-09/")
    'Not Found: /day/…/2026-06-09/'
    """
    return PRIVATE.sub(r"\1…", text)
