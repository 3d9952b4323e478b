"""Who may see and do what: a person's role in a branch."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class Membership(models.Model):
    """A person's role in one branch; a foreman has a crew."""

    class Role(models.TextChoices):
        OWNER = "owner", _("owner")
        OFFICE = "office", _("office")
        FOREMAN = "foreman", _("foreman")
        READER = "reader", _("reader")

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="memberships")
    branch = models.ForeignKey("jobs.Branch", on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=8, choices=Role)
    crew = models.ForeignKey("crews.Crew", on_delete=models.SET_NULL, null=True, blank=True, related_name="members")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["user", "branch"], name="membership_once_a_branch")]
