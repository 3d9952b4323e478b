"""When a message that was not taken is tried again, and when no more."""

from datetime import datetime, timedelta

FIRST_S = 30.0
LONGEST_S = 3 * 3600.0
# With the spans above the last attempt comes about sixteen hours after the first: longer than a night's outage.
MOST_ATTEMPTS = 14


def wait_s(attempts: int, *, jitter: float) -> float:
    """Seconds until the next attempt.

    Parameters
    ----------
    attempts : int
        Attempts made so far, at least 1.
    jitter : float
        Share [0..1) that spreads the attempts of many messages; drawn by the caller.

    Returns
    -------
    float
        Between three and five quarters of 30 s doubled with each attempt, and of three hours at most.

    Formula: 30 s × 2^(attempts - 1), cut at 3 h, times 0.75 + jitter / 2. Common practice, no source.

    >>> wait_s(1, jitter=0.5), wait_s(4, jitter=0.5), wait_s(40, jitter=0.5)
    (30.0, 240.0, 10800.0)
    """
    if attempts < 1 or not 0 <= jitter < 1:
        raise ValueError("attempts must be 1 or more, jitter a share below 1")
    doubled = FIRST_S * 2.0 ** min(attempts - 1, 30)
    return min(LONGEST_S, doubled) * (0.75 + jitter / 2)


def next_try_at(attempts: int, *, now: datetime, jitter: float, asked_s: float | None = None) -> datetime | None:
    """The moment of the next attempt; ``None`` after the last.

    ``asked_s`` [s] is how long the other side asked us to wait, honoured up to the longest wait.
    """
    if attempts >= MOST_ATTEMPTS:
        return None
    seconds = wait_s(attempts, jitter=jitter)
    if asked_s is not None:
        seconds = max(seconds, min(asked_s, LONGEST_S))
    return now + timedelta(seconds=seconds)
