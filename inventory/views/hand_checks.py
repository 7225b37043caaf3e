"""Hand checks: five big buttons; a horse's checks, what they taught, and the advice with and without it."""

import uuid
from dataclasses import dataclass, field
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from barnrugs.barns.views.writing import perform
from barnrugs.matching import units
from horses.models import Horse
from inventory.domain import hand_checks as domain
from inventory.domain import lists, sessions, snapshot
from inventory.domain.advice import Line
from inventory.enums import Felt
from inventory.forms.hand_checks import FELT, SHIVERS, HandCheckForm, note_in_words
from inventory.models import HandCheck
from inventory.queries import hand_checks as queries
from inventory.queries import lists as list_queries
from inventory.queries import wearings
from inventory.views import answers, line_facts, list_rows
from inventory.views.subjects import subject_of

SHOWN = 60


@dataclass(frozen=True)
class Check:
    """One hand check as a page shows it."""

    check: HandCheck
    felt: str
    note: str
    teaches: bool
    once: uuid.UUID = field(default_factory=uuid.uuid4)


@require_http_methods(BOTH)
def hand_check(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "note")
    form = HandCheckForm(sent(request))
    page = Page(
        heading=_("Hand check of %(horse)s") % {"horse": horse},
        submit="",
        back=reverse("horse", args=[request.barn.slug, pk]),
        template="inventory/hand_check.html",
        more={
            "horse": horse,
            "felt": [(felt.value, word) for felt, word in FELT.items()],
            "worn": wearings.open_on(horse),
        },
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.note(horse, felt=form.cleaned_data["felt"], note=form.words, actor=actor),
        then=lambda check: reverse("hand_checks", args=[request.barn.slug, check.horse_id]),
    )


@require_safe
def hand_checks(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk)
    return render(request, "inventory/hand_checks.html", _context(request, horse))


def _context(request: HttpRequest, horse: Horse) -> dict[str, Any]:
    barn, now = request.barn, timezone.now()
    taken = snapshot.read(barn, now, only=horse)
    learned = subject_of(taken, horse).learned
    checks = [_check(one) for one in queries.of(horse)[:SHOWN]]
    standing = [one for one in checks if not one.check.taken_back_at]
    return {
        "horse": horse,
        "checks": checks,
        "learned": learned,
        "offset": _difference(learned.offset_c, barn),
        "spread": _difference(learned.spread_c, barn).lstrip("+"),
        "latest": standing[0] if standing and now - standing[0].check.at < queries.LATELY else None,
        "may": access.may(request.person, "note", horse),
        "may_take_back": access.may_any(request.person, "change", HandCheck),
        "shivers": bool(standing) and standing[0].check.note.startswith(SHIVERS),
        **_now(request, taken, horse),
    }


def _now(request: HttpRequest, taken: snapshot.Snapshot, horse: Horse) -> dict[str, Any]:
    """What the list at hand says of this horse, in its own words, and what it would say without hand checks."""
    barn, found = request.barn, None
    try:
        made = lists.ensure(barn, sessions.at_hand(barn, taken.at), at=taken.at)
    except Refused:
        return {}
    line = list_queries.lines(made).filter(horse=horse).first()
    if line is None:
        return {}
    line.change_list, line.barn = made, barn
    row = list_rows.row(line, list_rows.read(request.person, [line], taken.at))
    if not line_facts.vet_advises_nothing(line.horse, barn, taken.at):
        found = domain.compare(taken, horse, made)
    return {
        "row": row,
        "taught": _shown(found.taught, barn, taken) if found else None,
        "untaught": _shown(found.untaught, barn, taken) if found else None,
    }


def _shown(line: Line, barn: Barn, taken: snapshot.Snapshot) -> answers.Shown | None:
    if line.given is None:
        return None
    return answers.show(line.given, barn, taken.blankets, horse=line.horse, worn=line.keeps)


def _check(one: HandCheck) -> Check:
    taught = one.above_low_c is not None and not one.taken_back_at
    return Check(one, str(FELT[Felt(one.felt)]), note_in_words(one.note), teaches=taught)


def _difference(celsius: float, barn: Barn) -> str:
    us = barn.units == Units.US
    return units.with_minus(f"{units.difference(celsius, us=us):+.1f}{units.JOINED}{units.degree(us=us)}")


@require_POST
def hand_check_back(request: HttpRequest, pk: int) -> HttpResponse:
    among = HandCheck.objects.select_related("horse")
    found = access.fetch(request.person, HandCheck, pk, "change", among=among)
    form = OnceForm(request.POST)
    back = reverse("hand_checks", args=[request.barn.slug, found.horse_id])
    done = (
        perform(request, form, lambda actor: (domain.take_back(found, actor=actor), back)[1])
        if form.is_valid()
        else None
    )
    return done or render(
        request, "inventory/hand_checks.html", {**_context(request, found.horse), "form": form}, status=200
    )
