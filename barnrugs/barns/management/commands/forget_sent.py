"""manage.py forget_sent: forgets which forms and events were sent long ago; by cron, safe to run twice."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from barnrugs.barns.domain import once


class Command(BaseCommand):
    help = (
        "Forgets the numbers of writes that were sent more than 90 days ago; what they wrote stays. "
        "Running it again does no harm."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"{once.forget_old(timezone.now())} sent writes forgotten")
