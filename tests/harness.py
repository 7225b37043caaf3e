"""How much of the heavy tests to run: BARNRUGS_HARNESS, a twentieth unless it says otherwise."""

from django.conf import settings


def size(whole: int) -> int:
    return max(1, round(whole * settings.HARNESS))
