"""Reporting what is wrong with a blanket: in two taps, with the company the horse kept that day."""

from typing import Final

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from horses.models import Horse
from inventory.domain import care_checks as checks
from inventory.domain import fit
from inventory.domain.care import Details, open_job, take
from inventory.enums import CareKind, CareWord, DamagedPart, Fit
from inventory.images import Shrunk
from inventory.models import Blanket, CareJob, FitNote
from inventory.queries import care
from inventory.queries import damage as queries

KINDS: Final = {DamagedPart.DIRT: CareKind.WASH, DamagedPart.LEAK: CareKind.WATERPROOFING}
"""What a report asks for at first; everything else asks for a repair. Whoever decides may see it otherwise."""


@transaction.atomic
def report(
    blanket: Blanket,
    *,
    part: DamagedPart,
    usable: bool,
    actor: Actor,
    horse: Horse | None = None,
    note: str = "",
    picture: Shrunk | None = None,
) -> CareJob:
    """Logs damage. The same part reported again while its work is open is added to that work, not opened twice.

    Do not use counts at once: the blanket's answers are derived from open work. horse: on which it was seen; one that
    never wore it counts for a rub alone.
    """
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    checks.refuse_gone(blanket)
    if part == DamagedPart.RUB and not (horse or queries.wore_last(blanket, actor.at)):
        raise Refused(_("Say which horse it rubs: report it from the horse's page."))
    if horse and part != DamagedPart.RUB and not horse.wearings.filter(blanket=blanket).exists():
        horse = None
    job = _known(blanket, part) or _open(blanket, part, horse, actor, note)
    if part == DamagedPart.RUB and job.on_horse:
        _note_rub(blanket, job.on_horse, actor)
    return take(job, CareWord.REPORT, actor=actor, details=Details(usable=usable, note=note, picture=picture))


def _known(blanket: Blanket, part: DamagedPart) -> CareJob | None:
    return care.on(blanket).open().filter(part=part).first()


def _open(blanket: Blanket, part: DamagedPart, horse: Horse | None, actor: Actor, note: str) -> CareJob:
    horse = horse or queries.wore_last(blanket, actor.at)
    others = queries.company(horse, checks.day(actor)) if horse else []
    return open_job(
        blanket,
        kind=KINDS.get(part, CareKind.REPAIR),
        part=part,
        actor=actor,
        note=note,
        on_horse=horse,
        company=[{"horse": other.pk, "name": other.name} for other in others],
    )


def _note_rub(blanket: Blanket, horse: Horse, actor: Actor) -> None:
    """A rub is a matter of fit too: the matching cautions until the note is closed."""
    note = {"barn": blanket.barn, "blanket": blanket, "horse": horse, "fit": Fit.RUBS, "closed_on": None}
    if FitNote.objects.filter(**note).exists():
        return
    noted = FitNote.objects.create(**note, on=checks.day(actor))
    after = {"fit": noted.fit, "on": noted.on, "what": fit.in_words(noted)}
    journal.write(actor, "fit_noted", about=[blanket, horse], after=after)
