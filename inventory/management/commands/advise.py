"""manage.py advise < case.json: the advice for one horse, for scripts and checks."""

import sys
from typing import Any

from django.core.management.base import BaseCommand

from barnrugs.matching import case, reading


class Command(BaseCommand):
    help = (
        "Reads one case as JSON from standard input (horse, place, hours, blankets) and writes its advice as JSON. "
        "Bad input: exit status 2 and one line for each fault with its path. The advice replaces neither a hand under "
        "the blanket nor a veterinarian."
    )
    requires_system_checks: list[str] = []

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            answer = case.answer_text(sys.stdin.buffer.read())
        except reading.Faults as why:
            for fault in why.faults:
                self.stderr.write(fault)
            sys.exit(2)
        self.stdout.write(answer)
