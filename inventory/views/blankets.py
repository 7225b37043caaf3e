"""The inventory: the list, one blanket, adding, changing, and what is said of a blanket in one tap."""

import uuid
from datetime import date
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import OuterRef
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.queries import journal
from barnrugs.barns.views.pages import BOTH, Page, form_page
from barnrugs.barns.views.writing import perform
from inventory import particulars, tags
from inventory.domain import blankets as domain
from inventory.domain import last_change
from inventory.domain import pictures as pictures_domain
from inventory.forms.blankets import BlanketForm, NewBlanketForm, WhyForm
from inventory.forms.search import SearchForm
from inventory.models import Blanket, CareMove, FitNote, Picture, SavedView
from inventory.queries import blankets as queries
from inventory.queries import search, wearings
from inventory.queries.care import cost_of
from inventory.views import facts, rows
from inventory.views.pictures import say_without_picture

A_PAGE = 50
A_LOG = 30

READY_MADE = (
    (gettext_lazy("By horse"), "sort=horse"),
    (gettext_lazy("For rain"), "proof=waterproof&sort=fill"),
    (gettext_lazy("Not here"), "where=away&where=home&where=lent&where=lost"),
    (gettext_lazy("Wet"), "wet=drying&wet=soaked"),
    (gettext_lazy("Wash due"), "wash=wash_due&sort=washed"),
    (gettext_lazy("Waterproofing due"), "proofing=due&sort=proofed"),
    (gettext_lazy("Torn or unsafe"), "sound=repair_due&sound=temporary_fix&sound=do_not_use"),
)
"""What people ask most, one tap from the list."""


@require_safe
def blankets(request: HttpRequest) -> HttpResponse:
    """The inventory as this person may see it, narrowed and sorted by the address alone."""
    whole = _whole_tag(request)
    if whole:
        return redirect("blanket", request.barn.slug, whole.pk)
    form = SearchForm(request.GET, person=request.person)
    found = narrowed(request, form)
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    chips = form.chips()
    return render(
        request,
        "inventory/blankets.html",
        {
            "form": form,
            "only_words": len(chips) == 1 and bool(form.cleaned_data.get("q")),
            "page": page,
            "rows": [rows.row(blanket, today(request)) for blanket in page],
            "chips": chips,
            "query": form.query(),
            "views": SavedView.objects.filter(person=request.person),
            "ready_made": READY_MADE,
            "may_add": access.may_any(request.person, "add", Blanket),
            "has_any": page.paginator.count or access.rows(request.person, Blanket).exists(),
        },
    )


def narrowed(request: HttpRequest, form: SearchForm) -> Any:
    """The blankets that this person may see and the form asks for, with their answers."""
    return search.narrowed(access.rows(request.person, Blanket, "see", among=known(request)), form.asked())


def known(request: HttpRequest) -> Any:
    return search.with_looks(queries.of(request.barn).with_condition(request.barn, timezone.now()))


def today(request: HttpRequest) -> date:
    return timezone.localtime(timezone.now(), request.barn.zone).date()


def _whole_tag(request: HttpRequest) -> Blanket | None:
    """Somebody typed a whole tag into the search box: they want that blanket, not a list of one."""
    typed = tags.tidy(request.GET.get("q", ""))
    return access.rows(request.person, Blanket).filter(tag=typed).first() if len(typed) == tags.LENGTH else None


@require_safe
def blanket(request: HttpRequest, pk: int) -> HttpResponse:
    """One blanket: picture, where it is, its four answers, particulars, log, and what this person may do with it."""
    care_cost = cost_of(CareMove.objects.filter(job__blanket=OuterRef("pk")))
    found = access.fetch(request.person, Blanket, pk, "see", among=known(request).annotate(care_cost=care_cost))
    person = request.person
    may = {action: access.may(person, action, found) for action in ("change", "handle", "see_money")}
    log = Paginator(journal.about(found), A_LOG).get_page(request.GET.get("log"))
    sentences = journal.sentences(log.object_list, person, sees_money=may["see_money"])
    return render(
        request,
        "inventory/blanket.html",
        {
            "row": rows.row(found, today(request)),
            "blanket": found,
            "answers": facts.answers(found, today(request)),
            "outside": particulars.outside_now(found),
            "doubts": particulars.doubts(found),
            "sections": facts.sections(found, sees_money=may["see_money"], currency=request.barn.currency),
            "fits": FitNote.objects.filter(blanket=found, closed_on__isnull=True).select_related("horse"),
            "pictures": _pictures(request, found),
            "worn": wearings.open_of(found),
            "last": _last_change(request, found),
            "may": may,
            "may_add": access.may_any(person, "add", Blanket),
            "log": log,
            "sentences": sentences,
            "undoable": _undoable(sentences) if may["change"] else set(),
            "once": uuid.uuid4(),
            "other_once": uuid.uuid4(),
        },
    )


