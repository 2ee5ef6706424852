"""Django's settings; they load with nothing running and nothing set.

What a hospital may set, all in the environment: ``LUMENKEEP_DATA`` (folder of the
database), ``LUMENKEEP_SECRET_KEY``, ``LUMENKEEP_HOSTS`` (names by which it is
reached, with commas) and ``LUMENKEEP_HTTPS`` (1 or 0; 1 as soon as hosts are named).
"""

from __future__ import annotations

import os
import sys
from datetime import timedelta
from typing import Any

from csp.constants import NONE, SELF

from lumenkeep.ward.long_work.kinds import KindOfWork
from lumenkeep.ward.site.data_folder import data_folder, secret_key

SECRET_KEY = secret_key()
DEBUG = False

LOCAL_HOSTS = ("localhost", "127.0.0.1", "[::1]")
_named_hosts = tuple(
    host.strip()
    for host in os.environ.get("LUMENKEEP_HOSTS", "").split(",")
    if host.strip()
)
ALLOWED_HOSTS = [*LOCAL_HOSTS, *_named_hosts]
_is_https = os.environ.get("LUMENKEEP_HTTPS", "1" if _named_hosts else "0") == "1"
# pytest is what runs, not merely installed.
_is_test = "pytest" in sys.modules

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
    "axes",
    "django_tasks",
    "django_tasks_db",
    "lumenkeep.ward.site",
    "lumenkeep.ward.long_work",
    "lumenkeep.ward.versions",
    "lumenkeep.ward.chart",
    "lumenkeep.ward.concerns",
    "lumenkeep.ward.infections",
    "lumenkeep.ward.guide",
    "lumenkeep.ward.rounds",
    "lumenkeep.ward.outcomes",
    "lumenkeep.ward.policies",
    "lumenkeep.ward.look_back",
    "lumenkeep.web",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    # Every page asks for a sign-in unless it says otherwise.
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "lumenkeep.web.urls"
WSGI_APPLICATION = "lumenkeep.web.wsgi.application"
TEMPLATES: list[dict[str, Any]] = [
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

# ---------------------------------------------------------------- database

DATABASE_FILE = data_folder() / "lumenkeep.sqlite3"
DATABASES: dict[str, dict[str, Any]] = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": DATABASE_FILE,
        # Each thread keeps its connection, with its pragmas and its page cache.
        "CONN_MAX_AGE": None,
        "OPTIONS": {
            # A transaction takes the write lock at once, so two nurses who chart at
            # the same moment wait for each other instead of failing.
            "transaction_mode": "IMMEDIATE",
            "init_command": (
                "PRAGMA journal_mode=WAL;"
                # What a nurse saw saved must survive a power cut.
                "PRAGMA synchronous=FULL;"
                "PRAGMA foreign_keys=ON;"
                "PRAGMA busy_timeout=10000;"
                "PRAGMA cache_size=-32000;"
            ),
        },
    }
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# ---------------------------------------------------------------- long work

TASKS: dict[str, dict[str, Any]] = {
    "default": {
        # In a test nobody works unless the test says so (tests/fakes/work_here.py).
        "BACKEND": "django_tasks.backends.dummy.DummyBackend"
        if _is_test
        else "django_tasks_db.DatabaseBackend",
        # Any lane is a queue.
        "QUEUES": [],
    }
}
LONG_WORK = {
    "solve": KindOfWork("lumenkeep.ward.policies.solve", "solver", 900),
    # What a guide waits for never waits for what it can begin without, nor for a proof.
    "ways": KindOfWork("lumenkeep.ward.guide.work", "ways", 240),
    "second-slips": KindOfWork("lumenkeep.ward.guide.work", "second-slips", 240),
}
# A worker beats so often; whoever has not for so long is dead: longer than the database
# may be locked.
LONG_WORK_BEAT_SECONDS = 5.0
LONG_WORK_MISSED_SECONDS = 30.0

# ---------------------------------------------------------------- time and words

USE_TZ = True
TIME_ZONE = "UTC"
USE_I18N = False
LANGUAGE_CODE = "en"

# ---------------------------------------------------------------- accounts

AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
if _is_test:
    # A slow hash is right for a hospital and wrong for a thousand tests.
    PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": (
            "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"
        )
    },
]
LOGIN_URL = "/sign-in/"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "/sign-in/"

# Only the invented hospital prints its accounts on the page where people sign in.
DEMO = os.environ.get("LUMENKEEP_DEMO") == "1"

AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_VERBOSE = False
AXES_LOCKOUT_TEMPLATE = "lumenkeep/locked.html"
# Names stay out of the log.
AXES_SENSITIVE_PARAMETERS = ["username", "ip_address"]

SESSION_COOKIE_AGE = 12 * 60 * 60  # one long shift
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = _is_https
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SECURE = _is_https
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in _named_hosts if _is_https]

# ---------------------------------------------------------------- transport

SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if _is_https:
    SECURE_HSTS_SECONDS = 30 * 24 * 60 * 60
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "object-src": [NONE],
        "base-uri": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}

# ---------------------------------------------------------------- static files

STATIC_URL = "/static/"
# Served from where they lie: nothing has to be gathered before a start.
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
WHITENOISE_MAX_AGE = 300

# ---------------------------------------------------------------- log

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}
    },
    "handlers": {
        "stderr": {
            "class": "logging.StreamHandler",
            "formatter": "line",
            # The process's own: work in a thread may outlive whoever stood in for it.
            "stream": "ext://sys.__stderr__",
        }
    },
    "root": {"handlers": ["stderr"], "level": "WARNING"},
}
