"""A page with one form: shown, or its write carried out and on to the next page."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render

from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.seen import SeenForm
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.writing import perform

BOTH = ["GET", "HEAD", "POST"]
R = TypeVar("R")


@dataclass(frozen=True)
class Page:
    """What stands around the form, and where one goes from it. `more` is for templates of their own."""

    heading: str
    submit: str
    back: str
    intro: str = ""
    said: str = ""
    template: str = "barns/form.html"
    more: Mapping[str, Any] = field(default_factory=dict)


def sent(request: HttpRequest) -> QueryDict | None:
    """What a form is bound to: what was sent, even if that is nothing, and None where the form is only shown."""
    return request.POST if request.method == "POST" else None


def form_page(
    request: HttpRequest,
    form: OnceForm,
    page: Page,
    call: Callable[[Actor], R],
    *,
    then: Callable[[R], str] | None = None,
) -> HttpResponse:
    """Carries out `call` when the form was sent and holds, and goes to what `then` makes of its result, or back."""
    if request.method == "POST" and form.is_valid():
        done = perform(request, form, lambda actor: _address(call(actor), then, page.back))
        if done:
            if page.said and done.status_code == 302:
                messages.success(request, page.said)
            return done
        form = form.after_refusal() if isinstance(form, SeenForm) else form
    return render(request, page.template, {"form": form, **vars(page), **page.more})


def _address(result: R, then: Callable[[R], str] | None, otherwise: str) -> str:
    return then(result) if then else otherwise
