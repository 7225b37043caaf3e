"""The one horse of a page, as it was read for advice."""

from django.http import Http404

from horses.models import Horse
from inventory.domain.snapshot import Snapshot, Subject


def subject_of(taken: Snapshot, horse: Horse) -> Subject:
    """404 where it went between the page's first question and this one."""
    try:
        return taken.subject(horse)
    except LookupError:
        raise Http404 from None
