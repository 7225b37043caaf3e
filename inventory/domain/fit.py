"""Fit notes: what trying a blanket on a horse showed. It beats arithmetic until it is closed."""

from datetime import date

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from horses.models import Horse
from inventory.domain import care_checks as checks
from inventory.enums import Fit
from inventory.models import Blanket, FitNote

OF_SIZE = (Fit.FITS, Fit.TIGHT, Fit.TOO_BIG)
"""A new one of these ends the one before: a blanket cannot both fit and be tight."""


@transaction.atomic
def note_fit(
    blanket: Blanket, *, horse: Horse, fit: Fit, on: date, actor: Actor, rubs_where: str = "", note: str = ""
) -> FitNote:
    """Notes how a blanket fits a horse; a rub says where and stands beside other notes."""
    if on > checks.day(actor):
        raise Refused(_("This day is still to come."), field="on")
    if (fit == Fit.RUBS) != bool(rubs_where):
        sentence = _("Where does it rub?") if fit == Fit.RUBS else _("A place belongs to a rub only.")
        raise Refused(sentence, field="rubs_where")
    Blanket.objects.select_for_update().get(pk=blanket.pk)
    noted = FitNote(barn=actor.barn, blanket=blanket, horse=horse, fit=fit, rubs_where=rubs_where, on=on, note=note)
    twice = _("This is noted already.")
    names = ("fit_note_open_once", "inventory_fitnote.blanket_id")
    if _open(blanket, horse).filter(fit=fit, rubs_where=rubs_where).exists():
        raise Refused(twice)
    ended = _end_others(noted, checks.day(actor))
    editing.validate(noted)
    with refusing(dict.fromkeys(names, twice)):
        noted.save(force_insert=True)
    journal.write(
        actor,
        "fit_noted",
        about=[blanket, horse],
        before={"ended": ended} if ended else None,
        after={"fit": fit, "rubs_where": rubs_where, "on": on, "note": note, "what": in_words(noted)},
    )
    return noted


@transaction.atomic
def close_note(noted: FitNote, *, actor: Actor, why: str = "") -> FitNote:
    """The note no longer holds: a strap was let out, a pad sewn in, the rub has healed."""
    noted = FitNote.objects.select_for_update(of=("self",)).select_related("blanket", "horse").get(pk=noted.pk)
    if noted.closed_on:
        raise Refused(_("This note is closed already."))
    noted.closed_on = max(checks.day(actor), noted.on)
    noted.save(update_fields=["closed_on"])
    journal.write(
        actor,
        "fit_note_closed",
        about=[noted.blanket, noted.horse],
        before={"what": in_words(noted)},
        after={
            "closed_on": noted.closed_on,
            "fit": noted.fit,
            "rubs_where": noted.rubs_where,
            "what": in_words(noted),
        },
        why=why,
    )
    return noted


def in_words(noted: FitNote) -> str:
    """For example "rubs: withers"."""
    word = noted.get_fit_display().lower()
    return f"{word}: {noted.get_rubs_where_display().lower()}" if noted.rubs_where else word


def _open(blanket: Blanket, horse: Horse) -> QuerySet[FitNote]:
    return FitNote.objects.filter(blanket=blanket, horse=horse, closed_on__isnull=True)


def _end_others(noted: FitNote, today: date) -> list[str]:
    if noted.fit not in OF_SIZE:
        return []
    others = list(_open(noted.blanket, noted.horse).filter(fit__in=OF_SIZE))
    for other in others:
        other.closed_on = max(today, other.on)
        other.save(update_fields=["closed_on"])
    return [in_words(other) for other in others]
