"""The shop's settings, with nothing written beside the shop's own data and no slow password hashing.

SQLite in memory, or the PostgreSQL server that GATHERBOOK_DATABASE_URL names.
"""

import os
import tempfile
from pathlib import Path

from shop.settings import *  # noqa: F403
from shop.settings import STORAGES

DEBUG = False
if "GATHERBOOK_DATABASE_URL" not in os.environ:
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": ":memory:",
            "OPTIONS": {"transaction_mode": "IMMEDIATE", "timeout": 20},
        }
    }
_media = tempfile.TemporaryDirectory(prefix="gatherbook-media-")  # gone when the tests end
MEDIA_ROOT = Path(_media.name)
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