def _last_change(request: HttpRequest, found: Blanket) -> last_change.LastChange | None:
    """What can be taken back of it, where this person may dress the horse."""
    last = last_change.of_blanket(found, timezone.now())
    may = last and last.is_for(request.person) and access.may(request.person, "dress", last.horse)
    return last if may else None


def _undoable(sentences: list[journal.Sentence]) -> set[int]:
    """Entries that can be taken back and have not been."""
    undone = {sentence.entry.after.get("of") for sentence in sentences}
    return {
        sentence.entry.pk
        for sentence in sentences
        if sentence.entry.action in domain.CAN_BE_TAKEN_BACK and sentence.entry.pk not in undone
    }


def _pictures(request: HttpRequest, found: Blanket) -> list[tuple[Picture, bool]]:
    """The newest first, each with whether this person may remove it."""
    shown = Picture.objects.filter(blanket=found, removed_at__isnull=True).select_related("taken_by")
    mine = set(access.rows(request.person, Picture, "change", among=shown).values_list("pk", flat=True))
    return [(picture, picture.pk in mine) for picture in shown]


@require_http_methods(BOTH)
def blanket_add(request: HttpRequest) -> HttpResponse:
    """A new one, or another like one that is here."""
    access.demand(request.person, "add", Blanket)
    record = _like(request)
    form = NewBlanketForm(
        request.POST or None, files=request.FILES or None, record=record, person=request.person, today=today(request)
    )
    if request.method == "POST" and form.is_valid():
        done = perform(request, form, lambda actor: _add(form, actor))
        if done:
            if done.status_code == 302:
                _say_added(request, form)
            return done
    more = {"like": record if record.kind else None, "form": form}
    return render(request, "inventory/blanket_add.html", more)


def _add(form: NewBlanketForm, actor: Actor) -> str:
    made = domain.add_blanket(form.values(), actor=actor)
    shrunk = form.cleaned_data["picture"]
    if shrunk:
        try:
            pictures_domain.add_picture(made, shrunk=shrunk, actor=actor)
        except Refused as refused:
            form.picture_fault = refused.sentence
    return reverse("blanket", args=[actor.barn.slug, made.pk])


def _say_added(request: HttpRequest, form: NewBlanketForm) -> None:
    messages.success(request, _("The blanket is saved. Write its tag on it, or print a label."))
    say_without_picture(request, form.picture_fault)


ITS_OWN = ("proofed_on", "bought_on", "price", "note")
"""Particulars of one piece, which another like it does not share."""


def _like(request: HttpRequest) -> Blanket:
    """An empty record, or one with the particulars of a blanket that the person may see."""
    fresh = Blanket(barn=request.barn)
    model = request.GET.get("like", "")
    if not (model.isascii() and model.isdigit()):
        return fresh
    found = access.fetch(request.person, Blanket, int(model[:12]))
    for name in particulars.NAMES:
        if name not in ITS_OWN and (name != "owner" or request.person.is_manager):
            setattr(fresh, name, getattr(found, name))
    return fresh


@require_http_methods(BOTH)
def blanket_change(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Blanket, pk, "change")
    form = BlanketForm(request.POST or None, record=found, person=request.person, today=today(request))
    return form_page(
        request,
        form,
        Page(
            heading=_("Change %(tag)s") % {"tag": found},
            submit=_("Save the changes"),
            back=reverse("blanket", args=[request.barn.slug, pk]),
            said=_("Saved."),
        ),
        lambda actor: domain.change_blanket(found, values=form.values(), seen=form.cleaned_data["seen"], actor=actor),
    )


@require_http_methods(BOTH)
def blanket_take_back(request: HttpRequest, pk: int, entry: int) -> HttpResponse:
    """Undoes one entry of its log, by another."""
    found = access.fetch(request.person, Blanket, pk, "change")
    written = journal.about(found).filter(pk=entry, action__in=domain.CAN_BE_TAKEN_BACK)
    said = journal.sentences(written, request.person, sees_money=access.may(request.person, "see_money", found))
    if not said:
        return redirect("blanket", request.barn.slug, pk)
    return form_page(
        request,
        WhyForm(request.POST or None),
        Page(
            heading=_("Take back"),
            submit=_("Take it back"),
            back=reverse("blanket", args=[request.barn.slug, pk]),
            intro=said[0].text,
            said=_("Taken back. Both stand in the log."),
        ),
        lambda actor: domain.take_back(found, entry=said[0].entry, actor=actor),
    )
