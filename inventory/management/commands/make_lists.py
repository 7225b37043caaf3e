"""manage.py make_lists: the lists of the coming 24 hours of every barn that has weather; by cron, safe to run twice."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from barnrugs.barns.models import Barn
from barnrugs.weather.queries import source_of
from inventory.domain import due


class Command(BaseCommand):
    help = (
        "Makes the lists of the staffed times of the coming 24 hours in every barn that has a weather file. "
        "A list that is there already stays as it is, so running it again does no harm."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        now = timezone.now()
        for barn in Barn.objects.order_by("pk"):
            if source_of(barn):
                made, gap = due.make_coming(barn, now)
                self.stdout.write(f"{barn}: {len(made)} lists made{f'; {gap}' if gap else ''}")
