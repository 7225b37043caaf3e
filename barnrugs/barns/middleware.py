from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase
from django.utils.cache import patch_cache_control

HEADERS = {
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
    "Cross-Origin-Resource-Policy": "same-origin",
}


class PageHeadersMiddleware:
    """A page shows what one person may see, so no cache keeps it; a view that may be kept says so itself."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        if not response.has_header("Cache-Control"):
            patch_cache_control(response, private=True, no_store=True)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        return response
