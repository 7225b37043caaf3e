"""One horse: what it wears, its size, its blankets and how they fit, its coat, and everything noted of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from barnrugs.barns.queries import journal
from barnrugs.matching import fit as fitting
from barnrugs.matching import outfit
from horses.domain import coat as coats
from horses.domain import measurement
from horses.models import Horse, HorseOwner, PaddockStay
from horses.queries import horse as horses
from horses.views import coat as drawing
from inventory import particulars
from inventory.domain import fit as fit_domain
from inventory.domain import last_change, snapshot, whereabouts
from inventory.models import Blanket, FitNote
from inventory.queries import fit as fit_notes
from inventory.views import answers
from inventory.views.subjects import subject_of

A_LOG = 20
HISTORY = 8

SIZE_WORDS = {
    fitting.Size.RIGHT: ("wear", gettext_lazy("the size suits")),
    fitting.Size.STEP_UNDER: ("caution", gettext_lazy("a step small by its size")),
    fitting.Size.STEP_OVER: ("caution", gettext_lazy("a step big by its size")),
    fitting.Size.TOO_SMALL: ("no", gettext_lazy("too small by its size")),
    fitting.Size.TOO_LARGE: ("no", gettext_lazy("too big by its size")),
    fitting.Size.UNKNOWN: ("caution", gettext_lazy("size or measure unknown")),
}
NOTE_VERDICT = {"fits": "wear", "tight": "no", "too_big": "no", "rubs": "caution"}


@dataclass(frozen=True)
class Fitting:
    """One blanket of a horse, as its page shows it: how it fits by what was tried, else by its size."""

    blanket: Any
    words: str
    where: str
    verdict: str
    fit: str
    against_build: bool
    notes: Sequence[FitNote]


@require_safe
def horse(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Horse, pk)
    today = horses.today_in(request.barn)
    taken = snapshot.read(request.barn, timezone.now(), only=found)
    subject = subject_of(taken, found)
    person = request.person
    may = {action: access.may(person, action, found) for action in ("change", "note", "dress")}
    sizing = measurement.sizing(found, today)
    last = last_change.of(found, timezone.now()) if may["dress"] else None
    return render(
        request,
        "inventory/horse.html",
        {
            "horse": found,
            "today": today,
            "subject": subject,
            "wears": [(wearing, particulars.warmth(wearing.blanket)) for wearing in subject.wears],
            "last": last if last and last.is_for(person) else None,
            "unsafe": {one.pk for one in taken.blankets.values() if one.is_unsafe},
            "fittings": fittings(request, subject, taken),
            "sizing": sizing,
            "taped": taped(found),
            "condition": found.conditions.filter(on__lte=today).first(),
            "vet_holds": bool(found.vet_says or found.vet_note)
            and answers.vet_holds(found, request.barn, timezone.now()),
            "coat": drawn(found, request, today),
            "newly_clipped": newly_clipped(found, today),
            "history": history(found),
            "owners": access.rows(person, HorseOwner, among=found.owners.select_related("person")),
            "stays": PaddockStay.objects.filter(horse=found).select_related("paddock")[:HISTORY],
            "may": may,
            "may_move": access.may_any(person, "change", PaddockStay),
            "may_own": access.may_any(person, "change", HorseOwner),
            "may_add_blanket": access.may_any(person, "add", Blanket),
            **log(request, found, undo=may["change"]),
        },
    )


def fittings(request: HttpRequest, subject: snapshot.Subject, taken: snapshot.Snapshot) -> list[Fitting]:
    """Its own blankets, what it wears, and every other one that somebody tried on it; of these, those one may see."""
    notes: dict[int, list[FitNote]] = {}
    for note in fit_notes.open_notes(subject.horse):
        notes.setdefault(note.blanket_id, []).append(note)
    seen = set(access.rows(request.person, Blanket).values_list("pk", flat=True))
    worn = {wearing.blanket_id for wearing in subject.wears}
    shown = []
    for value in subject.wardrobe:
        blanket = taken.blankets[value.tag]
        if blanket.pk in seen and (value.mine or blanket.pk in notes or blanket.pk in worn):
            shown.append(fitted(blanket, value, subject, notes.get(blanket.pk, [])))
    return shown


def fitted(blanket: Any, value: outfit.Blanket, subject: snapshot.Subject, notes: Sequence[FitNote]) -> Fitting:
    verdict, words = SIZE_WORDS[fitting.size(value, subject.value)]
    tried = "; ".join(fit_domain.in_words(note) for note in notes)
    if notes:
        gravest = sorted((NOTE_VERDICT[note.fit] for note in notes), key=("no", "caution", "wear").index)
        verdict = gravest[0] if any(note.fit != "rubs" for note in notes) or verdict == "wear" else verdict
    said = _("tried on: %(what)s") % {"what": tried} if tried else str(words)
    if tried and not any(note.fit != "rubs" for note in notes):
        said = f"{said}; {words}"
    return Fitting(
        blanket=blanket,
        words=f"{blanket.get_kind_display()}, {particulars.warmth(blanket)}",
        where=whereabouts.phrase(blanket),
        verdict=verdict,
        fit=said,
        against_build=fitting.cut_against_build(value.cut, subject.value.build),
        notes=notes,
    )


def taped(found: Horse) -> float | None:
    """Body mass by the last tape that took girth and length."""
    masses = (measurement.taped_mass_kg(record) for record in found.measurements.all())
    return next((mass for mass in masses if mass), None)


def drawn(found: Horse, request: HttpRequest, today: date) -> drawing.Drawing:
    southern = coats.is_southern(request.barn)
    return drawing.draw(coats.winter(found, list(found.coats.all()), today, southern=southern))


def newly_clipped(found: Horse, today: date) -> bool:
    return any(record.clipped_now and 0 <= (today - record.on).days < 14 for record in found.coats.all())


def history(found: Horse) -> dict[str, Iterable[Any]]:
    return {
        "measurements": found.measurements.all()[:HISTORY],
        "coats": found.coats.all()[:HISTORY],
        "conditions": found.conditions.all()[:HISTORY],
    }


def log(request: HttpRequest, found: Horse, *, undo: bool) -> dict[str, Any]:
    page = Paginator(journal.about(found), A_LOG).get_page(request.GET.get("log"))
    sentences = journal.sentences(page.object_list, request.person)
    undone = {sentence.entry.after.get("of") for sentence in sentences}
    undoable = {
        sentence.entry.pk
        for sentence in sentences
        if undo and sentence.entry.action in horses.EDITS and sentence.entry.pk not in undone
    }
    return {"log": page, "sentences": sentences, "undoable": undoable}
