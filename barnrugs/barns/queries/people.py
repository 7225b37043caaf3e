"""Which people."""

from datetime import datetime

from django.db.models import Exists, Model, OuterRef, Q, QuerySet

from barnrugs.barns import journal
from barnrugs.barns.models import Barn, Invitation, JournalSubject, Person, User


def of(barn: Barn, now: datetime) -> QuerySet[Person]:
    """Everybody who ever belonged, those who left last; `waits` says that an invitation of theirs still holds."""
    open_invitation = Invitation.objects.filter(person=OuterRef("pk"), used_at__isnull=True, expires_at__gt=now)
    return (
        Person.objects.filter(barn=barn)
        .select_related("user")
        .annotate(waits=Exists(open_invitation), gone=Q(left_at__isnull=False))
        .order_by("gone", "name", "pk")
    )


def who_can_manage(barn: Barn) -> QuerySet[Person]:
    """Managers who are here and can sign in."""
    return Person.objects.filter(barn=barn, is_manager=True, left_at__isnull=True, user__is_active=True)


def of_user(user: User) -> QuerySet[Person]:
    """As whom somebody who signs in is known, in each of their barns."""
    return Person.objects.filter(user=user, left_at__isnull=True).select_related("barn").order_by("barn__name")


def ever_of_user(user: User) -> QuerySet[Person]:
    """The same with barns that they have left: what their phone still has is heard there."""
    return Person.objects.filter(user=user).select_related("barn").order_by("pk")


def last_writer_about(thing: Model) -> str:
    """Who wrote the last entry about this thing; empty where nobody did."""
    kind = journal.kind_of(type(thing))
    subject = (
        JournalSubject.objects.filter(kind=kind, subject_id=thing.pk).order_by("-entry_id").first() if kind else None
    )
    writer = subject and Person.objects.filter(key=subject.entry.person_key).first()
    return writer.name if writer else ""
