"""What the service does again and again, as rows: when each thing is due next, and since when it fails."""

from django.db import models


class Turn(models.Model):
    """One thing that comes round: a forecast of one map cell, the reminders of one branch.

    ``next_due_at`` is real time. Whoever takes a turn moves it forward by a lease; if nobody brings it to an end by
    then, it is due again. Without ``next_due_at`` it waits until something makes it due.
    """

    class Kind(models.TextChoices):
        TICK = "tick"
        FORECAST = "forecast"
        WARNINGS = "warnings"
        MEASURED = "measured"
        READING = "reading"
        HOURLY = "hourly"
        UPKEEP = "upkeep"
        SPREAD = "spread"

    kind = models.CharField(max_length=12, choices=Kind)
    key = models.CharField(max_length=160, blank=True, help_text="which cell, which branch; empty where there is one")
    next_due_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True, help_text="last time it was brought to an end, well or not")
    well_at = models.DateTimeField(null=True, blank=True, help_text="last time it ended well")
    failing_since = models.DateTimeField(null=True, blank=True)
    failures = models.PositiveIntegerField(default=0, help_text="in a row")
    problem = models.TextField(blank=True)
    handed_on = models.TextField(blank=True, help_text="what was last passed on, such as run numbers")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "key"], name="turn_once")]
        indexes = [models.Index(fields=["next_due_at"], name="turn_due")]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}".strip()
