"""Units a crew reads, against published conversion factors and clock rules."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from planner.dayplans.facts import UnitCode
from planner.dayplans.presenters.measures import clock, measure, miles, minutes

ZONE = ZoneInfo("America/New_York")


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        # NIST SP 811 (2008) appendix B.8 factors, from memory: 0.3048 m, 3.785412 L, 0.7645549 m3, 0.4535924 kg,
        # 6894.757 Pa, 0.44704 m/s.
        (3.048, "m", "10 feet"),
        (3785.412, "l", "1,000 gallons"),
        (7.645549, "m3", "10 cubic yards"),
        # 8.25 yards of 0.764554857984 m3, exact by definition: nobody orders 8.2.
        (6.307578, "m3_ordered", "8.25 cubic yards"),
        (45.35924, "kg", "100 pounds"),
        (20.684271, "mpa", "3,000 psi"),
        (8.9408, "m_s", "20 mph"),
        (25.4, "mm", "1 inch"),
        (50.8, "mm", "2 inches"),
        (35.0, "degc", "95 °F"),
        (-17.7778, "degc", "0 °F"),
        (0.185, "share", "18 percent"),
        (3.0, "count", "3"),
    ],
)
def test_measures(value: float, unit: UnitCode, said: str) -> None:
    assert measure(value, unit) == said


@pytest.mark.parametrize(
    ("moment", "said"),
    [
        (datetime(2026, 6, 16, 4, 0, tzinfo=UTC), "midnight"),
        (datetime(2026, 6, 16, 16, 0, tzinfo=UTC), "noon"),
        (datetime(2026, 6, 16, 16, 30, tzinfo=UTC), "12:30 pm"),
        # Clocks in the United States go back on 1 November 2026 (15 U.S.C. 260a: first Sunday of November).
        (datetime(2026, 11, 1, 5, 30, tzinfo=UTC), "1:30 am"),
        (datetime(2026, 11, 1, 6, 30, tzinfo=UTC), "1:30 am"),
    ],
)
def test_clock(moment: datetime, said: str) -> None:
    assert clock(moment, ZONE) == said


def test_stretches() -> None:
    assert (minutes(0), minutes(45), minutes(120)) == ("0 min", "45 min", "2 h")
    assert (miles(1609.344), miles(1609.344 * 25)) == ("1.0 miles", "25 miles")
