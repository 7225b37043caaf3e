"""A blanket's record: added, changed, a change taken back, brought back into use. Lost and retired: see care.py."""

from collections.abc import Mapping
from typing import Any, Final

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from barnrugs.barns.queries import journal as entries
from inventory import particulars, tags
from inventory.domain import care, keeping
from inventory.domain import pictures as pictures_domain
from inventory.enums import CareStep, CareWord, Keeping
from inventory.models import Blanket, CareJob, Placing

CHANGES: Final = ("blanket_changed", "blanket_change_taken_back")
CAN_BE_TAKEN_BACK: Final = (*CHANGES, "picture_removed")
"""Entries on a blanket's page that offer to take themselves back. What has an opposite of its own is not among them."""


@transaction.atomic
def add_blanket(values: Mapping[str, Any], *, actor: Actor) -> Blanket:
    """A new blanket, under a tag of its own unless the values bring one."""
    taken = set(Blanket.objects.filter(barn=actor.barn).values_list("tag", flat=True))
    blanket = Blanket(barn=actor.barn, **{"tag": tags.new(taken), **values})
    sentence = _("There is a blanket with the tag %(tag)s already.") % {"tag": blanket.tag}
    if blanket.tag in taken:
        raise Refused(sentence, field="tag")
    editing.validate(blanket)
    with refusing(dict.fromkeys(("blanket_tag_once", "inventory_blanket.tag"), sentence)):
        blanket.save(force_insert=True)
    about = [blanket, blanket.usual_horse] if blanket.usual_horse else [blanket]
    journal.write(actor, "blanket_added", about=about, after=_recorded(blanket))
    return blanket


@transaction.atomic
def change_blanket(
    blanket: Blanket, *, values: Mapping[str, Any], actor: Actor, seen: Mapping[str, Any] | None = None
) -> Blanket:
    """Changes particulars; saved as they were, nothing is written down."""
    edited = editing.edit(blanket, values=values, seen=seen)
    if edited.after:
        _write("blanket_changed", edited, actor)
    return edited.record


@transaction.atomic
def take_back(blanket: Blanket, *, entry: JournalEntry, actor: Actor) -> Blanket:
    """Undoes what one entry says, by another entry. Refused when it was changed again since."""
    if entry.action not in CAN_BE_TAKEN_BACK or not entries.about(blanket).filter(pk=entry.pk).exists():
        raise Refused(_("This cannot be taken back."))
    if entry.action == "picture_removed":
        pictures_domain.put_back(blanket, key=entry.after["picture"], actor=actor)
        return blanket
    known = {name for name in particulars.NAMES if name in entry.after}
    edited = editing.taken_back(
        blanket,
        before={name: entry.before[name] for name in known},
        after={name: entry.after[name] for name in known},
    )
    _write("blanket_change_taken_back", edited, actor, of=entry.pk)
    return edited.record


def _write(action: str, edited: "editing.Edit[Blanket]", actor: Actor, **more: Any) -> None:
    former = particulars.thing("usual_horse", edited.before.get("usual_horse"))
    latter = particulars.thing("usual_horse", edited.after.get("usual_horse"))
    journal.write(
        actor,
        action,
        about=[edited.record, *(horse for horse in (former, latter) if horse)],
        before=particulars.named(edited.before),
        after={**particulars.named(edited.after), **more},
    )


def _recorded(blanket: Blanket) -> dict[str, Any]:
    return particulars.named(editing.snapshot(blanket, list(particulars.NAMES)))


@transaction.atomic
def bring_back(blanket: Blanket, *, actor: Actor, why: str = "") -> Blanket:
    """Back into use after it was retired. What was wrong with it then is reported again: nobody has mended it since."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    retired = Placing.objects.filter(blanket=blanket, until__isnull=True, kind=Keeping.RETIRED).first()
    if retired is None:
        raise Refused(_("%(blanket)s is not retired.") % {"blanket": blanket})
    keeping.place(blanket, Keeping.RACK, actor=actor, where=blanket.rack)
    journal.write(actor, "blanket_brought_back", about=[blanket], after={"where": Keeping.RACK}, why=why)
    ended = CareJob.objects.filter(blanket=blanket, step=CareStep.RETIRED, closed_at__gte=retired.since)
    for job in ended.order_by("pk"):
        _report_again(job, blanket, actor)
    return blanket


def _report_again(job: CareJob, blanket: Blanket, actor: Actor) -> None:
    again = care.open_job(
        blanket, kind=job.kind, part=job.part, actor=actor, payer=job.payer, on_horse=job.on_horse, company=job.company
    )
    note = _("Open when it was retired.")
    care.take(again, CareWord.REPORT, actor=actor, details=care.Details(usable=not job.do_not_use, note=note))
