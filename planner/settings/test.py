"""Settings of the test runs: nothing from the environment but the database address."""

import os

os.environ.setdefault("PLANNER_SECRET_KEY", "only-for-tests-" + "0" * 50)

from planner.settings.base import *  # noqa: F403

PLANNER_AS_OF = None
STATIC_ROOT = ROOT / "planner" / "web" / "static"  # noqa: F405 - comes with the star above
PLANNER_USER_AGENT = "DryWindow tests (office@example.org)"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
# A developer's own channels must never be used by a test.
PLANNER_MAIL_URL = PLANNER_MAIL_FROM = ""
PLANNER_TEXT_URL = PLANNER_TEXT_BODY = PLANNER_TEXT_HEADERS = PLANNER_TEXT_GOOD = ""
PLANNER_WEBHOOK_URL = PLANNER_WEBHOOK_SECRET = PLANNER_PUBLIC_URL = ""
PLANNER_TEXT_METHOD = "POST"
PLANNER_SEND_INSIDE = PLANNER_SEND_UNENCRYPTED = False
# No page of a test starts a process: what it would do is called by name.
PLANNER_TRIALS_START = False
