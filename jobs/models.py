"""What is built, as rows: branches, sites, jobs, basins, tasks, links, holds, field reports.

Domain code never sees a row; ``snapshots`` turns rows into frozen values.
"""

from zoneinfo import available_timezones

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from jobs.domain.errors import CannotDo
from jobs.domain.order.buying import buying_from

one_line = RegexValidator(r"^[^\r\n]*$", _("Line breaks are not allowed here."))


class Branch(models.Model):
    """An office with its own crews, sites and plan: the unit of planning and of permission."""

    name = models.CharField(max_length=120, validators=[one_line])
    slug = models.SlugField(unique=True)
    company = models.CharField(max_length=120, validators=[one_line])
    zone = models.CharField(max_length=64)
    country = models.CharField(max_length=2, default="US")
    subdivision = models.CharField(max_length=8, blank=True)
    opens = models.TimeField()
    closes = models.TimeField()
    phone = models.CharField(max_length=40, blank=True, validators=[one_line])
    yard_latitude = models.FloatField(validators=[MinValueValidator(-90), MaxValueValidator(90)])
    yard_longitude = models.FloatField(validators=[MinValueValidator(-180), MaxValueValidator(180)])
    keeps_public_holidays = models.BooleanField(default=True)
    input_revision = models.PositiveBigIntegerField(default=0)
    plan_number = models.PositiveIntegerField(default=0)
    banner = models.CharField(max_length=200, blank=True)
    buying = models.JSONField(
        _("what it buys in"),
        default=dict,
        blank=True,
        help_text=_(
            "Own sizes and prices for the order list, where they are not the usual ones, such as "
            '{"short_dollars_m3": 900, "stock_bar_m": 12.19}: metres, m³, dollars a m³.'
        ),
    )

    class Meta:
        verbose_name_plural = "branches"
        constraints = [
            models.CheckConstraint(condition=Q(opens__lt=F("closes")), name="branch_opens_before_it_closes"),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        """Refuse a zone no clock knows, and sizes and prices that no order can be reckoned with."""
        if self.zone not in available_timezones():
            raise ValidationError({"zone": _("Not a time zone: enter city and region, such as America/New_York.")})
        try:
            buying_from(self.buying)
        except CannotDo as refused:
            raise ValidationError({"buying": str(refused)}) from refused


class Site(models.Model):
    """A place with coordinates and a forecast, in the zone of its branch."""

    class Soil(models.TextChoices):
        SAND = "sand", _("sand")
        LOAM = "loam", _("loam")
        CLAY = "clay", _("clay")

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="sites")
    name = models.CharField(max_length=120, validators=[one_line])
    address = models.CharField(max_length=200, validators=[one_line])
    latitude = models.FloatField()
    longitude = models.FloatField()
    soil = models.CharField(max_length=8, choices=Soil, default=Soil.LOAM)
    access_note = models.CharField(max_length=300, blank=True, validators=[one_line])
    work_from = models.TimeField(null=True, blank=True)
    work_until = models.TimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["branch", "name"], name="site_name_once_a_branch"),
            models.CheckConstraint(
                condition=Q(latitude__range=(-90, 90)) & Q(longitude__range=(-180, 180)), name="site_on_earth"
            ),
            models.CheckConstraint(
                condition=Q(work_from__isnull=True) | Q(work_until__isnull=True) | Q(work_from__lt=F("work_until")),
                name="site_hours_in_order",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class SiteClosure(models.Model):
    """Days on which nobody works on a site."""

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="closures")
    first_on = models.DateField()
    last_on = models.DateField()
    reason = models.CharField(max_length=200, validators=[one_line])

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(first_on__lte=F("last_on")), name="closure_days_in_order"),
        ]


class Job(models.Model):
    """One pool being built on a site by one build method."""

    class State(models.TextChoices):
        OPEN = "open", _("open")
        FINISHED = "finished", _("finished")
        DROPPED = "dropped", _("dropped")

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="jobs")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="jobs")
    name = models.CharField(max_length=120, validators=[one_line])
    method = models.CharField(max_length=64)
    owner = models.CharField(max_length=120, blank=True, validators=[one_line])
    promised_on = models.DateField()
    earliest_on = models.DateField(null=True, blank=True)
    late_cents_per_day = models.PositiveIntegerField(default=25_000)
    open_dig_cents_per_day = models.PositiveIntegerField(default=4_000)
    state = models.CharField(max_length=10, choices=State, default=State.OPEN)
    design = models.JSONField(default=dict)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["branch", "name"], name="job_name_once_a_branch"),
        ]

    def __str__(self) -> str:
        return self.name


class Basin(models.Model):
    """The pool's form: its shape with the sizes of that shape, and the levels of its fittings [m].

    ``form`` holds what ``jobs.domain.shapes.forms.form_of`` makes of a checked shape; only the domain reads it.
    """

    class Shape(models.TextChoices):
        RECTANGLE = "rectangle", _("rectangle")
        PARTS = "parts", _("rectangles joined")
        STATIONS = "stations", _("measured at stations")
        ELLIPSE = "ellipse", _("oval or round")
        STADIUM = "stadium", _("round ends")
        KIDNEY = "kidney", _("kidney")

    job = models.OneToOneField(Job, on_delete=models.CASCADE, related_name="basin")
    shape = models.CharField(max_length=16, choices=Shape, default=Shape.RECTANGLE)
    form = models.JSONField()
    freeboard_m = models.FloatField(validators=[MinValueValidator(0)])
    fittings = models.JSONField(default=list)

    class Meta:
        verbose_name_plural = "basins"
        constraints = [
            models.CheckConstraint(condition=Q(freeboard_m__gte=0), name="basin_coping_not_under_water"),
            models.CheckConstraint(condition=~Q(form={}), name="basin_has_a_form"),
        ]

    def __str__(self) -> str:
        return f"{self.job}: {self.get_shape_display()}"


