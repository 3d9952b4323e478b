"""Plans as rows: numbered revisions of a branch, exactly one in force; its assignments are rows of their own.

What asks for another plan is a row too, so that nothing is lost with a message or a worker.
"""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from planner.plans.domain.triggers.reasons import REASONS


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
    dropped_because = models.CharField(max_length=400, blank=True)
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


class HandOverSpread(models.Model):
    """When a plan hands its pools over in many weathers, reckoned after the plan was made.

    ``pools`` has one entry a pool: ``job`` (row), ``name``, ``planned`` (date), ``days`` (a date or null a weather, in
    order of the weathers) and ``waits`` (title of a task and the days its own sky cost, added up, the longest first).
    """

    plan = models.OneToOneField(Plan, on_delete=models.CASCADE, related_name="hand_over_spread")
    as_of = models.DateTimeField(help_text="what was known then of the sky")
    pools = models.JSONField()

    def __str__(self) -> str:
        return f"hand-overs of {self.plan}"


class SpreadUnderWay(models.Model):
    """A spread of hand-overs that is reckoned in short turns: what the turns so far found, shown to nobody.

    It belongs to one plan, one revision of the branch's inputs and one moment's sky; of anything else it is begun anew.
    ``parts`` has one entry a turn, each as ``HandOverSpread.pools``.
    """

    plan = models.OneToOneField(Plan, on_delete=models.CASCADE, related_name="spread_under_way")
    input_revision = models.PositiveIntegerField()
    as_of = models.DateTimeField(help_text="what was known then of the sky")
    weathers = models.PositiveIntegerField(default=0, help_text="how many the plan was carried through so far")
    parts = models.JSONField(default=list)

    def __str__(self) -> str:
        return f"hand-overs of {self.plan}, {self.weathers} weathers so far"


class ReplanRequest(models.Model):
    """Something happened that may want another plan; asked again while it waits, it stays one row.

    ``taken`` rows belong to a worker that is planning, or that died while it was: whoever holds the branch's claim
    next takes them too. ``outcome`` is the number of the plan that answers it, 0 where none does.
    """

    class State(models.TextChoices):
        OPEN = "open", _("waits")
        TAKEN = "taken", _("is being planned")
        DONE = "done", _("answered")
        REFUSED = "refused", _("no plan possible")

    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="replan_requests")
    reason = models.CharField(max_length=24, choices=[(key, key.replace("_", " ")) for key in REASONS])
    subject = models.CharField(max_length=80, blank=True)
    says = models.CharField(max_length=400)
    asked_at = models.DateTimeField()
    again_at = models.DateTimeField(help_text="last time it was asked while it waited")
    state = models.CharField(max_length=8, choices=State, default=State.OPEN)
    tries = models.PositiveSmallIntegerField(default=0)
    closed_at = models.DateTimeField(null=True, blank=True)
    outcome = models.PositiveIntegerField(default=0)
    answer = models.CharField(max_length=600, blank=True)

    class Meta:
        ordering = ["asked_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["branch", "reason", "subject"], condition=Q(state="open"), name="replan_request_open_once"
            ),
            models.CheckConstraint(
                condition=Q(state__in=["open", "taken"], closed_at__isnull=True)
                | Q(state__in=["done", "refused"], closed_at__isnull=False),
                name="replan_request_closed_says_when",
            ),
        ]
        indexes = [models.Index(fields=["branch", "state", "closed_at"], name="replan_request_state")]

    def __str__(self) -> str:
        return f"{self.reason} {self.subject}: {self.says}"


class BranchReplanning(models.Model):
    """How a branch replans, and which worker is at it: of two that claim at once, one touches the row.

    ``claimed_until`` is a moment of the machine's clock: a claim runs out although the office's clock may be pinned.
    """

    branch = models.OneToOneField("jobs.Branch", on_delete=models.CASCADE, related_name="replanning")
    takes_itself = models.BooleanField(
        default=True, help_text="plans that touch nobody who was told and no booking come into force by themselves"
    )
    claim = models.CharField(max_length=32, blank=True)
    claimed_until = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"replanning of {self.branch}"


class StartMemory(models.Model):
    """What is remembered of one start of a plan from forecast run to forecast run; see ``triggers.hysteresis``."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="start_memories")
    task = models.ForeignKey("jobs.Task", on_delete=models.CASCADE, related_name="start_memories")
    run = models.PositiveBigIntegerField(help_text="the forecast run judged last")
    chance = models.FloatField()
    dollars = models.IntegerField()
    worse_runs = models.PositiveSmallIntegerField(default=0)
    better_runs = models.PositiveSmallIntegerField(default=0)
    eased_runs = models.PositiveSmallIntegerField(default=0)
    asked_worse = models.BooleanField(default=False)
    asked_gain = models.IntegerField(default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["plan", "task"], name="start_memory_once_a_plan")]


class Trial(models.Model):
    """What somebody tried, and what came of it; no plan is touched by it.

    ``asked`` and ``outcomes`` hold plain values; the first outcome is the branch as it is. ``began_at`` is a moment of
    the machine's clock: a trial ends although the office's clock may be pinned.
    """

    class State(models.TextChoices):
        PLANNING = "planning", _("is being planned")
        DONE = "done", _("done")
        REFUSED = "refused", _("refused")

    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="trials")
    asked_by = models.CharField(max_length=150)
    asked_at = models.DateTimeField()
    began_at = models.DateTimeField()
    plan_number = models.PositiveIntegerField()
    state = models.CharField(max_length=8, choices=State, default=State.PLANNING)
    asked = models.JSONField()
    outcomes = models.JSONField(default=list)
    says = models.CharField(max_length=600, blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["branch"], condition=Q(state="planning"), name="one_trial_at_a_time_a_branch"
            )
        ]

    def __str__(self) -> str:
        return f"trial {self.pk} of {self.branch}"
