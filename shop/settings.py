"""Settings: one file, read from the environment, safe by default.

Without any variable set, Gatherbook runs for one shop on one machine: SQLite, photos and mail under ``var/``,
answering on loopback only. ``GATHERBOOK_MODE=production`` turns on what a public address needs and refuses to
start without a secret key and host names of its own.
"""

import os
import secrets
from pathlib import Path
from urllib.parse import unquote, urlsplit

from django.core.exceptions import ImproperlyConfigured

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(os.environ.get("GATHERBOOK_VAR", BASE_DIR / "var"))

MODE = os.environ.get("GATHERBOOK_MODE", "local")
if MODE not in {"local", "production"}:
    raise ImproperlyConfigured(f"GATHERBOOK_MODE is {MODE!r}; it can be 'local' or 'production'.")
PRODUCTION = MODE == "production"
DEBUG = not PRODUCTION and os.environ.get("GATHERBOOK_DEBUG") == "1"


def _secret_key() -> str:
    """The key from the environment, or one made for this machine and kept beside its database."""
    if key := os.environ.get("GATHERBOOK_SECRET_KEY"):
        return key
    if PRODUCTION:
        raise ImproperlyConfigured("Set GATHERBOOK_SECRET_KEY to a long random text of your own.")
    path = VAR_DIR / "secret_key"
    if not path.exists():
        VAR_DIR.mkdir(parents=True, exist_ok=True)
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
            file.write(secrets.token_urlsafe(64))
    return path.read_text()


THIS_MACHINE = ("localhost", "127.0.0.1", "[::1]")


def _hosts() -> list[str]:
    """The names this book answers to; at home always those of the machine itself, named or not."""
    hosts = [host.strip() for host in os.environ.get("GATHERBOOK_HOSTS", "").split(",") if host.strip()]
    if not hosts and PRODUCTION:
        raise ImproperlyConfigured(
            "Set GATHERBOOK_HOSTS to the names this shop answers to, with commas between."
        )
    return hosts if PRODUCTION else [*hosts, *THIS_MACHINE]


def _database() -> dict[str, object]:
    """SQLite under ``var/``, or the PostgreSQL server that GATHERBOOK_DATABASE_URL names."""
    if url := os.environ.get("GATHERBOOK_DATABASE_URL"):
        parts = urlsplit(url)
        if parts.scheme not in {"postgres", "postgresql"}:
            raise ImproperlyConfigured(
                "GATHERBOOK_DATABASE_URL starts with postgresql://, or is left out for SQLite."
            )
        return {
            "ENGINE": "django.db.backends.postgresql",
            "NAME": parts.path.lstrip("/"),
            "USER": unquote(parts.username or ""),
            "PASSWORD": unquote(parts.password or ""),
            "HOST": parts.hostname or "",
            "PORT": str(parts.port or ""),
            "CONN_MAX_AGE": 60,
            "CONN_HEALTH_CHECKS": True,
        }
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": VAR_DIR / "gatherbook.sqlite3",
        "OPTIONS": {
            # Taking the write lock at the start keeps two people from reading the same state and both acting on it.
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;",
        },
    }


SECRET_KEY = _secret_key()
ALLOWED_HOSTS = _hosts()
DATABASES = {"default": _database()}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "shop",
    "jobs",
    "estimates",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "shop.security.ContentSecurityPolicy",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.standing.SendToTheDoor",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "shop.standing.StandingShop",
    "shop.nul.WithoutNul",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.standing.standing",
                "jobs.clock.running_clock",
            ],
            "builtins": ["shop.templatetags.look"],
        },
    },
]

AUTH_USER_MODEL = "shop.Person"
AUTHENTICATION_BACKENDS = ["django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign-in"

LANGUAGE_CODE = "en-gb"
TIME_ZONE = "UTC"  # the shop's own zone is kept with the shop and activated for each request
USE_I18N = False
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = VAR_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
MEDIA_ROOT = VAR_DIR / "media"
STORAGES = {
    "default": {
        # An object store is any Django storage class; its own settings come from its own environment variables.
        "BACKEND": os.environ.get("GATHERBOOK_PHOTO_STORAGE", "django.core.files.storage.FileSystemStorage"),
    },
    "staticfiles": {
        "BACKEND": (
            "django.contrib.staticfiles.storage.StaticFilesStorage"
            if DEBUG
            else "whitenoise.storage.CompressedManifestStaticFilesStorage"
        ),
    },
}
WHITENOISE_USE_FINDERS = DEBUG
WHITENOISE_MANIFEST_STRICT = False  # before `manage.py prepare`, a plain address beats an error page

# One photograph straight from a phone is 3 to 15 MB; a scan of an old drawing may be more.
PHOTO_MAX_BYTES = 40 * 1024 * 1024
# A phone of today takes 50 megapixels; past 120 million a small file can unpack to more memory than the shop has.
PHOTO_MAX_PIXELS = 120_000_000
FILE_UPLOAD_HANDLERS = [
    "shop.uploads.RefuseHugeFiles",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
DATA_UPLOAD_MAX_MEMORY_SIZE = 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2000

# How the world reaches this book, for the links in e-mails, papers and QR codes: https://book.example
PUBLIC_ADDRESS = os.environ.get("GATHERBOOK_ADDRESS", "")

EMAIL_BACKEND = os.environ.get(
    "GATHERBOOK_EMAIL_BACKEND",
    "django.core.mail.backends."
    + ("smtp" if "GATHERBOOK_EMAIL_HOST" in os.environ else "filebased")
    + ".EmailBackend",
)
EMAIL_FILE_PATH = VAR_DIR / "mail"
EMAIL_HOST = os.environ.get("GATHERBOOK_EMAIL_HOST", "localhost")
EMAIL_PORT = int(os.environ.get("GATHERBOOK_EMAIL_PORT", "25"))
EMAIL_HOST_USER = os.environ.get("GATHERBOOK_EMAIL_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("GATHERBOOK_EMAIL_PASSWORD", "")
EMAIL_USE_TLS = os.environ.get("GATHERBOOK_EMAIL_TLS") == "1"
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = os.environ.get("GATHERBOOK_EMAIL_FROM", "shop@localhost")

SESSION_COOKIE_AGE = 60 * 60 * 24 * 30  # a phone in an apron should not ask for a password twice a day
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "shop.views.stale_page"
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS] if PRODUCTION else []
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if PRODUCTION:
    SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 60 * 60 * 24 * 365
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "INFO"},
    "loggers": {"fontTools": {"level": "WARNING"}, "ezdxf": {"level": "WARNING"}},
}
