from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject
from django.utils.translation import gettext_lazy as _

from barnrugs.barns import offline
from barnrugs.barns.models import Barn, Person
from barnrugs.barns.pages import page_url

PAGES = (
    ("due", _("Due now")),
    ("tonight", _("Tonight")),
    ("horses", _("Horses")),
    ("blankets", _("Blankets")),
    ("care", _("Care")),
    ("plan", _("Plan")),
    ("barn", _("Barn")),
)


@dataclass(frozen=True)
class Link:
    label: str
    url: str
    current: bool


def page(request: HttpRequest) -> dict[str, Any]:
    """What the page frame needs: where one is and who one is there, put on the request by HereMiddleware."""
    barn, here = getattr(request, "barn", None), getattr(request, "person", None)
    return {
        "barn": barn,
        "person": here,
        "navigation": SimpleLazyObject(lambda: navigation(barn, request.path, here)) if barn else [],
        "csp_nonce": getattr(request, "csp_nonce", None),
        "phone": offline.told(request),
    }


def navigation(barn: Barn, path: str, person: Person | None = None) -> list[Link]:
    """Whoever works off the lists finds tonight's among them; its own page is for who plans and for who owns."""
    keeps = person is None or not person.is_staff or person.is_manager or person.is_owner
    left_out = set() if keeps else {"tonight"}
    shown = [(name, label) for name, label in PAGES if name not in left_out]
    pages = [(str(label), url) for name, label in shown if (url := page_url(name, barn.slug))]
    here = max((url for _label, url in pages if path.startswith(url)), key=len, default="")
    return [Link(label, url, current=url == here) for label, url in pages]
