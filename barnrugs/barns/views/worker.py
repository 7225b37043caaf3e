"""The service worker at the root of the house, the manifest, and the page that stands in for one that was not kept."""

import hashlib
import json
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles.finders import find
from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

STATIC = (
    "bootstrap/bootstrap.min.css",
    "barnrugs/barnrugs.css",
    "barnrugs/lists.css",
    "barnrugs/forms.css",
    "barnrugs/blankets.css",
    "barnrugs/care.css",
    "barnrugs/offline.css",
    "barnrugs/mark.svg",
    "barnrugs/store.js",
    "barnrugs/queue.js",
    "barnrugs/contact.js",
    "barnrugs/offline.js",
    "barnrugs/lists.js",
    "barnrugs/drying.js",
    "barnrugs/this_phone.js",
    "barnrugs/picture.js",
    "django_htmx/htmx-2.min.js",
)


@login_not_required
@require_safe
@cache_control(no_cache=True)
def worker(request: HttpRequest) -> HttpResponse:
    """Asked for at each visit and never from a cache; a new version takes over when the old one's pages are closed."""
    house = {**_house(), "version": version()}
    return HttpResponse(
        f"self.HOUSE = {json.dumps(house)};\n{_text('barnrugs/worker.js')}",
        content_type="text/javascript; charset=utf-8",
        headers={"Service-Worker-Allowed": "/"},
    )


def version() -> str:
    """Of the files that pages need: a page kept before they changed asks for files that are no longer there."""
    told = json.dumps(_house()) + _text("barnrugs/worker.js") + _text("barnrugs/store.js")
    return hashlib.sha256(told.encode()).hexdigest()[:12]


def _house() -> dict[str, Any]:
    return {
        "files": [static(name) for name in STATIC if find(name) or not settings.DEBUG],
        "store": static("barnrugs/store.js"),
        "fallback": reverse("no_signal"),
        "phone": reverse("this_phone"),
        "hashed": settings.STORAGES["staticfiles"]["BACKEND"] == settings.MANIFEST_STORAGE,
    }


def _text(name: str) -> str:
    found = find(name)
    if isinstance(found, str):
        return Path(found).read_text(encoding="utf-8")
    with staticfiles_storage.open(name) as kept:
        return str(kept.read().decode())


@login_not_required
@require_safe
@cache_control(public=True, max_age=3600)
def manifest(request: HttpRequest) -> HttpResponse:
    icons = [
        {"src": static(f"barnrugs/icon-{size}.png"), "sizes": f"{size}x{size}", "type": "image/png", "purpose": purpose}
        for size in (192, 512)
        for purpose in ("any", "maskable")
    ]
    return JsonResponse(
        {
            "name": "barnrugs",
            "short_name": "barnrugs",
            "start_url": "/",
            "scope": "/",
            "display": "standalone",
            "background_color": "#fdfbf3",
            "theme_color": "#3a4028",
            "icons": icons,
        },
        content_type="application/manifest+json",
    )


@login_not_required
@require_safe
def no_signal(request: HttpRequest) -> HttpResponse:
    return render(request, "barns/no_signal.html")
