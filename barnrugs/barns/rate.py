"""How often something may be tried that could be guessed. Counted in the cache that all processes share."""

import time

from allauth.account.adapter import get_adapter
from django.core.cache import cache
from django.http import HttpRequest

WITHIN_S = 15 * 60
TRIES = 10


def too_often(request: HttpRequest, what: str) -> bool:
    return tries(_key(request, what)) >= TRIES


def count(request: HttpRequest, what: str) -> None:
    """One more try from this address that failed."""
    count_one(_key(request, what))


def tries(key: str) -> int:
    """How often it failed under this key within a quarter of an hour."""
    return _counted(key)[0]


def count_one(key: str) -> None:
    """One more that failed; all of them are forgotten a quarter of an hour after the first."""
    found, until = _counted(key)
    # The cache's own incr would keep the count for the cache's usual time, not for what is left of ours.
    cache.set(key, (found + 1, until), until - time.time())


def forget(key: str) -> None:
    cache.delete(key)


def _counted(key: str) -> tuple[int, float]:
    now = time.time()
    found, until = cache.get(key) or (0, 0.0)
    return (found, until) if until > now else (0, now + WITHIN_S)


def _key(request: HttpRequest, what: str) -> str:
    return f"tries:{what}:{get_adapter().get_client_ip(request)}"
