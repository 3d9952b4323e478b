"""Who builds, as rows: crews, their trades and days, gear, suppliers and authorities, bookings."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from jobs.models import one_line


class Crew(models.Model):
    """People who go to a site together: own, or an outside crew with a calendar of its own.

    ``week`` maps ISO weekday numbers ("1" is Monday) to ["07:00", "15:30"]; a day that is missing is free.
    """

    branch = models.ForeignKey("jobs.Branch", on_delete=models.PROTECT, related_name="crews")
    key = models.SlugField()
    name = models.CharField(max_length=120, validators=[one_line])
    own = models.BooleanField(default=True)
    foreman = models.CharField(max_length=120, blank=True, validators=[one_line])
    phone = models.CharField(max_length=40, blank=True, validators=[one_line])
    email = models.EmailField(blank=True)
    size = models.PositiveSmallIntegerField()
    hour_cents_per_person = models.PositiveIntegerField(default=5_800)
    week = models.JSONField(default=dict)
    booked_through = models.ForeignKey(
        "crews.Supplier", on_delete=models.SET_NULL, null=True, blank=True, related_name="crews"
    )
    language = models.CharField(max_length=8, default="en")
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["branch_id", "name"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "key"], name="crew_key_once_a_branch"),
            models.UniqueConstraint(fields=["branch", "name"], name="crew_name_once_a_branch"),
            models.CheckConstraint(condition=Q(size__gt=0), name="crew_has_people"),
        ]

    def __str__(self) -> str:
        return self.name


class CrewTrade(models.Model):
    """A trade a crew can do."""

    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="trades")
    trade = models.CharField(max_length=32)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["crew", "trade"], name="crew_trade_once")]


class CrewDay(models.Model):
    """One day of a crew that differs from its week: off, other hours, or fewer people."""

    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="days")
    on = models.DateField()
    off = models.BooleanField(default=False)
    opens = models.TimeField(null=True, blank=True)
    closes = models.TimeField(null=True, blank=True)
    head_count = models.PositiveSmallIntegerField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True, validators=[one_line])

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["crew", "on"], name="crew_day_once"),
            models.CheckConstraint(
                condition=(Q(opens__isnull=True) & Q(closes__isnull=True)) | Q(opens__lt=F("closes")),
                name="crew_day_hours_in_order",
            ),
        ]


class BranchDay(models.Model):
    """A day on which the whole branch is closed, or works although its calendar says otherwise."""

    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="days")
    on = models.DateField()
    closed = models.BooleanField(default=True)
    reason = models.CharField(max_length=200, validators=[one_line])

    class Meta:
        constraints = [models.UniqueConstraint(fields=["branch", "on"], name="branch_day_once")]


class Gear(models.Model):
    """Counted gear of a branch."""

    branch = models.ForeignKey("jobs.Branch", on_delete=models.PROTECT, related_name="gear")
    kind = models.CharField(max_length=32)
    name = models.CharField(max_length=120, validators=[one_line])
    count = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["branch", "kind"], name="gear_kind_once_a_branch")]


class Supplier(models.Model):
    """Who is called: a supplier, or an authority that inspects. ``week`` as in ``Crew``."""

    class Role(models.TextChoices):
        SUPPLIER = "supplier", _("supplier")
        AUTHORITY = "authority", _("authority")

    branch = models.ForeignKey("jobs.Branch", on_delete=models.PROTECT, related_name="suppliers")
    role = models.CharField(max_length=10, choices=Role)
    kind = models.CharField(max_length=32)
    name = models.CharField(max_length=120, validators=[one_line])
    phone = models.CharField(max_length=40, blank=True, validators=[one_line])
    email = models.EmailField(blank=True)
    notice_working_days = models.PositiveSmallIntegerField(default=1)
    free_cancel_hours = models.PositiveSmallIntegerField(default=24)
    fee_cents = models.PositiveIntegerField(default=0)
    daily_limit = models.PositiveSmallIntegerField(null=True, blank=True)
    week = models.JSONField(default=dict)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["branch", "kind"], name="supplier_kind_once_a_branch")]

    def __str__(self) -> str:
        return self.name


class Booking(models.Model):
    """A supplier's slot for a task. The booking owns asking and confirming; a hold owns the result."""

    class State(models.TextChoices):
        ASKED = "asked", _("asked for")
        CONFIRMED = "confirmed", _("confirmed")
        ARRIVED = "arrived", _("arrived")
        WRONG = "wrong", _("short or wrong")
        CANCELLED = "cancelled", _("cancelled")

    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="bookings")
    task = models.ForeignKey("jobs.Task", on_delete=models.CASCADE, related_name="bookings")
    kind = models.CharField(max_length=32)
    state = models.CharField(max_length=10, choices=State, default=State.ASKED)
    on = models.DateField()
    asked_at = models.DateTimeField()
    confirmed_at = models.DateTimeField(null=True, blank=True)
    reference = models.CharField(max_length=60, blank=True, validators=[one_line])
    expires_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["task", "kind"], condition=~Q(state="cancelled"), name="booking_live_once_a_task"
            ),
            models.CheckConstraint(
                condition=Q(state__in=["asked", "cancelled"]) | Q(confirmed_at__isnull=False),
                name="booking_confirmed_says_when",
            ),
        ]
