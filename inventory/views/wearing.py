"""Putting on and taking off, one tap each."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.writing import perform
from horses.models import Horse
from inventory.domain import dressing as domain
from inventory.domain.wearing import Fate
from inventory.forms.wearing import OffForm, WearForm
from inventory.models import Wearing
from inventory.queries import drying


@require_http_methods(["GET", "HEAD", "POST"])
def wear(request: HttpRequest, pk: int) -> HttpResponse:
    """Makes a horse wear the named blankets; without any, nothing."""
    horse = access.fetch(request.person, Horse, pk, "dress")
    form = WearForm(request.POST or None, person=request.person, horse=horse)
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data

        def call(actor: Actor) -> str:
            domain.change(
                horse,
                to=values["tags"],
                actor=actor,
                neck_on=values["neck"],
                fate=Fate(wet=values["wet"], place=values["place"]),
                why=values["why"],
            )
            return _back(request, values["back"], horse)

        done = perform(request, form, call)
        if done:
            _tell(request, done, _said(horse, [blanket.tag for blanket in values["tags"]]))
            return done
    shown = {"horse": horse, "form": form, "drying_places": drying.places(request.barn, timezone.now())}
    return render(request, "inventory/wear.html", shown, status=400 if form.errors else 200)


@require_POST
def take_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes one blanket off; asks again with the reason when it cannot."""
    worn = access.fetch(request.person, Wearing, pk, "change", among=Wearing.objects.select_related("horse", "blanket"))
    form = OffForm(request.POST)
    if form.is_valid():
        values = form.cleaned_data

        def call(actor: Actor) -> str:
            domain.take_off(worn, actor=actor, fate=Fate(wet=values["wet"], place=values["place"]), why=values["why"])
            return _back(request, values["back"], worn.horse)

        done = perform(request, form, call)
        if done:
            _tell(request, done, _("%(tag)s is off %(horse)s.") % {"tag": worn.blanket, "horse": worn.horse})
            return done
    shown = {"wearing": worn, "horse": worn.horse, "form": form}
    shown["drying_places"] = drying.places(request.barn, timezone.now())
    return render(request, "inventory/take_off.html", shown, status=400)


def _tell(request: HttpRequest, done: HttpResponse, sentence: str) -> None:
    """An answer that leads on was done; one that stays here says itself what was not."""
    if done.status_code == 302:
        messages.success(request, sentence)


def _said(horse: Horse, tags: list[str]) -> str:
    if not tags:
        return _("%(horse)s has nothing on now.") % {"horse": horse}
    return _("%(horse)s now wears %(tags)s.") % {"horse": horse, "tags": " + ".join(tags)}


def _back(request: HttpRequest, asked: str, horse: Horse) -> str:
    """The page that was left, where it is one of ours; else the horse's Choose page."""
    if asked.startswith("/") and url_has_allowed_host_and_scheme(asked, allowed_hosts=None):
        return asked
    return reverse("choose", args=[request.barn.slug, horse.pk])