class Task(models.Model):
    """A piece of work, a stretch of clock time, a visit, or a delivery.

    Facts only (started, finished, dropped, what is left): the state a page shows is derived from them.
    ``details`` keeps what the build method says beyond the columns: gear, bookings, cautions.
    """

    class Kind(models.TextChoices):
        WORK = "work", _("work")
        CLOCK = "clock", _("clock")
        VISIT = "visit", _("visit")
        DELIVERY = "delivery", _("delivery")

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="tasks")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="tasks")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="tasks", null=True, blank=True)
    key = models.CharField(max_length=64)
    position = models.PositiveIntegerField(default=0)
    title = models.CharField(max_length=160, validators=[one_line])
    kind = models.CharField(max_length=10, choices=Kind)
    run = models.CharField(max_length=10)
    trade = models.CharField(max_length=32)
    crew_size = models.PositiveSmallIntegerField(default=0)
    crew_min = models.PositiveSmallIntegerField(default=0)
    work_minutes = models.PositiveIntegerField()
    remaining_minutes = models.PositiveIntegerField(null=True, blank=True)
    quantity = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=32, blank=True)
    exposure = models.CharField(max_length=32, default="none")
    splits_nights = models.BooleanField(default=False)
    splits_weekends = models.BooleanField(default=False)
    long_day = models.BooleanField(default=False)
    opening_only = models.BooleanField(default=False)
    start_by_hour = models.FloatField(null=True, blank=True)
    stand_by = models.BooleanField(default=False)
    details = models.JSONField(default=dict)
    earliest_at = models.DateTimeField(null=True, blank=True)
    earliest_why = models.CharField(max_length=200, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    dropped_at = models.DateTimeField(null=True, blank=True)
    frozen = models.BooleanField(default=False)

    class Meta:
        ordering = ["branch_id", "job_id", "position", "id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "key"], name="task_key_once_a_job"),
            models.CheckConstraint(
                condition=Q(finished_at__isnull=True)
                | Q(started_at__isnull=True)
                | Q(finished_at__gte=F("started_at")),
                name="task_ends_after_it_starts",
            ),
            models.CheckConstraint(condition=Q(crew_min__lte=F("crew_size")), name="task_minimum_within_crew"),
        ]

    def __str__(self) -> str:
        return self.title


class Link(models.Model):
    """``after`` follows ``before``, with what must pass between them."""

    class Kind(models.TextChoices):
        PLAIN = "plain", _("order of work")
        CLOCK = "clock", _("clock time")
        STRENGTH = "strength", _("concrete strength")
        DRYNESS = "dryness", _("dryness")
        LEVEL = "level", _("water level")
        NOTICE = "notice", _("notice")

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="links")
    before = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="links_out")
    after = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="links_in")
    kind = models.CharField(max_length=10, choices=Kind)
    rule = models.JSONField(default=dict)
    why = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["before", "after", "kind"], name="link_once"),
            models.CheckConstraint(condition=~Q(before=F("after")), name="link_not_to_itself"),
        ]


class GearSpan(models.Model):
    """Gear held from the start of one task to the end of another (bracing to strip)."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="gear_spans")
    gear = models.CharField(max_length=32)
    from_task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="+")
    until_task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="+")
    amount = models.PositiveSmallIntegerField(default=1)


class Hold(models.Model):
    """An inspection that blocks what comes after it until it is passed. A person enters the result."""

    class Result(models.TextChoices):
        OPEN = "open", _("open")
        PASSED = "passed", _("passed")
        FAILED = "failed", _("failed")

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="holds")
    key = models.CharField(max_length=64)
    title = models.CharField(max_length=160)
    looks_at = models.TextField(blank=True)
    visit = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="releases")
    blocks = models.ManyToManyField(Task, related_name="holds")
    result = models.CharField(max_length=8, choices=Result, default=Result.OPEN)
    decided_by = models.CharField(max_length=120, blank=True, validators=[one_line])
    decided_at = models.DateTimeField(null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["job", "key"], name="hold_key_once_a_job"),
            models.CheckConstraint(
                condition=Q(result="open") | (Q(decided_at__isnull=False) & ~Q(decided_by="")),
                name="hold_result_names_who_and_when",
            ),
        ]

    def __str__(self) -> str:
        return self.title


class FieldReport(models.Model):
    """What the site said. ``sent_id`` is made where it was written, so that a repeat changes nothing."""

    class Kind(models.TextChoices):
        STARTED = "started", _("started")
        FINISHED = "finished", _("finished")
        REMAINING = "remaining", _("how much is left")
        LEVEL = "level", _("water level")
        TEMPERATURE = "temperature", _("concrete temperature")
        STRENGTH = "strength", _("strength test")
        SALT = "salt", _("salt test")
        REFILLED = "refilled", _("drained and filled up again")
        HOLD_PASSED = "hold_passed", _("inspection passed")
        HOLD_FAILED = "hold_failed", _("inspection failed")
        DELIVERED = "delivered", _("delivery arrived")
        DELIVERY_WRONG = "delivery_wrong", _("delivery short or wrong")
        CREW_SHORT = "crew_short", _("crew short")
        GATE = "gate", _("safety gate recorded")
        NOTE = "note", _("note")

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="field_reports")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="field_reports", null=True, blank=True)
    task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="field_reports", null=True, blank=True)
    kind = models.CharField(max_length=16, choices=Kind)
    happened_at = models.DateTimeField()
    received_at = models.DateTimeField()
    said_by = models.CharField(max_length=120, validators=[one_line])
    values = models.JSONField(default=dict)
    sent_id = models.UUIDField(unique=True)
