"""Private links to a crew's day plans, what each crew was told of a day, and who said that they have seen it."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from jobs.models import one_line


class DayLink(models.Model):
    """One crew's days from ``first_on`` to ``last_on``, opened by a keyed hash of ``id`` and ``generation``.

    The hash is never stored; raising the generation ends every address that was given out before.
    """

    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="day_links")
    crew = models.ForeignKey("crews.Crew", on_delete=models.CASCADE, related_name="day_links")
    first_on = models.DateField()
    last_on = models.DateField()
    generation = models.PositiveIntegerField(default=1)
    revoked = models.BooleanField(default=False)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["crew", "first_on", "last_on"],
                condition=Q(revoked=False),
                name="day_link_live_once_a_span",
            ),
            models.CheckConstraint(condition=Q(first_on__lte=F("last_on")), name="day_link_days_in_order"),
        ]


class Seen(models.Model):
    """Somebody on the crew said that they have seen the plan of a day; once for each plan."""

    link = models.ForeignKey(DayLink, on_delete=models.CASCADE, related_name="seen")
    on = models.DateField()
    plan_number = models.PositiveIntegerField()
    seen_at = models.DateTimeField()
    said_by = models.CharField(max_length=120, validators=[one_line])

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["link", "on", "plan_number"], name="seen_once_a_plan"),
        ]


class DayTold(models.Model):
    """What a crew was told of a day, each time it was told: ``count`` is 0 for the first.

    ``lines`` are its work in order, by which a change is seen; ``fact`` names the message in the outbox.
    """

    crew = models.ForeignKey("crews.Crew", on_delete=models.CASCADE, related_name="told_days")
    on = models.DateField()
    count = models.PositiveSmallIntegerField()
    plan_number = models.PositiveIntegerField()
    lines = models.JSONField()
    fact = models.CharField(max_length=200, validators=[one_line])
    told_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["crew", "on", "count"], name="day_told_once_a_count"),
        ]
