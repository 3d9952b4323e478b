"""What the watch said, and what people were told of it."""

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from jobs.models import one_line


class BranchWatch(models.Model):
    """When a branch was last judged, from which plan and inputs, and when it must be looked at again.

    ``judged_at`` is also the guard of a judgement: whoever moves it forward first may write.
    """

    branch = models.OneToOneField("jobs.Branch", on_delete=models.CASCADE, related_name="watch")
    judged_at = models.DateTimeField(null=True, blank=True)
    next_at = models.DateTimeField(null=True, blank=True)
    plan_number = models.PositiveIntegerField(default=0)
    input_revision = models.PositiveBigIntegerField(default=0)
    newest_run = models.PositiveBigIntegerField(default=0, help_text="highest id of the forecast runs it read")

    class Meta:
        verbose_name_plural = "branch watches"

    def __str__(self) -> str:
        return str(self.branch)


class WatchVerdict(models.Model):
    """A verdict on a start with the arithmetic behind it: one row for each run, rung and change.

    ``by_forecast`` leaves public warnings out; ``since_at`` is when the verdict became what it is. The rows of a task
    that are no longer ``current`` are its history, kept 90 days.
    """

    class Verdict(models.TextChoices):
        NO_LIMIT = "no limit reached", _("no limit reached")
        PREPARE = "prepare", _("prepare")
        MOVE = "move", _("move")
        UNKNOWN = "unknown", _("unknown")

    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="watch_verdicts")
    task = models.ForeignKey("jobs.Task", on_delete=models.CASCADE, related_name="watch_verdicts")
    plan_number = models.PositiveIntegerField()
    start_at = models.DateTimeField()
    verdict = models.CharField(max_length=16, choices=Verdict)
    by_forecast = models.CharField(max_length=16, choices=Verdict)
    since_at = models.DateTimeField()
    first_judged_at = models.DateTimeField()
    judged_at = models.DateTimeField()
    rung_hours = models.PositiveSmallIntegerField(help_text="hours before the start of the last rung passed")
    run = models.ForeignKey(
        "forecast.ForecastRun", on_delete=models.SET_NULL, null=True, blank=True, related_name="watch_verdicts"
    )
    arithmetic = models.JSONField(encoder=DjangoJSONEncoder)
    current = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["task"], condition=Q(current=True), name="watch_verdict_current_once"),
            models.CheckConstraint(condition=Q(judged_at__gte=F("first_judged_at")), name="watch_verdict_in_order"),
        ]
        indexes = [models.Index(fields=["branch", "current", "start_at"], name="watch_verdict_current")]

    def __str__(self) -> str:
        return f"{self.task}: {self.verdict}"


class Warned(models.Model):
    """A fact people were told, once; ``people`` are their keys and names.

    Read when somebody pressed "noted", or the foreman said that they have seen the day after it was told.
    """

    class Kind(models.TextChoices):
        VERDICT = "verdict", _("verdict")
        DEADLINE = "deadline", _("deadline")
        STATES = "states", _("what stands")
        WEEKEND = "weekend", _("before a weekend")

    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="warned")
    fact = models.CharField(max_length=120, validators=[one_line])
    kind = models.CharField(max_length=8, choices=Kind)
    task = models.ForeignKey("jobs.Task", on_delete=models.CASCADE, null=True, blank=True, related_name="warned")
    start_at = models.DateTimeField(null=True, blank=True)
    verdict = models.CharField(max_length=16, choices=WatchVerdict.Verdict, blank=True)
    covers = models.JSONField(default=list, blank=True, help_text="the states a fact about states is about")
    says = models.CharField(max_length=200, validators=[one_line])
    people = models.JSONField(default=list)
    told_at = models.DateTimeField()
    answer_by = models.DateTimeField(null=True, blank=True)
    noted_at = models.DateTimeField(null=True, blank=True)
    noted_by = models.CharField(max_length=150, blank=True, validators=[one_line])
    noted_user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    escalated_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["branch", "fact"], name="warned_once_a_fact"),
            models.CheckConstraint(condition=Q(noted_at__isnull=True) | ~Q(noted_by=""), name="warned_noted_by_name"),
        ]
        indexes = [models.Index(fields=["branch", "-told_at"], name="warned_newest")]

    def __str__(self) -> str:
        return self.says
