"""Spans onto hours: amounts are conserved, nothing is invented, clocks do not matter."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.forecast.domain.intervals import Piece, hourly_amounts, hourly_chances, hourly_levels

START = datetime(2026, 3, 7, 18, tzinfo=UTC)
HOURS = 30
SPREADS = (hourly_levels, hourly_amounts, hourly_chances)


def piece(from_minute: int, minutes: int, value: float | None) -> Piece:
    from_at = START + timedelta(minutes=from_minute)
    return Piece(from_at=from_at, until_at=from_at + timedelta(minutes=minutes), value=value)


minutes_in = st.integers(-240, HOURS * 60 + 240)
pieces = st.lists(
    st.builds(piece, minutes_in, st.integers(1, 900), st.none() | st.floats(0, 100, allow_nan=False)), max_size=8
)


@st.composite
def rows_of_blocks(draw: st.DrawFn) -> list[Piece]:
    """Blocks that touch, on full hours, inside the series."""
    lengths = draw(st.lists(st.integers(1, 12), min_size=1, max_size=6))
    at, blocks = draw(st.integers(0, 3)), []
    for length in lengths:
        if at + length > HOURS:
            break
        blocks.append(piece(at * 60, length * 60, draw(st.floats(0, 100, allow_nan=False))))
        at += length
    return blocks


@given(rows_of_blocks())
def test_amounts_are_conserved(blocks: list[Piece]) -> None:
    spread = hourly_amounts(blocks, start_at=START, hours=HOURS)
    assert sum(v for v in spread if v is not None) == pytest.approx(sum(b.value or 0.0 for b in blocks))


@given(pieces)
def test_each_minute_decides(given_pieces: list[Piece]) -> None:
    """A second reading, minute by minute: the last piece over a minute owns it."""
    for spread in SPREADS:
        result = spread(given_pieces, start_at=START, hours=HOURS)
        for hour in range(HOURS):
            levels, shares = [], []
            for minute in range(hour * 60, hour * 60 + 60):
                at = START + timedelta(minutes=minute)
                over = [p for p in given_pieces if p.from_at <= at < p.until_at]
                if over and over[-1].value is not None:
                    levels.append(over[-1].value)
                    shares.append(over[-1].value / ((over[-1].until_at - over[-1].from_at) / timedelta(minutes=1)))
            if len(levels) < 60:
                assert result[hour] is None
                continue
            expected = {hourly_amounts: sum(shares), hourly_levels: sum(levels) / 60, hourly_chances: max(levels)}
            assert result[hour] == pytest.approx(expected[spread], abs=1e-9)


@given(pieces, st.sampled_from(["America/New_York", "America/Phoenix", "Australia/Lord_Howe", "Asia/Kathmandu"]))
def test_the_zone_a_moment_is_written_in_does_not_matter(given_pieces: list[Piece], zone: str) -> None:
    """The series spans the night of 7 to 8 March 2026, when clocks in New York go forward."""
    local = ZoneInfo(zone)
    moved = [
        Piece(from_at=p.from_at.astimezone(local), until_at=p.until_at.astimezone(local), value=p.value)
        for p in given_pieces
    ]
    for spread in SPREADS:
        assert spread(moved, start_at=START, hours=HOURS) == spread(given_pieces, start_at=START, hours=HOURS)


def test_a_level_is_kept_to_the_last_digit() -> None:
    assert hourly_levels([piece(0, 180, 26.11111111111111)], start_at=START, hours=3) == (26.11111111111111,) * 3


def test_a_null_over_a_value_makes_it_unknown() -> None:
    blocks = [piece(0, 360, 6.0), piece(120, 60, None)]
    assert hourly_amounts(blocks, start_at=START, hours=6) == (1.0, 1.0, None, 1.0, 1.0, 1.0)


def test_the_last_of_two_overlapping_pieces_wins() -> None:
    blocks = [piece(0, 360, 10.0), piece(180, 360, 20.0)]
    assert hourly_levels(blocks, start_at=START, hours=10) == (10.0,) * 3 + (20.0,) * 6 + (None,)


def test_no_pieces_no_values() -> None:
    for spread in SPREADS:
        assert spread([], start_at=START, hours=4) == (None,) * 4
        assert spread([piece(0, 60, 1.0)], start_at=START, hours=0) == ()


def test_a_piece_must_make_sense() -> None:
    with pytest.raises(ValueError, match="end after it starts"):
        piece(0, 0, 1.0)
    with pytest.raises(ValueError, match="finite"):
        piece(0, 60, float("nan"))
    with pytest.raises(ValueError, match="aware"):
        Piece(from_at=datetime(2026, 1, 1), until_at=datetime(2026, 1, 2), value=1.0)  # noqa: DTZ001
