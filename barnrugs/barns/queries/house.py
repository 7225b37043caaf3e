"""What is set up in a barn: for the steps of its first run."""

from datetime import time

from django.db.models import QuerySet

from barnrugs.barns.models import Barn, JournalEntry, Person, StaffedTime

EDITS = ("house_changed", "house_change_taken_back")


def rules_were_looked_at(barn: Barn) -> bool:
    return JournalEntry.objects.filter(barn=barn, action__in=["house_changed", "house_confirmed"]).exists()


def edits_of(barn: Barn) -> QuerySet[JournalEntry]:
    """Changes of the house rules, the latest first; each can be taken back."""
    return JournalEntry.objects.filter(barn=barn, action__in=EDITS).order_by("-pk")


def times_were_looked_at(barn: Barn) -> bool:
    return JournalEntry.objects.filter(barn=barn, action="staffed_times_set").exists()


def has_people(barn: Barn) -> bool:
    return Person.objects.filter(barn=barn, left_at__isnull=True).count() > 1


def staffed_times(barn: Barn) -> dict[str, time]:
    return dict(StaffedTime.objects.filter(barn=barn).order_by("at").values_list("session", "at"))
