"""Settings of an office behind HTTPS: every secret from the environment, nothing guessed."""

import os

from django.core.exceptions import ImproperlyConfigured

from planner.settings.base import *  # noqa: F403

if not os.environ.get("PLANNER_SECRET_KEY"):
    raise ImproperlyConfigured("PLANNER_SECRET_KEY is empty: set it to a long random text and keep it secret.")

SECURE_SSL_REDIRECT = True
SECURE_HSTS_SECONDS = 31_536_000
SECURE_HSTS_INCLUDE_SUBDOMAINS = True
SECURE_HSTS_PRELOAD = True
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
SESSION_COOKIE_SECURE = True
CSRF_COOKIE_SECURE = True
