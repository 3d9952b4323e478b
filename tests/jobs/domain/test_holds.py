"""The state of a hold follows from what people recorded."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from jobs.domain.holds import HoldRecord, HoldResult, is_released, shown_state

TUESDAY = datetime(2026, 6, 9, 14, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


def decided(result: HoldResult, at: datetime = TUESDAY, **more: datetime) -> HoldRecord:
    return HoldRecord(result=result, decided_by="Inspector of the day", decided_at=at, **more)


@pytest.mark.parametrize(
    ("record", "state"),
    [
        (HoldRecord(), "not asked"),
        (HoldRecord(asked_at=TUESDAY), "asked"),
        (HoldRecord(asked_at=TUESDAY, confirmed_at=TUESDAY + HOUR), "confirmed"),
        (decided("passed"), "passed"),
        (decided("passed", asked_at=TUESDAY - HOUR), "passed"),
        (decided("passed", asked_at=TUESDAY + HOUR), "passed"),
        (decided("failed", asked_at=TUESDAY - HOUR, confirmed_at=TUESDAY - HOUR), "failed"),
        (decided("failed"), "failed"),
        (decided("failed", asked_at=TUESDAY + HOUR), "asked"),
        (decided("failed", asked_at=TUESDAY + HOUR, confirmed_at=TUESDAY + 2 * HOUR), "confirmed"),
    ],
)
def test_the_state_shown(record, state):
    assert shown_state(record) == state


@pytest.mark.parametrize(
    ("facts", "code", "field"),
    [
        ({"result": "passed", "decided_at": TUESDAY}, "holds.no_name", "decided_by"),
        ({"result": "failed", "decided_at": TUESDAY, "decided_by": "  "}, "holds.no_name", "decided_by"),
        ({"result": "passed", "decided_by": "Somebody"}, "holds.no_day", "decided_at"),
        ({"confirmed_at": TUESDAY}, "holds.confirmed_not_asked", "asked_at"),
        ({"asked_at": TUESDAY, "confirmed_at": TUESDAY - HOUR}, "holds.out_of_order", "confirmed_at"),
        ({"asked_at": datetime(2026, 6, 9)}, "waiting.no_zone", "asked_at"),  # noqa: DTZ001
    ],
)
def test_an_incomplete_record_is_refused(facts, code, field):
    with pytest.raises(CannotDo) as caught:
        HoldRecord(**facts)
    assert (caught.value.code, caught.value.field) == (code, field)
    assert caught.value.remedy


def test_only_a_passed_hold_lets_work_start_from_its_result_until_it_lapses():
    passed = decided("passed")
    assert not is_released(passed, at=TUESDAY - HOUR)
    assert is_released(passed, at=TUESDAY)
    assert is_released(passed, at=TUESDAY + timedelta(days=400))
    assert is_released(passed, at=TUESDAY + timedelta(days=7), valid_days=7)
    assert not is_released(passed, at=TUESDAY + timedelta(days=7, seconds=1), valid_days=7)


@given(
    st.sampled_from(["open", "failed"]), st.booleans(), st.booleans(), st.timedeltas(-30 * 24 * HOUR, 30 * 24 * HOUR)
)
def test_nothing_but_a_person_passing_it_releases_a_hold(result, asked, confirmed, shift):
    record = HoldRecord(
        asked_at=TUESDAY + shift if asked else None,
        confirmed_at=TUESDAY + shift if asked and confirmed else None,
        result=result,
        decided_by="Somebody" if result != "open" else "",
        decided_at=TUESDAY if result != "open" else None,
    )
    assert shown_state(record) != "passed"
    assert not is_released(record, at=TUESDAY + timedelta(days=100))
