"""Plans as rows: numbered revisions of a branch, exactly one in force; its assignments are rows of their own."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _


class Plan(models.Model):
    """One revision of which crew does which task when.

    ``document`` holds the whole plan as plain values (assignments, weather judged at each start);
    ``runs`` the identities of the forecast runs it read.
    """

    class State(models.TextChoices):
        PROPOSED = "proposed", _("proposed")
        IN_FORCE = "in_force", _("in force")
        PAST = "past", _("past")
        DROPPED = "dropped", _("dropped")

    branch = models.ForeignKey("jobs.Branch", on_delete=models.PROTECT, related_name="plans")
    number = models.PositiveIntegerField()
    state = models.CharField(max_length=10, choices=State, default=State.PROPOSED)
    made_at = models.DateTimeField()
    as_of = models.DateTimeField()
    in_force_at = models.DateTimeField(null=True, blank=True)
    input_revision = models.PositiveBigIntegerField()
    follows = models.PositiveIntegerField(default=0)
    making = models.JSONField()
    cost = models.JSONField()
    document = models.JSONField()
    runs = models.ManyToManyField("forecast.ForecastRun", related_name="plans")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["branch", "number"], name="plan_number_once_a_branch"),
            models.UniqueConstraint(
                fields=["branch"], condition=Q(state="in_force"), name="one_plan_in_force_a_branch"
            ),
            models.CheckConstraint(
                condition=~Q(state="in_force") | Q(in_force_at__isnull=False), name="plan_in_force_says_since_when"
            ),
        ]


class Assignment(models.Model):
    """One task of the plan in force."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="assignments")
    task = models.ForeignKey("jobs.Task", on_delete=models.CASCADE, related_name="assignments")
    start_at = models.DateTimeField()
    end_at = models.DateTimeField()
    crews = models.ManyToManyField("crews.Crew", related_name="assignments")

    class Meta:
        ordering = ["start_at", "id"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "task"], name="assignment_once_a_plan"),
            models.CheckConstraint(condition=Q(start_at__lte=F("end_at")), name="assignment_in_order"),
        ]
