"""Django's settings. What differs between stores comes in through the environment.

PERENNATE_STORE is the folder that holds the store; PERENNATE_HOSTS are the names under which it
may be reached, this machine's own unless told.
"""

import os
from pathlib import Path

from csp.constants import NONE, SELF

STORE = Path(os.environ.get("PERENNATE_STORE", "var")).resolve()
LANGUAGE_CODE = "en"
USE_TZ = True
TIME_ZONE = "UTC"
USE_I18N = True


def _secret() -> str:
    """A key of the store's own, made once; a store that is not made yet needs none that lasts."""
    file = STORE / "secret"
    return file.read_text("ascii") if file.is_file() else os.urandom(32).hex()


SECRET_KEY = _secret()
DEBUG = False
ALLOWED_HOSTS = os.environ.get("PERENNATE_HOSTS", "localhost,127.0.0.1,[::1]").split(",")

INSTALLED_APPS = [
    "django.contrib.staticfiles",
    "django_htmx",
    "csp.apps.CspConfig",
    "perennate.server.store",
    "perennate.server.pages",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]
ROOT_URLCONF = "perennate.server.urls"
WSGI_APPLICATION = "perennate.server.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [Path(__file__).parent / "templates"],
        "OPTIONS": {
            "builtins": ["perennate.server.pages.templatetags.words"],
            "loaders": [
                (
                    "django.template.loaders.cached.Loader",
                    ["django.template.loaders.filesystem.Loader"],
                )
            ],
            "context_processors": ["django.template.context_processors.request"],
        },
    }
]
DATABASES = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": STORE / "perennate.sqlite3",
        "CONN_MAX_AGE": None,
        "OPTIONS": {
            "timeout": 20,
            "transaction_mode": "IMMEDIATE",
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
        },
    }
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
STATIC_URL = "static/"
STATICFILES_DIRS = [Path(__file__).parent / "static"]
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
WHITENOISE_MAX_AGE = 365 * 24 * 3600
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    "staticfiles": {"BACKEND": "perennate.server.fixed_files.AddressedByContent"},
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 32 * 2**20
FILE_UPLOAD_MAX_MEMORY_SIZE = 32 * 2**20
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
    }
}
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Strict"
CSRF_FAILURE_VIEW = "perennate.server.pages.refusals.forged"
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SILENCED_SYSTEM_CHECKS: list[str] = []
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"stderr": {"class": "logging.StreamHandler", "level": "ERROR"}},
    "loggers": {"django": {"handlers": ["stderr"], "level": "ERROR"}},
}
