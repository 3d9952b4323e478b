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


class UnreadReply(models.Model):
    """The last reply of a source for a cell that could not be read, with what is wrong in it; it counts for nothing."""

    source = models.CharField(max_length=20)
    grid_key = models.CharField(max_length=60)
    seen_at = models.DateTimeField()
    says = models.TextField()
    raw = models.BinaryField(help_text="its first bytes")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["source", "grid_key"], name="forecast_unread_last")]

    def __str__(self) -> str:
        return f"{self.source} {self.grid_key} {self.seen_at:%Y-%m-%d %H:%M}"


class GridPlace(models.Model):
    """Which cell of a source a place lies in; sources move their cells, so it is looked up again now and then."""

    source = models.CharField(max_length=20)
    latitude = models.DecimalField(max_digits=7, decimal_places=4)
    longitude = models.DecimalField(max_digits=7, decimal_places=4)
    grid_key = models.CharField(max_length=60)
    resolved_at = models.DateTimeField()
    zones = models.JSONField(default=list, blank=True, help_text="codes of the warning zones the place lies in")
    altitude_m = models.FloatField(null=True, blank=True)
    stations = models.JSONField(default=list, blank=True, help_text="nearest weather stations, nearest first")
    stations_at = models.DateTimeField(null=True, blank=True)

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


class UrlState(models.Model):
    """What one address of a service last told us; see ``sources.conditional.Known``.

    ``run`` is the run its body became: without it "nothing new" would mean nothing, so it goes when the run goes.
    """

    url = models.CharField(max_length=500, unique=True)
    last_modified = models.CharField(max_length=80, blank=True, help_text="HTTP date exactly as sent; never an age")
    etag = models.CharField(max_length=200, blank=True)
    body_hash = models.CharField(max_length=64, blank=True)
    status = models.PositiveSmallIntegerField(default=200)
    problem = models.CharField(max_length=80, blank=True)
    expires_at = models.DateTimeField(help_text="not asked again before")
    changed_at = models.DateTimeField(help_text="last time a body came whole")
    checked_at = models.DateTimeField(help_text="last time the service answered")
    run = models.ForeignKey(ForecastRun, null=True, blank=True, on_delete=models.CASCADE, related_name="urls")

    def __str__(self) -> str:
        return self.url


class HostPause(models.Model):
    """A host that refused us or asked us to wait, left alone for a while."""

    host = models.CharField(max_length=200, unique=True)
    until = models.DateTimeField()
    times = models.PositiveIntegerField(default=1, help_text="in a row; each pause is longer than the one before")
    reason = models.CharField(max_length=120)

    def __str__(self) -> str:
        return f"{self.host} until {self.until:%Y-%m-%d %H:%M:%S}: {self.reason}"


class OfficialAlert(models.Model):
    """One message of a public warning; each update of it is a message of its own and changes no earlier one."""

    message_id = models.CharField(max_length=200, unique=True)
    event_key = models.CharField(max_length=200, db_index=True, help_text="same for all messages about one event")
    sent_at = models.DateTimeField()
    until_at = models.DateTimeField(help_text="end of the event, else of the message")
    first_seen_at = models.DateTimeField()
    seen_at = models.DateTimeField(help_text="last time the service listed it")
    facts = models.JSONField(help_text="read it through snapshots.alert_of")

    class Meta:
        indexes = [models.Index(fields=["until_at", "seen_at"], name="official_alert_current")]

    def __str__(self) -> str:
        return f"{self.message_id} until {self.until_at:%Y-%m-%d %H:%M}"


class StationDay(models.Model):
    """What one weather station measured in the 24 hours of a UTC day."""

    station = models.CharField(max_length=12)
    day_on = models.DateField()
    fetched_at = models.DateTimeField()
    packed = models.BinaryField(help_text="24 hours of each variable; read it through snapshots.observed_of")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["station", "day_on"], name="station_day_once")]

    def __str__(self) -> str:
        return f"{self.station} {self.day_on}"


class VerifiedWindow(models.Model):
    """What one source told of one half-day over one map cell, so many days ahead, and whether it came."""

    source = models.CharField(max_length=20)
    grid_key = models.CharField(max_length=60)
    from_at = models.DateTimeField(help_text="begin of the half-day")
    lead_day = models.PositiveSmallIntegerField()
    percent = models.PositiveSmallIntegerField(help_text="chance told of 0.254 mm or more")
    wet = models.BooleanField()
    odd = models.BooleanField(help_text="number of its UTC day: a map made of the even days is tried on the odd ones")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["source", "grid_key", "from_at", "lead_day"], name="verified_once"),
            models.CheckConstraint(condition=Q(percent__lte=100), name="verified_percent_in_range"),
        ]

    def __str__(self) -> str:
        return f"{self.source} {self.grid_key} {self.from_at:%Y-%m-%d %H:%M}, {self.lead_day} days ahead"


class Calibration(models.Model):
    """How the chances of one source come true over a branch, from so many verified windows; see
    ``domain.verification.calibration``. Where there is no row, chances count as told.
    """

    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="calibrations")
    source = models.CharField(max_length=20)
    band = models.CharField(max_length=4)
    windows = models.PositiveIntegerField()
    points = models.JSONField()
    fitted_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["branch", "source", "band"], name="calibration_once_a_band"),
        ]

    def __str__(self) -> str:
        return f"{self.branch}: {self.source}, {self.band}"
