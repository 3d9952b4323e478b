"""The demo's sign-in: a random password for each data folder, for this machine only."""

import secrets

from django.contrib.auth import get_user_model

from jobs.models import Branch
from planner.web.models import Membership

NAME = "office"


def demo_sign_in(branch: Branch) -> tuple[str, str]:
    """A user of the demo's office with a password nobody else has."""
    password = secrets.token_urlsafe(12)
    user, _ = get_user_model().objects.get_or_create(username=NAME)
    user.set_password(password)
    user.save()
    Membership.objects.get_or_create(user=user, branch=branch, defaults={"role": Membership.Role.OWNER})
    return NAME, password
