"""For a web server: production unless the environment says otherwise."""

import os

from django.core.asgi import get_asgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "barnrugs.settings")
os.environ.setdefault("BARNRUGS_MODE", "production")

application = get_asgi_application()
