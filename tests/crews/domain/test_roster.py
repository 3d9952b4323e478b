"""Head count by day and what it does to the rate of work."""

from datetime import date

import pytest

from crews.domain.roster import Roster, effective_head_count
from jobs.domain.errors import CannotDo

TUESDAY, WEDNESDAY, THURSDAY = date(2026, 6, 2), date(2026, 6, 3), date(2026, 6, 4)


def test_an_exception_holds_on_its_date_only() -> None:
    roster = Roster(crew="Forms", standing_size=4, exceptions=((WEDNESDAY, 3), (THURSDAY, 0)))
    assert [roster.head_count_on(on) for on in (TUESDAY, WEDNESDAY, THURSDAY)] == [4, 3, 0]
    assert [roster.is_present(on) for on in (TUESDAY, WEDNESDAY, THURSDAY)] == [True, True, False]
    assert roster.absent_days() == frozenset({THURSDAY})


def test_three_of_four_stretch_the_work_and_too_few_wait() -> None:
    roster = Roster(crew="Forms", standing_size=4, exceptions=((WEDNESDAY, 3), (THURSDAY, 1)))
    assert roster.effective_head_count(TUESDAY, listed=4, minimum=2) == 4
    assert roster.effective_head_count(WEDNESDAY, listed=4, minimum=2) == 3
    assert roster.effective_head_count(THURSDAY, listed=4, minimum=2) == 0


def test_more_hands_help_only_up_to_the_crowding_limit() -> None:
    """Limit 1.3: common practice, no source."""
    assert effective_head_count(5, crew="Forms", listed=4, minimum=2) == 5
    assert effective_head_count(6, crew="Forms", listed=4, minimum=2) == pytest.approx(5.2)
    assert effective_head_count(60, crew="Forms", listed=4, minimum=2) == pytest.approx(5.2)


def test_impossible_counts_are_refused() -> None:
    with pytest.raises(CannotDo, match="Forms: standing_size is 0"):
        Roster(crew="Forms", standing_size=0)
    with pytest.raises(CannotDo, match="2026-06-03 is -1"):
        Roster(crew="Forms", standing_size=4, exceptions=((WEDNESDAY, -1),))
    with pytest.raises(CannotDo, match="given twice"):
        Roster(crew="Forms", standing_size=4, exceptions=((WEDNESDAY, 1), (WEDNESDAY, 2)))
    with pytest.raises(CannotDo, match="fewest people is 5"):
        effective_head_count(4, crew="Forms", listed=4, minimum=5)
