from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import translation
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access, first_run
from barnrugs.barns.context import page_url
from barnrugs.barns.forms.people import LanguageForm
from barnrugs.barns.models import Barn, Person
from barnrugs.barns.queries import people
from barnrugs.barns.views.invitations import signed_in
from barnrugs.barns.views.pages import BOTH, sent

FIRST_PAGES = ("first_page", "tonight", "horses", "barn")


@require_safe
def landing(request: HttpRequest) -> HttpResponse:
    """After signing in: the one barn a person belongs to, or the choice between several."""
    known = list(people.of_user(signed_in(request)))
    if len(known) == 1:
        return redirect(first_address(known[0]))
    return render(request, "barns/landing.html", {"barns": [(person, first_page(person)) for person in known]})


def first_address(person: Person) -> str:
    """Where this person begins: a manager of a barn that is not set up yet, at its first steps."""
    slug = person.barn.slug
    if access.may_any(person, "change", Barn) and not first_run.is_finished(person.barn):
        return page_url("first_run", slug)
    return first_page(person)


def first_page(person: Person) -> str:
    return next(url for name in FIRST_PAGES if (url := page_url(name, person.barn.slug)))


@require_http_methods(BOTH)
def account(request: HttpRequest) -> HttpResponse:
    """What belongs to whoever signs in, in every barn."""
    user = signed_in(request)
    form = LanguageForm(sent(request), initial={"language": user.language})
    if request.method == "POST" and form.is_valid():
        user.language = form.cleaned_data["language"]
        user.save(update_fields=["language"])
        return redirect("account")
    translation.activate(user.language)
    known = [(person, first_page(person)) for person in people.of_user(user)]
    return render(request, "barns/account.html", {"form": form, "barns": known})
