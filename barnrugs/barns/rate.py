"""How often one address may try something that could be guessed. Counted in the cache that all processes share."""

from allauth.account.adapter import get_adapter
from django.core.cache import cache
from django.http import HttpRequest

WITHIN_S = 15 * 60
TRIES = 10


def too_often(request: HttpRequest, what: str) -> bool:
    return int(cache.get(_key(request, what), 0)) >= TRIES


def count(request: HttpRequest, what: str) -> None:
    """One more try that failed."""
    key = _key(request, what)
    if not cache.add(key, 1, WITHIN_S):
        try:
            cache.incr(key)
        except ValueError:  # it ran out between the two calls
            cache.set(key, 1, WITHIN_S)


def _key(request: HttpRequest, what: str) -> str:
    return f"tries:{what}:{get_adapter().get_client_ip(request)}"
