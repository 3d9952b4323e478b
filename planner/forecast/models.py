"""Forecast runs as they were issued, and which map cell a place lies in."""

from django.db import models
from django.db.models import F, Q


class ForecastRun(models.Model):
    """One run of one source for one map cell; never changed but for ``checked_at``."""

    source = models.CharField(max_length=20)
    grid_key = models.CharField(max_length=60)
    issued_at = models.DateTimeField(help_text="as the source states it; age counts from here")
    fetched_at = models.DateTimeField(help_text="first time this run was fetched")
    checked_at = models.DateTimeField(help_text="last time the source still answered with this run")
    content_hash = models.CharField(max_length=64)
    horizon_end_at = models.DateTimeField(help_text="end of the last hour with a known temperature")
    packed = models.BinaryField(help_text="the hourly series; read it through snapshots.series_of")
    raw = models.BinaryField(null=True, blank=True, help_text="the reply's first bytes, where they were kept")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["source", "grid_key", "issued_at", "content_hash"], name="forecast_run_once"
            ),
            models.CheckConstraint(condition=Q(checked_at__gte=F("fetched_at")), name="forecast_run_checked_later"),
        ]
        indexes = [models.Index(fields=["source", "grid_key", "-issued_at", "-fetched_at"], name="forecast_run_newest")]

    def __str__(self) -> str:
        return f"{self.source} {self.grid_key} {self.issued_at:%Y-%m-%d %H:%M}"


class GridPlace(models.Model):
    """Which cell of a source a place lies in; sources move their cells, so it is looked up again now and then."""

    source = models.CharField(max_length=20)
    latitude = models.DecimalField(max_digits=7, decimal_places=4)
    longitude = models.DecimalField(max_digits=7, decimal_places=4)
    grid_key = models.CharField(max_length=60)
    resolved_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["source", "latitude", "longitude"], name="forecast_place_once"),
        ]

    def __str__(self) -> str:
        return f"{self.source} {self.latitude},{self.longitude}: {self.grid_key}"


class ClimateRecord(models.Model):
    """The climate of a branch, made from hourly observations that the office loaded."""

    branch = models.OneToOneField("jobs.Branch", on_delete=models.CASCADE, related_name="climate_record")
    made_from = models.CharField(max_length=200)
    loaded_at = models.DateTimeField()
    table = models.JSONField()


class RecordedSky(models.Model):
    """A branch that plans against recorded weather moved to other dates (the demo, a rehearsal)."""

    branch = models.OneToOneField("jobs.Branch", on_delete=models.CASCADE, related_name="recorded_sky")
    record = models.CharField(max_length=120)
    shift_days = models.IntegerField()
    seed = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(seed__gte=0), name="recorded_sky_seed_not_negative"),
        ]
