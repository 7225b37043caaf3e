"""Which letters are due: to whom, about which piece of work, and under which name so that each goes once."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from django.utils import timezone

from barnrugs.barns.models import Barn, Person
from inventory.enums import CareStep, CheckOutcome, Letter
from inventory.models import CareJob, MailChoice, MailSent
from inventory.models.care import OFF_SITE, WAITING
from inventory.queries import care

REMEMBERED: Final = timedelta(days=30)
"""What has stood longer than this without a letter gets none any more: the queues show it."""


@dataclass(frozen=True)
class Due:
    """One letter to one person; `about` is its name among all letters of its kind to this person."""

    person: Person
    letter: Letter
    job: CareJob
    about: str
    why: str = ""


class Desk:
    """The letters of one barn, read in a constant number of queries."""

    def __init__(self, barn: Barn, at: datetime) -> None:
        self.barn, self.at = barn, at
        self.today: date = timezone.localtime(at, barn.zone).date()
        self.decide_by = at - timedelta(days=care.rules(barn).days_to_decide)
        people = (
            Person.objects.filter(barn=barn, left_at__isnull=True).exclude(user__isnull=True).exclude(user__email="")
        )
        self.people = {person.pk: person for person in people.select_related("user", "barn")}
        refused = MailChoice.objects.filter(barn=barn, wanted=False)
        self.refused = set(refused.values_list("person", "letter"))
        sent = MailSent.objects.filter(barn=barn, sent_at__isnull=False)
        self.sent = set(sent.values_list("person", "letter", "about"))

    def due(self) -> list[Due]:
        jobs = care.of(self.barn).open().select_related("blanket__owner", "payer", "on_horse", "reported_by")
        letters = [letter for job in jobs.order_by("reported_at", "pk") for letter in self._of(job)]
        return [one for one in letters if (one.person.pk, one.letter, one.about) not in self.sent]

    def _of(self, job: CareJob) -> Iterator[Due]:
        fresh = job.reported_at > self.at - REMEMBERED
        if job.do_not_use and job.step != CareStep.LOST and fresh:
            yield from self._to(self._owners(job), Letter.DO_NOT_USE, job, f"job {job.pk}")
        if job.step in WAITING and fresh:
            yield from self._decisions(job)
        yield from self._overdue(job)

    def _decisions(self, job: CareJob) -> Iterator[Due]:
        """Whoever gets the letter about do not use is asked in that one."""
        told = (
            {one.person.pk for one in self._to(self._owners(job), Letter.DO_NOT_USE, job, "")}
            if job.do_not_use
            else set()
        )
        asked = [person for person in self._deciders(job) if job.step == CareStep.QUOTED or person.pk not in told]
        yield from self._to(asked, Letter.DECISION, job, f"job {job.pk} turn {job.turn}")

    def _overdue(self, job: CareJob) -> Iterator[Due]:
        everybody = {person.pk: person for person in [*self._managers(), *self._owners(job)]}.values()
        for why, name in overdue_names(job, self.today):
            yield from self._to(everybody, Letter.OVERDUE, job, f"job {job.pk} {why} {name}", why)
        if job.step in WAITING and job.reported_at < self.decide_by:
            yield from self._to(self._managers(), Letter.OVERDUE, job, f"job {job.pk} turn {job.turn}", "decision")

    def _to(self, people: Iterable[Person], letter: Letter, job: CareJob, about: str, why: str = "") -> Iterator[Due]:
        for person in people:
            if (person.pk, letter) not in self.refused:
                yield Due(person, letter, job, about, why)

    def _managers(self) -> list[Person]:
        return [person for person in self.people.values() if person.is_manager]

    def _owners(self, job: CareJob) -> list[Person]:
        """The blanket's owner; of the barn's own, the managers."""
        if job.blanket.owner_id is None:
            return self._managers()
        return [self.people[job.blanket.owner_id]] if job.blanket.owner_id in self.people else []

    def _deciders(self, job: CareJob) -> list[Person]:
        """Who pays decides; without anybody who can be written to, the managers."""
        return [self.people[job.payer_id]] if job.payer_id in self.people else self._managers()


def overdue_names(job: CareJob, today: date) -> Iterator[tuple[str, object]]:
    """Each way in which a job is overdue, with what names the occasion: a new day is a new letter."""
    if job.step in OFF_SITE and job.outcome == CheckOutcome.MISSING:
        yield "missing", job.turn
    elif job.step in OFF_SITE and job.due_on and job.due_on < today:
        yield "due", job.due_on
    if job.temporary_fix_until and job.temporary_fix_until < today:
        yield "fix", job.temporary_fix_until
