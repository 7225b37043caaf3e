"""How a list goes on: a chunk, then room for the others, as long as there is time."""

import time
from typing import Final

from django.utils import timezone

from inventory.domain import imports as domain
from inventory.enums import ImportStep
from inventory.models import ImportRun

ROOM: Final = 0.15
"""Seconds between two chunks. On SQLite somebody who waits for a chunk to end looks again after at most 0.1 s."""
STEP: Final = 1.0
"""Seconds of one request of a page that asks for the next step by itself."""
TURN: Final = 3.0
"""Seconds that one request may spend on a list where the page cannot ask for the next chunk by itself."""


def go_on(run: ImportRun, seconds: float | None = TURN) -> ImportRun:
    """Looks through or writes chunk after chunk until there are none left or the time is up; None: until the end."""
    begun = time.monotonic()
    while is_going(run):
        run = one_chunk(run)
        if seconds is not None and time.monotonic() - begun > seconds:
            break
        if is_going(run):
            time.sleep(ROOM)
    return run


def one_chunk(run: ImportRun) -> ImportRun:
    if run.step == ImportStep.WRITING:
        return domain.write_chunk(run, now=timezone.now())
    return domain.check_chunk(run)


def is_going(run: ImportRun) -> bool:
    """Whether there is something left to do without anybody's decision."""
    if run.step == ImportStep.ASKING:
        return not domain.is_checked(run)
    return run.step == ImportStep.WRITING
