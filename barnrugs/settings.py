"""The one settings file. What differs from place to place is read, and checked, in `environment.py`."""

import os
import tempfile
from pathlib import Path

import bootstrap_wrapper
from csp.constants import NONCE, NONE, SELF
from django.contrib.messages import constants as message_levels
from django.utils.translation import gettext_lazy as _

from barnrugs import environment

BASE_DIR = Path(__file__).resolve().parent.parent
env = environment.read(os.environ, BASE_DIR)

MODE = env.mode
DEBUG = env.debug
SECRET_KEY = env.secret_key
ALLOWED_HOSTS = env.hosts
DATA = env.data
HARNESS = env.harness

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "crispy_forms",
    "crispy_bootstrap5",
    "csp",
    "django_htmx",
    "import_export",
    "barnrugs.barns",
    "barnrugs.weather",
    "horses",
    "inventory",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "barnrugs.barns.middleware.PageHeadersMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "barnrugs.barns.here.HereMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "barnrugs.barns.this_device.ThisDeviceMiddleware",
]

ROOT_URLCONF = "barnrugs.urls"
WSGI_APPLICATION = "barnrugs.wsgi.application"
ASGI_APPLICATION = "barnrugs.asgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "barnrugs.barns.context.page",
            ],
        },
    },
]

# Race tests need a database that two connections can open, hence a file; its own for each run, hence the process id.
TEST_DATABASE = {
    "django.db.backends.sqlite3": str(Path(tempfile.gettempdir()) / f"barnrugs-test-{os.getpid()}.sqlite3"),
    "django.db.backends.postgresql": f"test_barnrugs_{os.getpid()}",
}
DATABASES = {"default": {**env.database, "TEST": {"NAME": TEST_DATABASE[env.database["ENGINE"]]}}}
if env.database["ENGINE"] == "django.db.backends.sqlite3":
    Path(env.database["NAME"]).parent.mkdir(parents=True, exist_ok=True)
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

CACHES = {"default": {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "cache"}}

AUTH_USER_MODEL = "barns.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "/"
ACCOUNT_ADAPTER = "barnrugs.barns.adapter.ClosedSignUp"
ACCOUNT_FORMS = {"login": "barnrugs.barns.forms.sign_in.SignInForm"}
ACCOUNT_LOGIN_METHODS = {"email", "username"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "email", "password1*", "password2*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_LOGOUT_REDIRECT_URL = LOGIN_URL
ACCOUNT_EMAIL_SUBJECT_PREFIX = "barnrugs: "
ACCOUNT_DEFAULT_HTTP_PROTOCOL = "https" if env.https else "http"
ACCOUNT_SESSION_REMEMBER = True
ALLAUTH_TRUSTED_PROXY_COUNT = env.proxies
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes"]
MFA_TOTP_ISSUER = "barnrugs"
MFA_ALLOW_UNVERIFIED_EMAIL = True

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English")), ("es", _("Spanish"))]
LOCALE_PATHS = [BASE_DIR / "locale"]
FORMAT_MODULE_PATH = ["barnrugs.formats"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
STATIC_ROOT = BASE_DIR / "staticfiles"
STATICFILES_DIRS = [BASE_DIR / "static", ("bootstrap", bootstrap_wrapper.get_bootstrap_css_dir())]
MANIFEST_STORAGE = "whitenoise.storage.CompressedManifestStaticFilesStorage"
PLAIN_STORAGE = "django.contrib.staticfiles.storage.StaticFilesStorage"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": MANIFEST_STORAGE if env.production else PLAIN_STORAGE},
}
WHITENOISE_USE_FINDERS = not env.production
WHITENOISE_AUTOREFRESH = not env.production
MEDIA_ROOT = DATA / "pictures"
FILE_UPLOAD_HANDLERS = [
    "barnrugs.barns.uploads.Bounded",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]

CRISPY_ALLOWED_TEMPLATE_PACKS = "bootstrap5"
CRISPY_TEMPLATE_PACK = "bootstrap5"
MESSAGE_TAGS = {message_levels.ERROR: "danger", message_levels.DEBUG: "secondary"}

SECURE_SSL_REDIRECT = env.https
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if env.https else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = env.https
SECURE_HSTS_PRELOAD = env.https
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if env.proxies else None
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_SECURE = env.https
SESSION_COOKIE_AGE = 30 * 24 * 3600
CSRF_COOKIE_SECURE = env.https
CSRF_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "django.views.csrf.csrf_failure"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF, NONCE],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
    },
}

EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if env.mail.host else 'console'}.EmailBackend"
EMAIL_HOST = env.mail.host
EMAIL_PORT = env.mail.port
EMAIL_HOST_USER = env.mail.user
EMAIL_HOST_PASSWORD = env.mail.password
EMAIL_USE_SSL = env.mail.tls
EMAIL_USE_TLS = env.mail.starttls
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = env.mail_from
SERVER_EMAIL = env.mail_from

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
