"""Stored runs: each once, lossless to a thousandth, and never replaced by an older one."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from hypothesis import given
from hypothesis import strategies as st

from planner.forecast.domain.place import Place
from planner.forecast.domain.series import VARIABLES, HourlySeries
from planner.forecast.models import ForecastRun
from planner.forecast.selectors import find_latest_run, find_latest_run_at, list_runs
from planner.forecast.services import pull_forecast, resolve_grid, store_run
from planner.forecast.snapshots import content_hash, facts_of, pack, series_of, unpack
from tests.planner.forecast.weather import MONDAY, SITE, replay

HOUR = timedelta(hours=1)
KEY = "replay/40.70,-74.20"


@st.composite
def any_series(draw: st.DrawFn) -> HourlySeries:
    hours = draw(st.integers(0, 12))
    values = st.lists(st.none() | st.floats(-300, 300, allow_nan=False), min_size=hours, max_size=hours)
    columns = {name: tuple(draw(values)) for name in VARIABLES}
    start_at = datetime(2026, 6, 1, 4, tzinfo=UTC)
    return HourlySeries(source="nws", issued_at=start_at + timedelta(minutes=25), start_at=start_at, **columns)


@given(any_series())
def test_packing_keeps_thousandths_and_gaps(series: HourlySeries) -> None:
    back = unpack(pack(series))
    assert (back.source, back.issued_at, back.start_at) == (series.source, series.issued_at, series.start_at)
    for name in VARIABLES:
        before, after = getattr(series, name), getattr(back, name)
        assert [v is None for v in after] == [v is None for v in before]
        assert [v for v in after if v is not None] == pytest.approx([v for v in before if v is not None], abs=5.01e-4)
    assert pack(back) == pack(series)
    assert content_hash(back) == content_hash(series)


@pytest.mark.django_db
def test_the_same_run_is_stored_once_and_only_its_check_moves() -> None:
    source = replay()
    first, created = store_run(source.fetch(SITE, MONDAY))
    again, created_again = store_run(source.fetch(SITE, MONDAY + HOUR))
    assert (created, created_again) == (True, False)
    assert again.pk == first.pk
    assert (again.fetched_at, again.checked_at) == (MONDAY, MONDAY + HOUR)
    late, _ = store_run(source.fetch(SITE, MONDAY))
    assert late.checked_at == MONDAY + HOUR, "a slow worker must not move it backwards"
    assert ForecastRun.objects.count() == 1


@pytest.mark.django_db
def test_what_is_stored_is_what_was_fetched() -> None:
    fetched = replay().fetch(SITE, MONDAY)
    run, _ = store_run(fetched)
    stored = series_of(ForecastRun.objects.get(pk=run.pk))
    for name in VARIABLES:
        for before, after in zip(getattr(fetched.series, name), getattr(stored, name), strict=True):
            assert (before is None) == (after is None)
            assert before is None or after == pytest.approx(before, abs=5.01e-4)
    assert (stored.start_at, stored.issued_at) == (fetched.series.start_at, fetched.issued_at)
    facts = facts_of(run)
    assert (facts.run_id, facts.horizon_end_at) == (run.pk, fetched.series.end_at)
    assert len(run.packed) < 8_000
    assert run.raw is None


@pytest.mark.django_db
def test_a_reply_may_be_kept_cut_to_size() -> None:
    fetched = replay().fetch(SITE, MONDAY)
    run, _ = store_run(fetched, keep_raw=True)
    assert bytes(ForecastRun.objects.get(pk=run.pk).raw or b"") == fetched.body[:65_536]


@pytest.mark.django_db
def test_an_older_run_fetched_later_does_not_become_current() -> None:
    source = replay()
    newer, _ = store_run(source.fetch(SITE, MONDAY))
    older = source.fetch(SITE, MONDAY - timedelta(hours=12))
    late, created = store_run(replace(older, fetched_at=MONDAY + HOUR))
    assert created
    latest = find_latest_run(source="replay", grid_key=KEY)
    assert latest is not None
    assert latest.pk == newer.pk != late.pk
    runs = list_runs(source="replay", grid_key=KEY, from_at=MONDAY - timedelta(days=1), until_at=MONDAY)
    assert [run.pk for run in runs] == [late.pk, newer.pk]


@pytest.mark.django_db
def test_a_corrected_run_with_the_same_issue_time_is_another_row_and_wins() -> None:
    fetched = replay().fetch(SITE, MONDAY)
    store_run(fetched)
    corrected = replace(fetched.series, rain_chance=(0.99, *fetched.series.rain_chance[1:]))
    second, created = store_run(replace(fetched, series=corrected, fetched_at=MONDAY + HOUR))
    assert created
    latest = find_latest_run(source="replay", grid_key=KEY)
    assert latest is not None
    assert latest.pk == second.pk


@pytest.mark.django_db
def test_what_was_known_at_a_moment() -> None:
    source = replay()
    first, _ = store_run(source.fetch(SITE, MONDAY))
    store_run(source.fetch(SITE, MONDAY + timedelta(hours=6)))
    known = find_latest_run(source="replay", grid_key=KEY, as_of=MONDAY + HOUR)
    assert known is not None
    assert known.pk == first.pk
    assert find_latest_run(source="replay", grid_key=KEY, as_of=MONDAY - HOUR) is None


@pytest.mark.django_db
def test_two_places_of_one_cell_share_the_run() -> None:
    source = replay()
    near = Place(latitude=40.7003, longitude=-74.2)
    first, _ = pull_forecast(source=source, place=SITE, now=MONDAY)
    second, created = pull_forecast(source=source, place=near, now=MONDAY)
    assert (second.pk, created) == (first.pk, False)
    for place in (SITE, near):
        found = find_latest_run_at(source="replay", place=place)
        assert found is not None
        assert found.pk == first.pk
    assert find_latest_run_at(source="nws", place=SITE) is None


@pytest.mark.django_db
def test_a_place_looked_up_again_has_one_row() -> None:
    first = resolve_grid(source=replay(), place=SITE, now=MONDAY)
    again = resolve_grid(source=replay(), place=SITE, now=MONDAY + HOUR)
    assert again.pk == first.pk
    assert again.resolved_at == MONDAY + HOUR


@pytest.mark.django_db
def test_the_database_refuses_a_second_copy() -> None:
    run, _ = store_run(replay().fetch(SITE, MONDAY))
    run.pk = None
    run._state.adding = True
    with pytest.raises(IntegrityError), transaction.atomic():
        run.save()
