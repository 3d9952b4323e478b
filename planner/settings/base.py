"""Settings every way of running shares. Each setting an operator may change is read from the environment."""

import os
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import quote

import dj_database_url
from django.core.exceptions import ImproperlyConfigured

ROOT = Path(__file__).resolve().parents[2]


def as_moment(text: str) -> datetime | None:
    """An ISO date or moment as aware UTC; empty is none. A date without a zone counts as UTC."""
    if not text:
        return None
    moment = datetime.fromisoformat(text)
    return moment.astimezone(UTC) if moment.tzinfo else moment.replace(tzinfo=UTC)


def whole_number(name: str, text: str, low: int, high: int) -> int:
    """A whole number of a setting, refused outside its limits."""
    if not text.isdecimal() or not low <= int(text) <= high:
        raise ImproperlyConfigured(
            f"{name} is {text!r}: set it to a whole number from {low} to {high}, or leave it out."
        )
    return int(text)


DATA_DIR = Path(os.environ.get("PLANNER_DATA_DIR", str(ROOT / "data")))
WEATHER_RECORDS = ROOT / "fixtures" / "weather"
PLANNER_AS_OF = as_moment(os.environ.get("PLANNER_AS_OF", ""))
PLANNER_USER_AGENT = os.environ.get("PLANNER_USER_AGENT", "")
PLANNER_NWS_URL = os.environ.get("PLANNER_NWS_URL", "https://api.weather.gov")
PLANNER_MET_URL = os.environ.get("PLANNER_MET_URL", "https://api.met.no/weatherapi/locationforecast/2.0")
PLANNER_OPEN_METEO_URL = os.environ.get("PLANNER_OPEN_METEO_URL", "")
PLANNER_OPEN_METEO_KEY = os.environ.get("PLANNER_OPEN_METEO_KEY", "")

# Empty: a Redis of this data folder, which `manage.py serve` starts.
PLANNER_REDIS_URL = os.environ.get("PLANNER_REDIS_URL") or f"unix://{quote(str(DATA_DIR.absolute()))}/redis.sock"
PLANNER_TICK_SECONDS = whole_number("PLANNER_TICK_SECONDS", os.environ.get("PLANNER_TICK_SECONDS") or "60", 1, 600)
PLANNER_BRANCH_QUEUES = whole_number("PLANNER_BRANCH_QUEUES", os.environ.get("PLANNER_BRANCH_QUEUES") or "4", 1, 64)
PLANNER_WORKERS = whole_number("PLANNER_WORKERS", os.environ.get("PLANNER_WORKERS") or "2", 1, 64)

# Channels to people; each is off until its settings are filled in.
PLANNER_MAIL_URL = os.environ.get("PLANNER_MAIL_URL", "")
PLANNER_MAIL_FROM = os.environ.get("PLANNER_MAIL_FROM", "")
PLANNER_TEXT_URL = os.environ.get("PLANNER_TEXT_URL", "")
PLANNER_TEXT_METHOD = os.environ.get("PLANNER_TEXT_METHOD") or "POST"
PLANNER_TEXT_BODY = os.environ.get("PLANNER_TEXT_BODY", "")
PLANNER_TEXT_HEADERS = os.environ.get("PLANNER_TEXT_HEADERS", "")
PLANNER_TEXT_GOOD = os.environ.get("PLANNER_TEXT_GOOD", "")
PLANNER_WEBHOOK_URL = os.environ.get("PLANNER_WEBHOOK_URL", "")
PLANNER_WEBHOOK_SECRET = os.environ.get("PLANNER_WEBHOOK_SECRET", "")
PLANNER_SEND_INSIDE = os.environ.get("PLANNER_SEND_INSIDE", "") == "yes"
PLANNER_SEND_UNENCRYPTED = os.environ.get("PLANNER_SEND_UNENCRYPTED", "") == "yes"
# Where the pages are reached from outside, such as https://plans.example.org; private links are sent only with it.
PLANNER_PUBLIC_URL = os.environ.get("PLANNER_PUBLIC_URL", "").rstrip("/")
# What fills [[link]] in a message when it is sent, by the kind of link.
LINK_FILLERS: dict[str, str] = {"day_link": "planner.dayplans.sending.address_of_link"}
# How long a message belongs to the worker that sends it: longer than the longest attempt on any channel, so that a
# worker that is still alive has marked it by then.
MESSAGE_LEASE = timedelta(minutes=5)
# However little it may do, a search has so long on the clock [s]: a busy machine is slow.
SEARCH_LEAST_CLOCK_S = 60.0
# What a branch's claim lasts beyond a search that tells nothing of its progress.
CLAIM_MARGIN = timedelta(seconds=60)
# What waits for a request's turn at a public service; every process takes from the same buckets.
FORECAST_PACE = "planner.serving.locks.paced"
PLANNER_MESSAGES_KEPT_DAYS = whole_number(
    "PLANNER_MESSAGES_KEPT_DAYS", os.environ.get("PLANNER_MESSAGES_KEPT_DAYS") or "365", 90, 3650
)
PLANNER_SEARCH_EFFORT = whole_number("PLANNER_SEARCH_EFFORT", os.environ.get("PLANNER_SEARCH_EFFORT") or "6", 0, 100)

DEBUG = False
SECRET_KEY = os.environ.get("PLANNER_SECRET_KEY", "")
ALLOWED_HOSTS = [
    host for host in os.environ.get("PLANNER_ALLOWED_HOSTS", "127.0.0.1,localhost,[::1]").split(",") if host
]

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "jobs",
    "crews",
    "planner",
    "planner.forecast",
    "planner.plans",
    "planner.watch",
    "planner.dayplans",
    "planner.serving",
    "planner.web",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "planner.web.refusals.RefusalMiddleware",
]

ROOT_URLCONF = "planner.urls"
WSGI_APPLICATION = "planner.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

DATABASES = {
    "default": dj_database_url.parse(
        os.environ.get("PLANNER_DATABASE_URL") or f"sqlite:///{quote(str(DATA_DIR / 'planner.sqlite3'))}",
        conn_max_age=60,
        conn_health_checks=True,
    )
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["CONN_MAX_AGE"] = 0
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA foreign_keys=ON;",
    }

DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

LANGUAGE_CODE = "en-us"
# A language is offered once its catalogue is there: English words are not to be read out as Spanish ones.
LANGUAGES = [("en", "English")]
LOCALE_PATHS = [ROOT / "planner" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True

LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign_in"

SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"mask_links": {"()": "planner.dayplans.masking.MaskLinks"}},
    "loggers": {
        name: {"filters": ["mask_links"]} for name in ("django.request", "django.security.csrf", "django.server")
    },
}
# Whether a trial asked for on a page starts a process that plans it.
PLANNER_TRIALS_START = True
