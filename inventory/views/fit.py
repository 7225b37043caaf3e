"""How a blanket fits a horse: noted, and closed when it no longer holds."""

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from horses.queries.horse import today_in
from inventory.domain import fit as domain
from inventory.enums import Fit, RubPlace
from inventory.forms.blankets import WhyForm
from inventory.forms.fit import FitForm
from inventory.models import Blanket, FitNote


def blanket_page(blanket: Blanket, request: HttpRequest) -> str:
    return reverse("blanket", args=[request.barn.slug, blanket.pk])


@require_http_methods(BOTH)
def fit_note_add(request: HttpRequest, pk: int) -> HttpResponse:
    """From a horse's page the horse is known, and one goes back there."""
    blanket = access.fetch(request.person, Blanket, pk, "handle")
    horse = request.GET.get("horse", "")
    form = FitForm(sent(request), person=request.person, today=today_in(request.barn), horse=horse)
    page = Page(
        heading=_("How does %(blanket)s fit?") % {"blanket": blanket},
        submit=_("Note it"),
        back=horse_page(horse, request) or blanket_page(blanket, request),
        said=_("Noted. Advice takes it into account from now on."),
        template="inventory/fit_note.html",
        more={"places": tapped()},
    )
    return form_page(request, form, page, lambda actor: note(blanket, form, actor))


def note(blanket: Blanket, form: FitForm, actor: Actor) -> FitNote:
    given = form.cleaned_data
    return domain.note_fit(
        blanket,
        horse=given["horse"],
        fit=Fit(given["fit"]),
        rubs_where=given["rubs_where"],
        on=given["on"],
        note=given["note"],
        actor=actor,
    )


def tapped() -> list[tuple[int, str]]:
    """Each place of the drawing: its number, which is its radio button's too, and its word."""
    return [(number, place.value) for number, place in enumerate(RubPlace, start=1)]


def horse_page(horse: str, request: HttpRequest) -> str:
    known = horse.isascii() and horse.isdigit() and len(horse) < 16
    return reverse("horse", args=[request.barn.slug, int(horse)]) if known else ""


@require_http_methods(BOTH)
def fit_note_close(request: HttpRequest, pk: int) -> HttpResponse:
    among: QuerySet[FitNote] = FitNote.objects.select_related("blanket", "horse")
    noted = access.fetch(request.person, FitNote, pk, "change", among=among)
    names = {"blanket": noted.blanket, "horse": noted.horse, "what": domain.in_words(noted)}
    page = Page(
        heading=_("Close the note on %(blanket)s and %(horse)s?") % names,
        intro=_(
            "“%(what)s” no longer holds: it was altered, the rub has healed, or the note was wrong. The log keeps it."
        )
        % names,
        submit=_("Close the note"),
        back=reverse("horse", args=[request.barn.slug, noted.horse_id]),
    )
    form = WhyForm(sent(request))
    return form_page(
        request, form, page, lambda actor: domain.close_note(noted, why=form.cleaned_data["why"], actor=actor)
    )
