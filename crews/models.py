"""Who builds, as rows: crews, their trades and days, gear, suppliers and authorities, bookings, messages."""

from datetime import time

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from crews.domain.supplier_letters import LetterKind, check_letter
from jobs.domain.errors import CannotDo
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
    overtime_hour_cents = models.PositiveIntegerField(
        default=0, help_text=_("What an hour of the whole crew costs past its hours; 0: it never stays longer.")
    )
    most_overtime_minutes = models.PositiveSmallIntegerField(
        default=0, help_text=_("How long it stays past its hours at most, within the day of the branch.")
    )
    saturday_hour_cents = models.PositiveIntegerField(
        default=0, help_text=_("What an hour of the whole crew costs on a Saturday it has off; 0: it never comes.")
    )
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

    def __str__(self) -> str:
        return f"{self.on:%a} {self.on.day} {self.on:%b %Y}"


class Gear(models.Model):
    """Counted gear of a branch."""

    branch = models.ForeignKey("jobs.Branch", on_delete=models.PROTECT, related_name="gear")
    kind = models.CharField(max_length=32)
    name = models.CharField(max_length=120, validators=[one_line])
    count = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["branch", "kind"], name="gear_kind_once_a_branch")]

    def __str__(self) -> str:
        return self.name


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

    def __str__(self) -> str:
        return f"{self.kind} for {self.task}"


class BranchReach(models.Model):
    """How a branch's office is reached, when nobody is disturbed, and what the office writes to suppliers.

    The letters are templates of the office's own words; ``crews.domain.supplier_letters`` names their fields. Empty:
    the words that come with the service.
    """

    branch = models.OneToOneField("jobs.Branch", on_delete=models.CASCADE, related_name="reach")
    mail = models.EmailField(blank=True)
    text_phone = models.CharField(max_length=40, blank=True, validators=[one_line])
    quiet_from = models.TimeField(default=time(21))
    quiet_until = models.TimeField(default=time(6))
    ask_letter = models.TextField(blank=True, max_length=4000)
    move_letter = models.TextField(blank=True, max_length=4000)
    call_off_letter = models.TextField(blank=True, max_length=4000)

    writes_by_itself = models.BooleanField(
        default=False, help_text=_("Letters to suppliers go out by themselves when a call is due within a working day.")
    )

    class Meta:
        verbose_name_plural = "branch reaches"

    def __str__(self) -> str:
        return str(self.branch)

    def clean(self) -> None:
        """Refuse letters that name what there is not, or leave out what they are about."""
        for kind, text in self.letters().items():
            if text.strip():
                try:
                    check_letter(kind, text)
                except CannotDo as refused:
                    raise ValidationError({refused.field: str(refused)}) from refused

    def letters(self) -> dict[LetterKind, str]:
        """The office's own words by kind of letter; empty where ours are used."""
        return {"ask": self.ask_letter, "move": self.move_letter, "call_off": self.call_off_letter}


class Message(models.Model):
    """One fact for one person on one channel: waiting, under way, sent, or given up with its reason.

    ``attempts`` is also the guard of a claim: whoever raised it last may mark the row. ``failing_since`` is when the
    first of the attempts failed that have not been made good since. ``link`` names what ``[[link]]`` in the body
    becomes when it is sent.
    """

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        SENDING = "sending", _("under way")
        SENT = "sent", _("sent")
        DEAD = "dead", _("given up")
        DROPPED = "dropped", _("no longer needed")

    class Channel(models.TextChoices):
        MAIL = "mail", _("e-mail")
        TEXT = "text", _("text message")
        WEBHOOK = "webhook", _("web address")
        NONE = "none", _("nowhere")

    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="messages")
    fact = models.CharField(max_length=200, validators=[one_line])
    person = models.CharField(max_length=60, validators=[one_line])
    name = models.CharField(max_length=120, validators=[one_line])
    channel = models.CharField(max_length=8, choices=Channel)
    address = models.CharField(max_length=254, blank=True, validators=[one_line])
    reply_to = models.EmailField(blank=True)
    subject = models.CharField(max_length=200, validators=[one_line])
    body = models.TextField()
    link = models.CharField(max_length=100, blank=True, validators=[one_line])
    message_id = models.CharField(max_length=320, validators=[one_line])
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    attempts = models.PositiveSmallIntegerField(default=0)
    urgent = models.BooleanField(default=False)
    posted_at = models.DateTimeField()
    not_before = models.DateTimeField(null=True, blank=True)
    next_try_at = models.DateTimeField()
    lease_until = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    answer_by = models.DateTimeField(null=True, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    failing_since = models.DateTimeField(null=True, blank=True)
    last_error = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["branch", "fact", "person", "channel"], name="message_once_a_fact_person_channel"
            ),
            models.CheckConstraint(
                condition=~Q(state="sent") | Q(sent_at__isnull=False), name="message_sent_says_when"
            ),
            models.CheckConstraint(
                condition=~Q(state="sending") | Q(lease_until__isnull=False), name="message_sending_has_a_lease"
            ),
        ]
        indexes = [
            models.Index(fields=["state", "next_try_at"], name="message_due"),
            models.Index(fields=["branch", "-posted_at"], name="message_newest"),
        ]

    def __str__(self) -> str:
        return f"{self.subject} ({self.name}, {self.get_channel_display()})"
