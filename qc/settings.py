"""Settings, from the environment. Without any, a single machine on SQLite under var/."""

import os
import secrets
from pathlib import Path

import dj_database_url

BASE_DIR = Path(__file__).resolve().parent.parent
VAR = Path(os.environ.get("QC_VAR", BASE_DIR / "var"))
VAR.mkdir(exist_ok=True, parents=True)


def _kept_secret(path: Path) -> str:
    """The installation's own key: made once, readable by its owner only."""
    if not path.exists():
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT, 0o600), "w") as file:
            file.write(secrets.token_urlsafe(64))
    return path.read_text()


SECRET_KEY = os.environ.get("SECRET_KEY") or _kept_secret(VAR / "secret_key")
SECRET_KEY_FALLBACKS = os.environ.get("SECRET_KEY_FALLBACKS", "").split()
DEBUG = False
HTTPS = os.environ.get("QC_HTTPS") == "1"
ALLOWED_HOSTS = os.environ.get("ALLOWED_HOSTS", "localhost 127.0.0.1 [::1]").split()
CSRF_TRUSTED_ORIGINS = os.environ.get("CSRF_TRUSTED_ORIGINS", "").split()

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "crispy_forms",
    "django_htmx",
    "qc",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "qc.web.middleware.PrivatePages",
    "qc.web.middleware.RefusalPage",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "qc.urls"
WSGI_APPLICATION = "qc.wsgi.application"
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
                "qc.web.context.waiting",
            ],
            # The tags live in the web room, which is no app of its own.
            "libraries": {
                name: f"qc.web.templatetags.{name}" for name in ("parts", "pictures", "form_parts")
            },
        },
    }
]

_SQLITE_OPTIONS = {
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    "init_command": (
        "PRAGMA journal_mode=WAL;"
        "PRAGMA synchronous=FULL;"
        # Without it INSERT OR REPLACE would slip past the seals.
        "PRAGMA recursive_triggers=ON;"
    ),
}
DATABASES = {
    "default": dj_database_url.config(
        default=f"sqlite:///{VAR / 'record.sqlite3'}", conn_max_age=60
    )
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = _SQLITE_OPTIONS

# On PostgreSQL: the role that owns the tables and migrates, so that the web role can't lift a seal.
_OWNER_URL = os.environ.get("DATABASE_OWNER_URL")
DATABASE_OWNER = dj_database_url.parse(_OWNER_URL) if _OWNER_URL else None

DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "qc.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"

# Tries are counted for a name at an address, so that a stranger cannot lock a person out elsewhere.
AXES_FAILURE_LIMIT = 10
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_COOLOFF_TIME = 0.25
AXES_LOCKOUT_TEMPLATE = "qc/locked_out.html"
AXES_RESET_ON_SUCCESS = True

SESSION_COOKIE_AGE = 12 * 3600
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
CSRF_COOKIE_HTTPONLY = True
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if HTTPS:
    SESSION_COOKIE_NAME = "__Host-sessionid"
    CSRF_COOKIE_NAME = "__Host-csrftoken"

_SELF = "'self'"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [_SELF],
        "img-src": [_SELF, "data:"],
        "object-src": ["'none'"],
        "base-uri": ["'none'"],
        "form-action": [_SELF],
        "frame-ancestors": ["'none'"],
    }
}

# Shared by all workers of a machine, so that a limit holds for all of them together.
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.filebased.FileBasedCache",
        "LOCATION": VAR / "cache",
        "OPTIONS": {"MAX_ENTRIES": 10_000},
    }
}
# How people reach this program, as "https://record.example.org": for links in mails, and on
# certificates, which without it print the code alone.
PUBLIC_ADDRESS = os.environ.get("QC_PUBLIC_ADDRESS", "").rstrip("/")

LANGUAGE_CODE = "en-gb"
TIME_ZONE = "UTC"
USE_I18N = True
USE_TZ = True

STATIC_URL = "static/"
# Only a front server wants the files collected in one place; else they are served where they are.
STATIC_ROOT = os.environ.get("QC_STATIC_ROOT")
STATICFILES_DIRS = [BASE_DIR / "static"]
WHITENOISE_USE_FINDERS = True
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    "evidence": {
        "BACKEND": "qc.evidence.store.ContentStorage",
        "OPTIONS": {"location": VAR / "files"},
    },
}
FILE_UPLOAD_PERMISSIONS = 0o600
DATA_UPLOAD_MAX_NUMBER_FIELDS = 6000
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024

CRISPY_ALLOWED_TEMPLATE_PACKS = ("field_book",)
CRISPY_TEMPLATE_PACK = "field_book"
CRISPY_FAIL_SILENTLY = False

# Without a server mails are printed where the program runs.
EMAIL_HOST = os.environ.get("EMAIL_HOST", "")
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if EMAIL_HOST else 'console'}.EmailBackend"
EMAIL_PORT = int(os.environ.get("EMAIL_PORT", "587"))
EMAIL_HOST_USER = os.environ.get("EMAIL_HOST_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("EMAIL_HOST_PASSWORD", "")
EMAIL_USE_SSL = os.environ.get("EMAIL_SECURITY") == "ssl"
EMAIL_USE_TLS = os.environ.get("EMAIL_SECURITY", "starttls") == "starttls"
EMAIL_TIMEOUT = 10
DEFAULT_FROM_EMAIL = os.environ.get("EMAIL_FROM", "quality-record@localhost")
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
