from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.domain import people as domain
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.people import NewPersonForm, PersonForm
from barnrugs.barns.models import Person
from barnrugs.barns.queries import people as queries
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent


@require_safe
def people(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "change", Person)
    everybody = list(queries.of(request.barn, timezone.now()))
    return render(
        request,
        "barns/people.html",
        {
            "here": [person for person in everybody if not person.left_at],
            "gone": [person for person in everybody if person.left_at],
        },
    )


@require_http_methods(BOTH)
def person_add(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "add", Person)
    form = NewPersonForm(sent(request))
    page = Page(
        heading=_("Somebody new"),
        intro=_("First who it is and in which part. The invitation, by letter or on a slip, comes next."),
        submit=_("Add this person"),
        back=reverse("people", args=[request.barn.slug]),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.add_person(**form.values(), actor=actor),
        then=lambda person: reverse("invite", args=[request.barn.slug, person.pk]),
    )


@require_http_methods(BOTH)
def person_change(request: HttpRequest, pk: int) -> HttpResponse:
    person = access.fetch(request.person, Person, pk, "change")
    form = PersonForm(sent(request), record=person)
    page = Page(heading=person.name, submit=_("Save"), back=reverse("people", args=[request.barn.slug]))
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.change_person(person, values=form.values(), seen=form.cleaned_data["seen"], actor=actor),
    )


@require_http_methods(BOTH)
def person_leaves(request: HttpRequest, pk: int) -> HttpResponse:
    person = access.fetch(request.person, Person, pk, "change")
    page = Page(
        heading=_("Does %(name)s leave?") % {"name": person},
        intro=_(
            "From that moment no page of this barn opens for them. What they wrote stays in the journal. "
            "If they come back, you let them in again here."
        ),
        submit=_("Yes, %(name)s leaves") % {"name": person},
        said=_("%(name)s has left and can open nothing here any more.") % {"name": person},
        back=reverse("people", args=[request.barn.slug]),
    )
    return form_page(request, OnceForm(sent(request)), page, lambda actor: domain.leaves(person, actor=actor))


@require_http_methods(BOTH)
def person_returns(request: HttpRequest, pk: int) -> HttpResponse:
    person = access.fetch(request.person, Person, pk, "change")
    page = Page(
        heading=_("Is %(name)s back?") % {"name": person},
        intro=_("They come back in the part they had. Change it afterwards if it is another one now."),
        submit=_("Yes, %(name)s is back") % {"name": person},
        said=_("%(name)s is back.") % {"name": person},
        back=reverse("people", args=[request.barn.slug]),
    )
    return form_page(request, OnceForm(sent(request)), page, lambda actor: domain.returns(person, actor=actor))
