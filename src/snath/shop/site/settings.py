"""How the web framework is set up: closed by default, opened by `snath serve` and by nothing else.

Importing this changes nothing on disk. `snath serve` prepares the folder first and passes its
choices in the environment, because the server starts its worker as a process of its own.
"""

import os
from importlib.util import find_spec
from pathlib import Path

from snath.shop.site.data_folder import data_folder, database_address, secret_key
from snath.shop.site.databases import database
from snath.shop.site.forwarded import proxies_of
from snath.shop.site.log_lines import logging_setup
from snath.shop.site.readers import READERS_VARIABLE
from snath.words import tables
from snath.words.tables import entry

HOSTS_VARIABLE, PORT_VARIABLE, LAN_VARIABLE = "SNATH_HOSTS", "SNATH_PORT", "SNATH_LAN"
PROXIES_VARIABLE, LOG_VARIABLE = "SNATH_PROXIES", "SNATH_LOG"

FOLDER = data_folder()
SITE = Path(__file__).parent
# reached from elsewhere, directly or through a proxy: everybody logs in
LAN = os.environ.get(LAN_VARIABLE) == "1"
PROXIES = proxies_of(os.environ.get(PROXIES_VARIABLE, ""))  # believed about whom they speak for
PORT = int(os.environ.get(PORT_VARIABLE, "8077"))
READERS = int(os.environ.get(READERS_VARIABLE, "0"))  # processes that read recordings; without them pages do
DEMO = os.environ.get("SNATH_DEMO") == "1"

DEBUG = False
SECRET_KEY = secret_key(FOLDER)
ALLOWED_HOSTS = os.environ.get(HOSTS_VARIABLE, "localhost,127.0.0.1,[::1]").split(",")
ROOT_URLCONF = "snath.shop.site.urls"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "snath.shop.records",
    "snath.shop.site",
]
if find_spec("snath.shop.bench.urls"):
    INSTALLED_APPS.append("snath.shop.bench")

MIDDLEWARE = [
    "snath.shop.site.log_lines.Numbered",
    "snath.shop.site.api.refusals.InJson",
    "snath.shop.site.forwarded.ForwardedRequests",
    "snath.shop.site.middleware.ForeignRequests",
    "django.middleware.security.SecurityMiddleware",
    "snath.shop.site.middleware.PagePolicy",
    "snath.shop.site.api.door.ApiDoor",
    *(["django.middleware.gzip.GZipMiddleware"] if LAN else []),  # on one machine it only costs time
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "snath.shop.site.middleware.ReadingOnly",
    "snath.shop.site.access.WhoMayDoWhat",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "snath.shop.site.middleware.RefusedEntries",
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [SITE / "people" / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]

if find_spec("snath.shop.bench.widgets"):
    FORM_RENDERER = "snath.shop.bench.widgets.QuickWidgets"

DATABASES = {"default": database(database_address(FOLDER), FOLDER.database)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "records.Person"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]
AUTHENTICATION_BACKENDS = ["django.contrib.auth.backends.ModelBackend"]
CSRF_FAILURE_VIEW = "snath.shop.site.errors.forged"
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "/"
SESSION_COOKIE_AGE = 12 * 3600  # a long working day; a paired phone gets its own figure
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = "snath_session", "snath_csrf"
CSRF_TRUSTED_ORIGINS: list[str] = []

SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = LAN
SECURE_SSL_REDIRECT = LAN
SECURE_REDIRECT_EXEMPT = ["^health/$"]
# Nothing pins a browser to HTTPS or to a certificate: with a new authority it could be talked into nothing any more.
SECURE_HSTS_SECONDS = 0
SILENCED_SYSTEM_CHECKS = ["security.W004"]  # asks for just that

DATA_UPLOAD_MAX_MEMORY_SIZE = 2_000_000  # form fields; files stream to disk under their own limit
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2_000
FILE_UPLOAD_MAX_MEMORY_SIZE = 1_000_000
FILE_UPLOAD_PERMISSIONS = 0o600

LANGUAGE_CODE = "en"
LANGUAGES = [(code, entry("language.name", code) or code) for code in tables.LANGUAGES]
LANGUAGE_COOKIE_NAME = "snath_language"
USE_I18N = USE_TZ = True
TIME_ZONE = os.environ.get("TZ") or "UTC"

STATIC_URL = "/static/"
STATICFILES_DIRS = [SITE.parent / "pictures" / "static"]
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
MEDIA_ROOT = FOLDER.attachments

LOGGING = logging_setup(lines=os.environ.get(LOG_VARIABLE) == "lines")
