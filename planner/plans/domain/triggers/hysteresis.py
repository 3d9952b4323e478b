"""When a newer forecast has changed enough to plan again: past the noise of forecasts, and for good.

The chance of one window changes from run to run by about 12 points although nothing has changed but the run; a plan
that followed each run would move people back and forth. Two rules keep it still. A change counts only beyond a band of
one and a half standard deviations of that noise. And it must last: one run is not enough, unless the change is as large
as noise makes it in one run of two hundred, or the start is so near that waiting for another run would cost the day.
"""

from dataclasses import dataclass, replace
from typing import Literal

from planner.forecast.domain.judgement import expected_loss

# Standard deviation of the change of a half-day's chance from one day's run to the next, by the lead [days] it is
# issued for: measured on the US service's forecasts for one place in one summer, about 196 windows a lead. An order of
# magnitude elsewhere.
NOISE_BY_LEAD_DAY = (0.121, 0.148, 0.128, 0.105, 0.087)
# So many runs in a row must agree.
LASTS_RUNS = 2
# In standard deviations: what counts at all, by noise alone in one run of fifteen; and what counts at once, in one of
# two hundred.
BAND, LARGE = 1.5, 2.5
# Nearer than this the next run may come too late to tell anybody.
SOON_HOURS = 24.0
# A change that moves fewer expected dollars is nobody's business. Common practice, no source.
LEAST_DOLLARS = 200
# A gain this many times as large needs no second run.
LARGE_GAIN = 4

Crossing = Literal["worse", "better", "eased"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One planned start under one forecast run.

    Attributes
    ----------
    lead_hours : from now to the start [h].
    chance : chance [0..1] of being hit before it is safe.
    forbidden : the sky forbids it.
    dollars : expected loss.
    gain_dollars : what the best earlier start would save, its own chance taken as bad as the next run may make it; 0
        where none is open.
    """

    lead_hours: float
    chance: float
    forbidden: bool
    dollars: int
    gain_dollars: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """What is remembered of a start between runs.

    Attributes
    ----------
    chance, dollars : as the plan took them, or the last time another plan was asked for.
    worse_runs, better_runs, eased_runs : runs in a row that crossed.
    asked_worse : that the start is forbidden or worse is known: another plan was asked for because of it, or the plan
        was made that way.
    asked_gain : the gain another plan was asked for last.
    """

    chance: float
    dollars: int
    worse_runs: int = 0
    better_runs: int = 0
    eased_runs: int = 0
    asked_worse: bool = False
    asked_gain: int = 0


def band_of(lead_hours: float) -> float:
    """The change of a chance that counts at a lead, ``BAND`` standard deviations of its noise.

    >>> round(band_of(30.0), 3)
    0.222
    """
    return BAND * noise(lead_hours)


def noise(lead_hours: float) -> float:
    """Standard deviation of the change of a chance from one day's run to the next at a lead.

    Parameters
    ----------
    lead_hours : hours from now to the start [h]; beyond the measured leads the last value holds.

    >>> noise(6.0), noise(30.0), noise(500.0)
    (0.121, 0.148, 0.087)
    """
    day = max(0, int(lead_hours // 24))
    return NOISE_BY_LEAD_DAY[min(day, len(NOISE_BY_LEAD_DAY) - 1)]


def raised(chance: float, lead_hours: float) -> float:
    """A chance as the next run may well state it: one standard deviation up, or doubled where it is small, at most 1.

    >>> raised(0.0, 6.0), raised(0.05, 6.0), round(raised(0.5, 6.0), 3), raised(0.95, 6.0)
    (0.0, 0.1, 0.621, 1.0)
    """
    return min(1.0, chance + min(noise(lead_hours), chance))


def gain_of(
    *, planned_dollars: int, chance: float, loss_dollars: int, lead_hours: float, days_sooner: int, day_dollars: int
) -> int:
    """What an earlier start would save [dollars], negative where it would not.

    Parameters
    ----------
    planned_dollars : expected loss at the planned start.
    chance : chance [0..1] of being hit at the earlier one, taken one standard deviation worse.
    loss_dollars : loss if hit.
    lead_hours : hours from now to the earlier start [h].
    days_sooner, day_dollars : calendar days it is earlier, and what each is worth.

    >>> gain_of(planned_dollars=3000, chance=0.05, loss_dollars=12000, lead_hours=60, days_sooner=2, day_dollars=40)
    1880
    """
    return planned_dollars + days_sooner * day_dollars - expected_loss(raised(chance, lead_hours), loss_dollars)


def has_worsened(memory: Memory, reading: Reading) -> bool:
    """Whether a start is forbidden and was not, or has become worse than it was taken for by more than noise."""
    return (reading.forbidden and not memory.asked_worse) or _is_news(memory, reading)


def weigh(memory: Memory, reading: Reading) -> tuple[Memory, Crossing | None]:
    """What one more run of the forecast means for a planned start.

    Returns
    -------
    memory : Memory
        To give back with the next run.
    crossing : "worse", "better", "eased" or None
        Whether another plan should be asked for now. It is asked for once: again only where the start has become worse
        by another band, or an earlier one better by as many dollars again.

    Notes
    -----
    Worse: the sky forbids the start, or its chance has risen by the band of its lead and its expected loss by
    ``LEAST_DOLLARS``. Eased: another plan was asked for because of the start, and it is allowed and by a band less
    likely to be hit than then. Better: an earlier start would save ``LEAST_DOLLARS``. Each must hold for
    ``LASTS_RUNS`` runs; a turn for the worse that is large, or of a start within ``SOON_HOURS``, counts at once, and so
    does a gain four times as large.
    """
    rise = reading.chance - memory.chance
    worse = _is_news(memory, reading) or (reading.forbidden and not memory.asked_worse)
    eased = memory.asked_worse and not reading.forbidden and rise <= -band_of(reading.lead_hours)
    fallen = memory.asked_gain - reading.gain_dollars >= LARGE_GAIN * LEAST_DOLLARS
    asked_gain = reading.gain_dollars if fallen else memory.asked_gain
    gain = reading.gain_dollars - asked_gain
    better = gain >= LEAST_DOLLARS and not worse
    now = replace(
        memory,
        worse_runs=memory.worse_runs + 1 if worse else 0,
        better_runs=memory.better_runs + 1 if better else 0,
        eased_runs=memory.eased_runs + 1 if eased else 0,
        asked_gain=asked_gain,
    )
    at_once = reading.lead_hours < SOON_HOURS or rise > LARGE * noise(reading.lead_hours)
    if worse and (at_once or now.worse_runs >= LASTS_RUNS):
        return replace(now, chance=reading.chance, dollars=reading.dollars, worse_runs=0, asked_worse=True), "worse"
    if eased and now.eased_runs >= LASTS_RUNS:
        return Memory(chance=reading.chance, dollars=reading.dollars, asked_gain=reading.gain_dollars), "eased"
    if better and (now.better_runs >= LASTS_RUNS or gain >= LARGE_GAIN * LEAST_DOLLARS):
        return replace(now, better_runs=0, asked_gain=reading.gain_dollars), "better"
    return now, None


def _is_news(memory: Memory, reading: Reading) -> bool:
    rise = reading.chance - memory.chance
    return rise > band_of(reading.lead_hours) and reading.dollars - memory.dollars >= LEAST_DOLLARS
