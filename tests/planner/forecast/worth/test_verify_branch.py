"""Told chances beside what a station measured, kept once, and the chances of a wrong source drawn to what came."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.domain.facts import SiteFacts
from jobs.models import Branch
from planner.forecast.around.observations import keep_day
from planner.forecast.domain.series import HOUR, VARIABLES, HourlySeries
from planner.forecast.domain.verification.scores import score_of
from planner.forecast.models import Calibration, ForecastRun, GridPlace, RecordedSky, VerifiedWindow
from planner.forecast.selectors import degrees
from planner.forecast.skies import skies_over
from planner.forecast.snapshots import content_hash, pack
from planner.forecast.verification import KEPT_FOR, calibrations_of, prune, verify_branch, worth_over

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 7, 20, 16, tzinfo=UTC)
DAY = timedelta(days=1)
SITE = SiteFacts(id=1, name="Heron Lane", address="", latitude=40.6, longitude=-74.4, soil="loam")
FAR = SiteFacts(id=2, name="Crane Hill", address="", latitude=40.9, longitude=-74.1, soil="clay")


def series(start_at: datetime, hours: int, issued_at: datetime, **values: Any) -> HourlySeries:
    columns = {name: (values.get(name),) * hours for name in VARIABLES}
    return HourlySeries(source="nws", issued_at=issued_at, start_at=start_at, **columns)


@pytest.fixture
def branch(db: None) -> Branch:
    branch = Branch.objects.create(
        name="Yard", slug="yard", company="Made up", zone="America/New_York", opens="07:00", closes="15:00",
        yard_latitude=40.6, yard_longitude=-74.4,
    )  # fmt: skip
    place(SITE, "PHI/1,1", "KAAA")
    return branch


def place(site: SiteFacts, key: str, station: str) -> None:
    GridPlace.objects.create(
        source="nws",
        latitude=degrees(site.latitude),
        longitude=degrees(site.longitude),
        grid_key=key,
        resolved_at=NOW,
        stations=[station],
    )


def told(chance: float, *, key: str = "PHI/1,1", days: int = 16, every: timedelta = DAY) -> None:
    """Runs of so many days that give every half-day the same chance."""
    at = NOW - days * DAY
    while at <= NOW:
        made = series(at.replace(minute=0), 24 * 8, at, rain_chance=chance, air_temp_c=20.0, rain_mm=0.1)
        ForecastRun.objects.create(
            source="nws", grid_key=key, issued_at=at, fetched_at=at, checked_at=at, content_hash=content_hash(made),
            horizon_end_at=made.end_at, packed=pack(made),
        )  # fmt: skip
        at += every


def measured(rain_mm: float, station: str = "KAAA") -> None:
    """Two weeks of the same rain in every hour."""
    for back in range(15):
        start_at = (NOW - back * DAY).replace(hour=0)
        keep_day(series(start_at, 24, NOW, rain_mm=rain_mm), station=station)


def test_every_half_day_measured_is_kept_with_each_lead_once(branch: Branch) -> None:
    told(0.3)
    measured(0.0)
    added = verify_branch(branch=branch, sites=(SITE,), now=NOW)
    assert added == VerifiedWindow.objects.count() > 100
    assert set(VerifiedWindow.objects.values_list("percent", "wet")) == {(30, False)}
    assert set(VerifiedWindow.objects.values_list("lead_day", flat=True)) == {1, 2, 3, 4, 5, 6}
    assert verify_branch(branch=branch, sites=(SITE,), now=NOW) == 0
    # Monday noon: the half-day that has just ended may still be corrected.
    newest = max(VerifiedWindow.objects.values_list("from_at", flat=True))
    assert newest + 12 * HOUR + 3 * HOUR <= NOW


def test_a_day_later_only_the_new_half_days_are_added(branch: Branch) -> None:
    told(0.3)
    measured(0.0)
    verify_branch(branch=branch, sites=(SITE,), now=NOW - DAY)
    assert verify_branch(branch=branch, sites=(SITE,), now=NOW) == 2 * 6


def test_hourly_runs_count_no_half_day_twice(branch: Branch) -> None:
    told(0.3, days=4, every=6 * HOUR)
    measured(0.0)
    verify_branch(branch=branch, sites=(SITE,), now=NOW)
    pairs = list(VerifiedWindow.objects.values_list("from_at", "lead_day"))
    assert len(pairs) == len(set(pairs)) > 0


def test_its_worth_is_counted_over_the_branchs_cells_by_lead(branch: Branch) -> None:
    told(0.5)
    measured(0.1)
    verify_branch(branch=branch, sites=(SITE,), now=NOW)
    worth = worth_over(branch=branch, sites=(SITE,))
    assert [(one.source, one.lead_day) for one in worth] == [("nws", lead) for lead in range(1, 7)]
    for one in worth:
        score = score_of(one.tallies)
        assert score is not None
        assert (score.brier, score.wet_share) == (0.25, 1.0)
    assert worth_over(branch=branch, sites=(FAR,)) == ()


def test_a_source_that_cries_wolf_is_corrected_before_the_judge_reads_it(branch: Branch) -> None:
    told(0.9)
    measured(0.0)
    before = skies_over(branch=branch, sites=(SITE,), as_of=NOW)[SITE.id]
    assert before.corrected_by == 0
    assert before.series is not None
    assert set(before.series.rain_chance) == {0.9}
    verify_branch(branch=branch, sites=(SITE,), now=NOW)
    maps = calibrations_of(branch=branch)["nws"]
    assert set(maps) == {"near", "far"}
    after = skies_over(branch=branch, sites=(SITE,), as_of=NOW)[SITE.id]
    assert after.corrected_by == sum(one.windows for one in maps.values())
    assert after.series is not None
    assert all(value is not None and 0 < value < 0.2 for value in after.series.rain_chance)
    assert after.series.rain_mm == before.series.rain_mm
    # What it told is verified as it was told, not as it was corrected.
    assert set(VerifiedWindow.objects.values_list("percent", flat=True)) == {90}


def test_few_windows_correct_nothing(branch: Branch) -> None:
    told(0.9, days=4)
    measured(0.0)
    verify_branch(branch=branch, sites=(SITE,), now=NOW)
    assert 0 < VerifiedWindow.objects.filter(lead_day__lte=3).count() < 60
    assert not Calibration.objects.exists()


def test_without_a_station_nothing_is_verified(branch: Branch) -> None:
    told(0.9)
    assert verify_branch(branch=branch, sites=(SITE,), now=NOW) == 0


def test_more_sites_cost_no_more_reads(branch: Branch) -> None:
    told(0.3)
    measured(0.0)
    verify_branch(branch=branch, sites=(SITE,), now=NOW)
    VerifiedWindow.objects.all().delete()
    with CaptureQueriesContext(connection) as one:
        verify_branch(branch=branch, sites=(SITE,), now=NOW)
    VerifiedWindow.objects.all().delete()
    place(FAR, "PHI/2,2", "KBBB")
    told(0.3, key="PHI/2,2")
    measured(0.0, "KBBB")
    with CaptureQueriesContext(connection) as two:
        verify_branch(branch=branch, sites=(SITE, FAR), now=NOW)
    # Windows are written so many at a time.
    written = [len([row for row in each if row["sql"].startswith("INSERT")]) for each in (one, two)]
    assert len(two) - written[1] == len(one) - written[0]
    assert VerifiedWindow.objects.filter(grid_key="PHI/2,2").exists()


def test_a_branch_on_recorded_weather_is_verified_against_the_record(branch: Branch) -> None:
    """The record that ships with the product; it rains in it now and then."""
    RecordedSky.objects.create(branch=branch, record="ewr_2013_hourly.csv.gz", shift_days=4746, seed=1)
    row = GridPlace.objects.get()
    GridPlace.objects.filter(pk=row.pk).update(source="replay")
    told(0.4)
    ForecastRun.objects.update(source="replay")
    verify_branch(branch=branch, sites=(SITE,), now=NOW)
    found = VerifiedWindow.objects.filter(source="replay")
    assert found.filter(wet=True).exists()
    assert found.filter(wet=False).exists()


def test_windows_are_forgotten_after_two_years(branch: Branch) -> None:
    told(0.3, days=4)
    measured(0.0)
    verify_branch(branch=branch, sites=(SITE,), now=NOW)
    assert prune(now=NOW) == 0
    kept = VerifiedWindow.objects.count()
    assert prune(now=NOW + KEPT_FOR) == kept > 0
    assert not VerifiedWindow.objects.exists()
