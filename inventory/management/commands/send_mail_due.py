"""Sends the letters that are due. For a timer: safe to run as often as one likes, and twice at once."""

import sys
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from inventory.domain import mail


class Command(BaseCommand):
    help = "Send the letters that are due (do not use, decision needed, overdue), each once. Exit 1 if any failed."

    def handle(self, *args: Any, **options: Any) -> None:
        posted = mail.send_due(timezone.now())
        self.stdout.write(f"{posted.sent} sent, {posted.failed} could not be sent")
        if posted.failed:
            sys.exit(1)
