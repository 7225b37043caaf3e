"""How a view carries out a write: once, in one transaction, a refusal back on the form."""

import hashlib
from collections.abc import Callable

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from barnrugs.barns.domain.once import OtherContent, do_once
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Device

NOT_CONTENT = {"csrfmiddlewaretoken", "once", "there_at"}


def actor_of(request: HttpRequest) -> Actor:
    device: Device | None = getattr(request, "device", None)
    return Actor(person=request.person, device=device)  # type: ignore[attr-defined]


def perform(request: HttpRequest, form: BaseForm, call: Callable[[Actor], str]) -> HttpResponse | None:
    """Runs a valid form's write once. `call` returns the address to go to next.

    None means it was refused: the form then holds the sentence and is to be shown again with what was typed.
    """
    actor = actor_of(request)
    try:
        address, _ = do_once(actor, form.cleaned_data["once"], digest(request), lambda: call(actor))
    except Refused as refused:
        form.add_error(refused.field if refused.field in form.fields else None, refused.sentence)
        return None
    except OtherContent:
        return render(request, "barns/sent_otherwise.html", status=422)
    return HttpResponseRedirect(address)


def digest(request: HttpRequest) -> str:
    """What was sent, as one figure: path, fields and files, without the tokens that differ between sendings."""
    sha = hashlib.sha256(request.path.encode())
    for name in sorted(request.POST):
        if name not in NOT_CONTENT:
            sha.update(repr((name, request.POST.getlist(name))).encode())
    for name in sorted(request.FILES):
        for upload in request.FILES.getlist(name):
            sha.update(repr((name, upload.name, upload.size)).encode())
            for chunk in upload.chunks():
                sha.update(chunk)
            upload.seek(0)
    return sha.hexdigest()
