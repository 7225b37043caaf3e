from typing import Any

from django.http import HttpRequest


def page(request: HttpRequest) -> dict[str, Any]:
    """What the page frame needs. A view that has fetched a barn and its person has put them on the request."""
    return {
        "barn": getattr(request, "barn", None),
        "person": getattr(request, "person", None),
        "csp_nonce": getattr(request, "csp_nonce", None),
    }
