"""A week is written as people write it, and read back the same."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crews.domain.week_text import text_of_week, week_of_text
from jobs.domain.errors import CannotDo

HOURS = st.sampled_from([["07:00", "15:30"], ["08:00", "12:00"], ["16:00", "00:00"]])


@given(st.dictionaries(st.sampled_from("1234567"), HOURS, min_size=1))
def test_any_week_is_read_back(week: dict[str, list[str]]) -> None:
    assert week_of_text(text_of_week(week)) == dict(sorted(week.items()))


def test_people_write_days_and_hours_in_their_own_way() -> None:
    said = week_of_text("monday - friday 7-15:30; Sat 8:00 - 12:00")
    assert said == week_of_text("Mon-Fri 07:00-15:30, Sat 08:00-12:00")
    assert said["5"] == ["07:00", "15:30"]
    assert said["6"] == ["08:00", "12:00"]
    assert "7" not in said


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "week.empty"),
        ("Mon-Fri", "week.unreadable"),
        ("Mon-Fri 07:00-25:00", "week.unreadable"),
        ("Workdays 07:00-15:00", "week.unreadable"),
        ("Mon 15:00-07:00", "week.backwards"),
        ("Fri-Mon 07:00-15:00", "week.backwards"),
        ("Mon-Fri 07:00-15:00, Fri 07:00-12:00", "week.day_twice"),
    ],
)
def test_what_is_no_week_is_refused(text: str, code: str) -> None:
    with pytest.raises(CannotDo) as refused:
        week_of_text(text)
    assert refused.value.code == code
    assert refused.value.remedy
